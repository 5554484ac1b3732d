package draw

import (
	"math"
	"sort"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Rows lays shapes out in rows, tallest first, gapMM apart, on a page about
// half as wide again as it is high. It gives how far each shape is moved,
// and the page that holds them all.
func Rows(shapes []Shape, gapMM float64) (moves []orb.Point, page orb.Bound) {
	boxes, order := tallestFirst(shapes)
	area, widest := 0.0, 0.0
	for _, b := range boxes {
		w, h := size(b)
		area += (w + gapMM) * (h + gapMM)
		widest = math.Max(widest, w)
	}
	// The width of least waste among a few near the wanted one.
	wanted := math.Max(widest, math.Sqrt(area*1.6))
	least := math.Inf(1)
	for _, f := range []float64{0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.35, 1.5} {
		try, box := inRows(boxes, order, math.Max(widest, wanted*f), gapMM)
		w, h := size(box)
		if waste := w * h * (1 + 0.15*math.Abs(math.Log(w/h/1.5))); waste < least {
			least, moves, page = waste, try, box
		}
	}
	return moves, page
}

// rowsWithin lays shapes out like Rows on a page of at most that width, or as
// wide as the widest of them.
func rowsWithin(shapes []Shape, gapMM, widthMM float64) (moves []orb.Point, page orb.Bound) {
	boxes, order := tallestFirst(shapes)
	for _, b := range boxes {
		w, _ := size(b)
		widthMM = math.Max(widthMM, w)
	}
	return inRows(boxes, order, widthMM, gapMM)
}

func tallestFirst(shapes []Shape) (boxes []orb.Bound, order []int) {
	boxes, order = make([]orb.Bound, len(shapes)), make([]int, len(shapes))
	for i, s := range shapes {
		boxes[i], order[i] = s.Bound(), i
	}
	sort.SliceStable(order, func(i, j int) bool {
		_, a := size(boxes[order[i]])
		_, b := size(boxes[order[j]])
		return a > b
	})
	return boxes, order
}

// inRows fills shelves of the given width with columns: each shape goes below
// another in the first column that has room, else into a new column of the
// first shelf that has room.
func inRows(boxes []orb.Bound, order []int, width, gapMM float64) (moves []orb.Point, page orb.Bound) {
	type column struct{ left, width, used float64 }
	type shelf struct {
		top, height, used float64
		columns           []column
	}
	var shelves []shelf
	bottom := 0.0
	moves = make([]orb.Point, len(boxes))
	set := func(i int, at orb.Point) {
		w, h := size(boxes[i])
		moves[i] = plane.Sub(at, boxes[i].Min)
		page = page.Union(orb.Bound{Min: at, Max: orb.Point{at[0] + w, at[1] + h}})
	}
	into := func(i int) bool {
		w, h := size(boxes[i])
		for k := range shelves {
			s := &shelves[k]
			for n := range s.columns {
				if c := &s.columns[n]; w <= c.width+1e-9 && c.used+h <= s.height+1e-9 {
					set(i, orb.Point{c.left, s.top + c.used})
					c.used += h + gapMM
					return true
				}
			}
			if s.used+w <= width+1e-9 {
				set(i, orb.Point{s.used, s.top})
				s.columns = append(s.columns, column{s.used, w, h + gapMM})
				s.used += w + gapMM
				return true
			}
		}
		return false
	}
	for _, i := range order {
		if !into(i) {
			_, h := size(boxes[i])
			shelves = append(shelves, shelf{top: bottom, height: h})
			bottom += h + gapMM
			into(i)
		}
	}
	return moves, page
}

func size(b orb.Bound) (width, height float64) {
	return b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]
}
