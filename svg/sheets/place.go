package sheets

import (
	"math"
	"sort"

	"eke/piece/curve"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// place is where a shape lies: m takes it to the large drawing.
type place struct {
	m       curve.Matrix
	turnDeg float64       // from upright
	rings   [][]orb.Point // its extent there
	box     orb.Bound
	squares squares
}

// item is a shape to be set: its box and its extent.
type item struct {
	box    orb.Bound
	extent [][]orb.Point
	masks  map[maskKey]*mask
}

func newItem(s draw.Shape) item {
	const lineMM = 0.5 // so that a line on the edge of a page is seen in its whole width
	return item{s.Bound().Pad(lineMM), s.Extent(), map[maskKey]*mask{}}
}

// upright, on its side, and on its head
var turns = []float64{0, 90, 180}

// score is what a place costs, the weightiest first: new pages, pages it lies
// on where that counts, how low, how far to the right.
type score [4]float64

var unplaced = score{math.Inf(1)}

func (a score) less(b score) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-9 {
			return a[i] < b[i]
		}
	}
	return false
}

// within reports whether a place is as good as enough in new pages and in pages
// it lies on. Only how high it lies could be better then.
func (a score) within(enough score) bool { return a[0] <= enough[0] && a[1] <= enough[1] }

// bestPlace looks for a shape's place at the corners of what is set and in
// the room between outlines.
func (b *board) bestPlace(it item, used *cells) (best place, found bool) {
	least := unplaced
	for _, turn := range turns {
		if turn != 0 && !b.way.turn {
			continue
		}
		enough := score{0, 0}
		if b.way.whole {
			enough[1] = float64(b.fewest(it.at(orb.Point{}, turn).box))
		}
		enough = enough.turned(turn)
		if p, s, ok := b.atCorner(it, turn, used, enough); ok && s.less(least) {
			best, least, found = p, s, true
		}
		if p, s, ok := b.between(it, turn, used, least, enough); ok {
			best, least, found = p, s, true
		}
		if turn == 0 && least.within(enough) {
			break // turning it saves nothing
		}
	}
	if found {
		best.rings = it.rings(best.m)
	}
	return best, found
}

// atCorner is the best place whose box is clear of the boxes of all that is
// set. Corners come highest first, so the first that costs no more than
// enough is the best.
func (b *board) atCorner(it item, turn float64, used *cells, enough score) (best place, least score, found bool) {
	least = unplaced
	m := it.mask(turn, b.side)
	for _, at := range b.corners() {
		box := orb.Bound{Min: at, Max: orb.Point{at[0] + m.size[0], at[1] + m.size[1]}}
		if box.Max[0] > b.widthMM+1e-6 || clashes(box, b.done) {
			continue
		}
		s := b.score(m, at, turn, b.across(m, at[0]), b.down(m, at[1]), used)
		if s.less(least) {
			best, least, found = it.at(at, turn), s, true
		}
		if s.within(enough) {
			break
		}
	}
	return best, least, found
}

// turned adds what turning costs: shapes stand upright where that costs no
// page.
func (s score) turned(turn float64) score {
	if turn != 0 {
		s[0] += 0.5
	}
	return s
}

// fewest is how many pages a box takes at its best place.
func (s *spread) fewest(b orb.Bound) int {
	pages := func(size, show, step float64) int { return 1 + max(0, int(math.Ceil((size-show)/step-1e-9))) }
	return pages(b.Max[0]-b.Min[0], s.showW, s.stepX) * pages(b.Max[1]-b.Min[1], s.showH, s.stepY)
}

// corners is where a shape's box may start, highest first: at a page's
// corner, beside or below a shape that is set, and, while these are few, in
// line with any two.
func (b *board) corners() []orb.Point {
	const few = 24
	page := func(x, step float64) float64 { return math.Ceil(x/step-1e-9) * step }
	xs, ys := map[float64]bool{0: true}, map[float64]bool{b.topMM: true}
	set := map[orb.Point]bool{{0, b.topMM}: true}
	lowest := b.topMM
	for _, p := range b.done {
		left, top := p.box.Min[0], p.box.Min[1]
		right, below := p.box.Max[0]+gapMM, p.box.Max[1]+gapMM
		for _, x := range []float64{left, right} {
			xs[x], xs[page(x, b.stepX)] = true, true
		}
		for _, y := range []float64{top, below} {
			ys[y], ys[page(y, b.stepY)] = true, true
		}
		for _, q := range []orb.Point{
			{right, top}, {left, below}, {page(right, b.stepX), top}, {left, page(below, b.stepY)}, {0, below},
			{page(right, b.stepX), page(top, b.stepY) - b.stepY}, {page(left, b.stepX) - b.stepX, page(below, b.stepY)},
		} {
			set[orb.Point{math.Max(0, q[0]), math.Max(b.topMM, q[1])}] = true
		}
		lowest = math.Max(lowest, below)
	}
	ys[page(lowest, b.stepY)] = true
	set[orb.Point{0, page(lowest, b.stepY)}] = true
	if len(b.done) <= few {
		for x := range xs {
			for y := range ys {
				set[orb.Point{x, y}] = true
			}
		}
	}
	out := make([]orb.Point, 0, len(set))
	for q := range set {
		out = append(out, q)
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i][1] != out[j][1] {
			return out[i][1] < out[j][1]
		}
		return out[i][0] < out[j][0]
	})
	return out
}

// at sets a shape, turned by right angles, with its box's corner at a point.
func (it item) at(at orb.Point, turnDeg float64) place {
	m := curve.Turn(turnDeg, orb.Point{})
	corners := orb.MultiPoint{m.Apply(it.box.Min), m.Apply(it.box.Max)}.Bound()
	size := orb.Point{corners.Max[0] - corners.Min[0], corners.Max[1] - corners.Min[1]}
	return place{
		m:       m.Then(curve.Shift(at[0]-corners.Min[0], at[1]-corners.Min[1])),
		turnDeg: turnDeg,
		box:     orb.Bound{Min: at, Max: orb.Point{at[0] + size[0], at[1] + size[1]}},
	}
}

func (it item) rings(m curve.Matrix) [][]orb.Point {
	var out [][]orb.Point
	for _, ring := range it.extent {
		moved := make([]orb.Point, len(ring))
		for i, q := range ring {
			moved[i] = m.Apply(q)
		}
		out = append(out, moved)
	}
	return out
}

func clashes(box orb.Bound, done []place) bool {
	wide := box.Pad(gapMM - 1e-6)
	for _, d := range done {
		if wide.Intersects(d.box) {
			return true
		}
	}
	return false
}
