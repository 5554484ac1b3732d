package sheets

import (
	"context"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"sort"

	"eke/svg/draw"
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

const (
	gapMM       = 6    // between shapes
	longestMM   = 5000 // page of a roll; PDF allows 5080 mm
	moreColumns = 5    // widths tried, from the least
	usual       = 400  // effort that is worth its time
	batch       = 30   // shapes that are set among one another
)

// way is one way to fill a spread.
type way struct {
	landscape bool
	columns   int
	turn      bool // shapes may be turned
	whole     bool // a shape rather lies whole on a page than high on the grid
}

// setKey is the shapes that are set in a way, in this order: where the last of them
// lies follows from it.
type setKey struct {
	way   way
	order string
}

// arrange tries both ways to hold the paper, several widths, with and without
// turning shapes, then other orders in the best of these, and keeps what
// costs least. The effort is how many shapes it sets in all, and more where
// these are needed to set each once.
func arrange(ctx context.Context, shapes []draw.Shape, o Options, effort int) spread {
	items := make([]item, len(shapes))
	for i, s := range shapes {
		items[i] = newItem(s)
	}
	order := bySize(items)
	var best spread
	var bestWay way
	known := map[setKey]place{}
	try := func(w way, order []int) {
		s := newSpread(o, w.landscape)
		if s.fill(ctx, items, order, w, known) && (best.pages == nil || s.cost() < best.cost()-1e-9) {
			best, bestWay = s, w
		}
	}
	all := ways(items, o, effort)
	for _, w := range all {
		try(w, order)
	}
	for n, rng := 0, rand.New(rand.NewPCG(1, 1)); n < effort/len(items)-len(all) && ctx.Err() == nil; n++ {
		w := all[rng.IntN(len(all))]
		if n%2 == 0 {
			w = bestWay
		}
		try(w, disturbed(order, rng))
	}
	if o.Paper.roll() && ctx.Err() == nil {
		best.trimRoll(o.MarginMM)
	}
	return best
}

// ways is every way to fill a spread, or the likeliest where there are many
// shapes.
func ways(items []item, o Options, effort int) []way {
	columns := max(1, min(moreColumns, effort/len(items)/8))
	var out []way
	for _, landscape := range []bool{false, true} {
		if landscape && o.Paper.roll() {
			continue
		}
		for _, turn := range []bool{false, true} {
			least := newSpread(o, landscape).leastColumns(items, turn)
			for c := least; c < least+columns; c++ {
				out = append(out, way{landscape, c, turn, true}, way{landscape, c, turn, false})
			}
		}
	}
	return out
}

// bySize is the shapes from the largest box to the least.
func bySize(items []item) []int {
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	area := func(i int) float64 {
		b := items[i].box
		return (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1])
	}
	sort.SliceStable(order, func(a, b int) bool { return area(order[a]) > area(order[b])+1e-6 })
	return order
}

// disturbed is an order with some shapes moved forward.
func disturbed(order []int, rng *rand.Rand) []int {
	out := append([]int{}, order...)
	for range 1 + rng.IntN(1+len(out)/2) {
		from := rng.IntN(len(out))
		to := rng.IntN(from + 1)
		moved := out[from]
		copy(out[to+1:from+1], out[to:from])
		out[to] = moved
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
	if s.paperH == longestMM {
		sprawl = 3 * bottom / longestMM // the length of the roll that is used
	}
	turned := 0
	for _, p := range s.places {
		if p.turnDeg != 0 {
			turned++
		}
	}
	// Each term stays under a tenth of the one before.
	return float64(len(s.pages)) + 0.5*float64(turned)/float64(len(s.places)) +
		0.01*math.Min(1, sprawl/3) + 0.001*float64(columns*rows)/float64(1000+columns*rows) + 1e-5*bottom/(s.showH+bottom)
}

// fill sets the shapes in the given order: each where it needs fewest new
// pages, then highest and leftmost. Batch after batch starts on pages of its
// own. Orders that begin alike need not be looked at again as far as they do: known
// is where shapes lay before. It reports whether the widest fits across, and is
// false when ctx ends.
func (s *spread) fill(ctx context.Context, items []item, order []int, w way, known map[setKey]place) bool {
	s.places = make([]place, len(items))
	var set []byte
	used := &cells{columns: w.columns}
	var b *board
	for n, i := range order {
		if ctx.Err() != nil {
			return false
		}
		if n%batch == 0 {
			b = newBoard(s, w, len(used.rows))
		}
		set = binary.AppendUvarint(set, uint64(i))
		key := setKey{w, string(set)}
		p, ok := known[key]
		if !ok {
			if p, ok = b.bestPlace(items[i], used); !ok {
				return false
			}
			p.squares = b.squares(p)
			known[key] = p
		}
		s.places[i] = p
		b.set(p)
		for _, c := range s.touched(p) {
			used.add(c)
		}
	}
	s.choosePages(used.all())
	return true
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
	sum := Summary{Pages: len(s.pages), Landscape: s.landscape}
	for _, c := range s.pages {
		sum.Rows, sum.Columns = max(sum.Rows, c.row+1), max(sum.Columns, c.column+1)
	}
	for i, p := range s.places {
		if p.turnDeg != 0 && shapes[i].Name != "" {
			sum.Turned = append(sum.Turned, shapes[i].Name)
		}
	}
	return sum
}
