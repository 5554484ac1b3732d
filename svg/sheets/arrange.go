package sheets

import (
	"math"
	"sort"

	"eke/piece/curve"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
)

// spread is shapes set on a grid of pages. Page (column, row) shows the
// rectangle that starts at (column·stepX, row·stepY).
type spread struct {
	landscape    bool
	paperW       float64 // as it lies
	paperH       float64
	showW, showH float64 // of the drawing on one page
	stepX, stepY float64 // from page to page
	places       []place // of each shape
	pages        []cell  // in reading order
}

type cell struct{ row, column int }

// place is where a shape lies: m takes it to the large drawing.
type place struct {
	m      curve.Matrix
	turned bool
	rings  [][]orb.Point // its extent there
	box    orb.Bound
}

// item is a shape to be set: its box and its extent.
type item struct {
	box    orb.Bound
	extent [][]orb.Point
}

const (
	gapMM       = 6    // between shapes
	longestMM   = 5000 // page of a roll; PDF allows 5080 mm
	moreColumns = 7    // widths tried beyond the least
)

// way is one way to fill a spread.
type way struct {
	landscape bool
	columns   int
	turn      bool // shapes may be turned by a right angle
	whole     bool // a shape rather lies whole on a page than high on the grid
}

// arrange tries both ways to hold the paper, several widths, with and without
// turning shapes, and keeps what costs least.
func arrange(shapes []draw.Shape, o Options) spread {
	items := make([]item, len(shapes))
	for i, s := range shapes {
		items[i] = item{s.Bound(), s.Extent()}
	}
	var best spread
	for _, w := range ways(items, o) {
		s := newSpread(o, w.landscape)
		if s.fill(items, w) && (best.pages == nil || s.cost() < best.cost()-1e-9) {
			best = s
		}
	}
	if o.Paper.roll() {
		best.trimRoll(o.MarginMM)
	}
	return best
}

func ways(items []item, o Options) []way {
	var out []way
	for _, landscape := range []bool{false, true} {
		if landscape && o.Paper.roll() {
			continue
		}
		for _, turn := range []bool{false, true} {
			least := newSpread(o, landscape).leastColumns(items, turn)
			for columns := least; columns < least+moreColumns; columns++ {
				out = append(out, way{landscape, columns, turn, true}, way{landscape, columns, turn, false})
			}
		}
	}
	return out
}

func newSpread(o Options, landscape bool) spread {
	s := spread{landscape: landscape, paperW: o.Paper.WidthMM, paperH: o.Paper.HeightMM}
	if o.Paper.roll() {
		s.paperH = longestMM
	}
	if landscape {
		s.paperW, s.paperH = s.paperH, s.paperW
	}
	s.showW, s.showH = s.paperW-2*o.MarginMM, s.paperH-2*o.MarginMM
	s.stepX, s.stepY = s.showW-o.OverlapMM, s.showH-o.OverlapMM
	return s
}

// leastColumns is how many pages side by side the widest shape needs.
func (s spread) leastColumns(items []item, turn bool) int {
	widest := 0.0
	for _, it := range items {
		w, h := it.box.Max[0]-it.box.Min[0], it.box.Max[1]-it.box.Min[1]
		if turn {
			w = math.Min(w, h)
		}
		widest = math.Max(widest, w)
	}
	return 1 + max(0, int(math.Ceil((widest-s.showW)/s.stepX-1e-9)))
}

// cost is the pages; on a tie fewer turned shapes, then the squarer and the
// smaller grid.
func (s *spread) cost() float64 {
	columns, rows := 0, 0
	bottom := 0.0
	for _, c := range s.pages {
		columns, rows = max(columns, c.column+1), max(rows, c.row+1)
	}
	for _, p := range s.places {
		bottom = math.Max(bottom, p.box.Max[1])
	}
	sprawl := math.Abs(math.Log(float64(columns) * s.stepX / (float64(rows) * s.stepY)))
	turned := 0
	for _, p := range s.places {
		if p.turned {
			turned++
		}
	}
	// Each term stays under a tenth of the one before.
	return float64(len(s.pages)) + 0.5*float64(turned)/float64(len(s.places)) +
		0.01*math.Min(1, sprawl/3) + 0.001*float64(columns*rows)/float64(1000+columns*rows) + 1e-5*bottom/(s.showH+bottom)
}

// fill sets the shapes, largest first: each where it needs fewest new pages,
// then highest and leftmost. It reports whether the widest fits across.
func (s *spread) fill(items []item, w way) bool {
	width := float64(w.columns-1)*s.stepX + s.showW
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	area := func(i int) float64 {
		b := items[i].box
		return (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1])
	}
	sort.SliceStable(order, func(a, b int) bool { return area(order[a]) > area(order[b])+1e-6 })
	s.places = make([]place, len(items))
	var done []place
	used := map[cell]bool{}
	for _, i := range order {
		p, ok := s.bestPlace(items[i], done, used, width, w)
		if !ok {
			return false
		}
		s.places[i] = p
		done = append(done, p)
		for _, c := range s.touched(p) {
			used[c] = true
		}
	}
	s.choosePages(used)
	return true
}

func (s *spread) bestPlace(it item, done []place, used map[cell]bool, width float64, w way) (place, bool) {
	var best place
	found := false
	least := [4]float64{math.Inf(1)}
	for _, turned := range []bool{false, true} {
		if turned && !w.turn {
			continue
		}
		for _, at := range s.corners(done) {
			p := it.at(at, turned)
			if p.box.Max[0] > width+1e-6 || clashes(p, done) {
				continue
			}
			p.rings = it.rings(p.m)
			fresh, touched := 0.0, s.touched(p)
			for _, c := range touched {
				if !used[c] {
					fresh++
				}
			}
			if turned {
				fresh += 0.5 // upright where it costs no page
			}
			cuts := 0.0
			if w.whole {
				cuts = float64(len(touched))
			}
			if score := [4]float64{fresh, cuts, p.box.Min[1], p.box.Min[0]}; less(score, least) {
				best, least, found = p, score, true
			}
			if fresh == 0 && (!w.whole || len(touched) == s.fewest(it)) {
				return best, true // corners come highest first, so none is better
			}
		}
	}
	return best, found
}

// fewest is how many pages an item's box takes at the best place.
func (s *spread) fewest(it item) int {
	pages := func(size, show, step float64) int { return 1 + max(0, int(math.Ceil((size-show)/step-1e-9))) }
	return pages(it.box.Max[0]-it.box.Min[0], s.showW, s.stepX) * pages(it.box.Max[1]-it.box.Min[1], s.showH, s.stepY)
}

func less(a, b [4]float64) bool {
	for i := range a {
		if math.Abs(a[i]-b[i]) > 1e-9 {
			return a[i] < b[i]
		}
	}
	return false
}

// corners is where a shape's box may start, highest first: at a page's
// corner, beside or below a shape that is set, and, while these are few, in
// line with any two.
func (s *spread) corners(done []place) []orb.Point {
	const few = 24
	page := func(x, step float64) float64 { return math.Ceil(x/step-1e-9) * step }
	xs, ys := map[float64]bool{0: true}, map[float64]bool{0: true}
	set := map[orb.Point]bool{{}: true}
	lowest := 0.0
	for _, p := range done {
		left, top := p.box.Min[0], p.box.Min[1]
		right, below := p.box.Max[0]+gapMM, p.box.Max[1]+gapMM
		for _, x := range []float64{left, right} {
			xs[x], xs[page(x, s.stepX)] = true, true
		}
		for _, y := range []float64{top, below} {
			ys[y], ys[page(y, s.stepY)] = true, true
		}
		for _, q := range []orb.Point{
			{right, top}, {left, below}, {page(right, s.stepX), top}, {left, page(below, s.stepY)}, {0, below},
			{page(right, s.stepX), page(top, s.stepY) - s.stepY}, {page(left, s.stepX) - s.stepX, page(below, s.stepY)},
		} {
			set[orb.Point{math.Max(0, q[0]), math.Max(0, q[1])}] = true
		}
		lowest = math.Max(lowest, below)
	}
	ys[page(lowest, s.stepY)] = true
	set[orb.Point{0, page(lowest, s.stepY)}] = true
	if len(done) <= few {
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

// at sets a shape with its box's corner at a point, upright or turned by a
// right angle.
func (it item) at(at orb.Point, turned bool) place {
	m := curve.Identity
	if turned {
		m = curve.Turn(90, orb.Point{})
	}
	p := place{turned: turned}
	corners := orb.MultiPoint{m.Apply(it.box.Min), m.Apply(it.box.Max)}.Bound()
	p.m = m.Then(curve.Shift(at[0]-corners.Min[0], at[1]-corners.Min[1]))
	p.box = orb.Bound{Min: at, Max: orb.Point{at[0] + corners.Max[0] - corners.Min[0], at[1] + corners.Max[1] - corners.Min[1]}}
	return p
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

func clashes(p place, done []place) bool {
	wide := p.box.Pad(gapMM - 1e-6)
	for _, d := range done {
		if wide.Intersects(d.box) {
			return true
		}
	}
	return false
}

// show is the rectangle of the drawing that a page shows.
func (s *spread) show(c cell) orb.Bound {
	at := orb.Point{float64(c.column) * s.stepX, float64(c.row) * s.stepY}
	return orb.Bound{Min: at, Max: orb.Point{at[0] + s.showW, at[1] + s.showH}}
}

// touched is the pages that a place needs, as few as its box allows: the page
// where it starts, and on while the last does not show its end.
func (s *spread) touched(p place) []cell {
	var out []cell
	first := func(x, step float64) int { return int(math.Floor(x/step + 1e-9)) }
	for r := first(p.box.Min[1], s.stepY); ; r++ {
		for c := first(p.box.Min[0], s.stepX); ; c++ {
			page := cell{r, c}
			if p.on(s.show(page)) {
				out = append(out, page)
			}
			if s.show(page).Max[0] >= p.box.Max[0]-1e-6 {
				break
			}
		}
		if s.show(cell{r, 0}).Max[1] >= p.box.Max[1]-1e-6 {
			return out
		}
	}
}

// on reports whether any of the place lies in a rectangle.
func (p place) on(b orb.Bound) bool {
	const sliverMM = 0.05
	if b.Max[0]-b.Min[0] < sliverMM || b.Max[1]-b.Min[1] < sliverMM || !b.Intersects(p.box) {
		return false
	}
	for _, ring := range p.rings {
		closed := append(append(orb.Ring{}, ring...), ring[0])
		if got := clip.Ring(b, closed); len(got) > 0 {
			box := got.Bound()
			if box.Max[0]-box.Min[0] > sliverMM && box.Max[1]-box.Min[1] > sliverMM {
				return true
			}
		}
	}
	return false
}

// choosePages keeps the pages of a grid that show something no other page
// does, the last given up first.
func (s *spread) choosePages(used map[cell]bool) {
	var all []cell
	for c := range used {
		all = append(all, c)
	}
	sort.Slice(all, func(i, j int) bool {
		if all[i].row != all[j].row {
			return all[i].row < all[j].row
		}
		return all[i].column < all[j].column
	})
	kept := map[cell]bool{}
	for _, c := range all {
		kept[c] = true
	}
	for i := len(all) - 1; i >= 0; i-- {
		c := all[i]
		if delete(kept, c); s.misses(c, kept) {
			kept[c] = true
		}
	}
	s.pages = nil
	for _, c := range all {
		if kept[c] {
			s.pages = append(s.pages, c)
		}
	}
}

// misses reports whether something on page c is shown by none of the pages.
func (s *spread) misses(c cell, pages map[cell]bool) bool {
	rest := []orb.Bound{s.show(c)}
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			if n := (cell{c.row + dr, c.column + dc}); pages[n] {
				rest = without(rest, s.show(n))
			}
		}
	}
	for _, b := range rest {
		for _, p := range s.places {
			if p.rings != nil && p.on(b) {
				return true
			}
		}
	}
	return false
}

// without takes a rectangle out of others.
func without(from []orb.Bound, b orb.Bound) []orb.Bound {
	var out []orb.Bound
	for _, a := range from {
		if !a.Intersects(b) {
			out = append(out, a)
			continue
		}
		x0, x1 := math.Max(a.Min[0], b.Min[0]), math.Min(a.Max[0], b.Max[0])
		for _, part := range []orb.Bound{
			{Min: a.Min, Max: orb.Point{x0, a.Max[1]}},
			{Min: orb.Point{x1, a.Min[1]}, Max: a.Max},
			{Min: orb.Point{x0, a.Min[1]}, Max: orb.Point{x1, b.Min[1]}},
			{Min: orb.Point{x0, b.Max[1]}, Max: orb.Point{x1, a.Max[1]}},
		} {
			if part.Max[0] > part.Min[0] && part.Max[1] > part.Min[1] {
				out = append(out, part)
			}
		}
	}
	return out
}

// trimRoll makes the pages of a roll no longer than what is on them.
func (s *spread) trimRoll(marginMM float64) {
	if s.pages[len(s.pages)-1].row > 0 {
		return
	}
	var bottom float64
	for _, p := range s.places {
		bottom = math.Max(bottom, p.box.Max[1])
	}
	s.showH = math.Ceil(bottom + 1)
	s.paperH = s.showH + 2*marginMM
}

func (s *spread) summary(shapes []draw.Shape) Summary {
	sum := Summary{Pages: len(s.pages) + 1, Landscape: s.landscape}
	for _, c := range s.pages {
		sum.Rows, sum.Columns = max(sum.Rows, c.row+1), max(sum.Columns, c.column+1)
	}
	for i, p := range s.places {
		if p.turned {
			sum.Turned = append(sum.Turned, shapes[i].Name)
		}
	}
	return sum
}
