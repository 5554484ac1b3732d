package sheets

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// mask is the squares that a shape touches, counted from its box's corner.
type mask struct {
	size    orb.Point // of the box, in mm
	columns int
	rows    [][]uint64
	sums    []int32 // of the squares above and to the left
}

type maskKey struct {
	turnDeg float64
	side    orb.Point
}

// mask is the shape's, turned, made once for each grid.
func (it item) mask(turnDeg float64, side orb.Point) *mask {
	key := maskKey{turnDeg, side}
	if m, ok := it.masks[key]; ok {
		return m
	}
	p := it.at(orb.Point{}, turnDeg)
	first, rows := cover(it.rings(p.m), orb.Point{}, side)
	m := &mask{size: p.box.Max, rows: append(make([][]uint64, first), rows...)}
	for _, r := range rows {
		m.columns = max(m.columns, 64*len(r))
	}
	m.sums = make([]int32, (m.columns+1)*(len(m.rows)+1))
	for y, row := range m.rows {
		var line int32
		for x := range m.columns {
			if x/64 < len(row) && row[x/64]>>(x%64)&1 == 1 {
				line++
			}
			m.sums[(y+1)*(m.columns+1)+x+1] = m.sums[y*(m.columns+1)+x+1] + line
		}
	}
	it.masks[key] = m
	return m
}

// any reports whether the mask has a square in columns x0 to x1 and rows y0 to
// y1, without the last.
func (m *mask) any(x0, y0, x1, y1 int) bool {
	w := m.columns + 1
	return m.sums[y1*w+x1]-m.sums[y0*w+x1]-m.sums[y1*w+x0]+m.sums[y0*w+x0] > 0
}

// cover is every square of a grid that rings touch, from the first such row
// on; what touches a square's edge only is not in it.
func cover(rings [][]orb.Point, origin, side orb.Point) (first int, rows [][]uint64) {
	grid := make([][]orb.Point, len(rings))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, ring := range rings {
		for _, q := range ring {
			g := orb.Point{(q[0] - origin[0]) / side[0], (q[1] - origin[1]) / side[1]}
			grid[i] = append(grid[i], g)
			lo, hi = math.Min(lo, g[1]), math.Max(hi, g[1])
		}
	}
	first = max(0, int(math.Floor(lo)))
	rows = make([][]uint64, max(0, int(math.Ceil(hi))-first))
	for _, ring := range grid {
		for i := range rows {
			coverRow(&rows[i], ring, float64(first+i))
		}
	}
	return first, rows
}

// coverRow adds the squares of one row, from y to y+1, that a ring touches:
// those its sides run through, and those within it at half the height.
func coverRow(row *[]uint64, ring []orb.Point, y float64) {
	const edge = 1e-6
	var inside []float64
	for i, a := range ring {
		b := ring[0]
		if i+1 < len(ring) {
			b = ring[i+1]
		}
		if a[1] > b[1] {
			a, b = b, a
		}
		if b[1] <= y+edge || a[1] >= y+1-edge {
			continue
		}
		at := func(y float64) float64 {
			if b[1]-a[1] < 1e-12 {
				return a[0]
			}
			return a[0] + (b[0]-a[0])*(min(max(y, a[1]), b[1])-a[1])/(b[1]-a[1])
		}
		p, q := at(y), at(y+1)
		if b[1]-a[1] < 1e-12 {
			p, q = a[0], b[0]
		}
		fill(row, min(p, q), max(p, q))
		if half := y + 0.5; a[1] <= half && half < b[1] {
			inside = append(inside, at(half))
		}
	}
	slices.Sort(inside)
	for i := 0; i+1 < len(inside); i += 2 {
		fill(row, inside[i], inside[i+1])
	}
}

// fill takes the squares from one x to another.
func fill(row *[]uint64, from, to float64) {
	const edge = 1e-6
	first := int(math.Floor(from + edge))
	last := max(first, int(math.Ceil(to-edge))-1)
	if first = max(0, first); last < first {
		return
	}
	if words := last/64 + 1; len(*row) < words {
		*row = append(*row, make([]uint64, words-len(*row))...)
	}
	for w := first / 64; w <= last/64; w++ {
		lo, hi := max(first-64*w, 0), min(last-64*w, 63)
		(*row)[w] |= ^uint64(0) >> (63 - hi + lo) << lo
	}
}
