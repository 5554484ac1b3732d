package allowance

import (
	"errors"
	"math"
	"slices"

	"eke/piece"

	"github.com/paulmach/orb"
)

// web is a plane drawing of straight strands between nodes, each strand there
// once in each direction.
type web struct {
	at      []orb.Point
	grid    map[[2]int64]int // the last node in a cell
	chained []int            // the node in the same cell before this one, or -1
	strands []strand
	first   []int // of the strands that leave a node
	next    []int // the strand that keeps the same face on its left
}

// strand runs from one node to another beside a side of the seam line, or
// join.
type strand struct {
	from, to int
	side     int
	heading  float64
}

func newWeb(n int) *web {
	return &web{at: make([]orb.Point, 0, n), grid: make(map[[2]int64]int, n), chained: make([]int, 0, n), strands: make([]strand, 0, 2*n)}
}

// node finds the node at p, or makes it.
func (w *web) node(p orb.Point) int {
	const cell = 1e3 * near
	x, y := p[0]/cell, p[1]/cell
	for i := math.Floor(x - 2e-3); i <= math.Floor(x+2e-3); i++ {
		for j := math.Floor(y - 2e-3); j <= math.Floor(y+2e-3); j++ {
			k, ok := w.grid[[2]int64{int64(i), int64(j)}]
			for ; ok && k >= 0; k = w.chained[k] {
				if distance(w.at[k], p) <= 2*near {
					return k
				}
			}
		}
	}
	home := [2]int64{int64(math.Floor(x)), int64(math.Floor(y))}
	before, ok := w.grid[home]
	if !ok {
		before = -1
	}
	w.grid[home] = len(w.at)
	w.at, w.chained = append(w.at, p), append(w.chained, before)
	return len(w.at) - 1
}

func (w *web) strand(from, to, side int) {
	if from != to {
		w.strands = append(w.strands, strand{from, to, side, w.heading(from, to)}, strand{to, from, side, w.heading(to, from)})
	}
}

// heading grows with the angle from +x, clockwise on the page.
func (w *web) heading(from, to int) float64 {
	d := sub(w.at[to], w.at[from])
	h := d[0] / (math.Abs(d[0]) + math.Abs(d[1]))
	if d[1] < 0 {
		return h - 1
	}
	return 1 - h
}

// tie puts the strands round each node in order and links each to the next
// of the face on its left.
func (w *web) tie() {
	slices.SortFunc(w.strands, func(a, b strand) int {
		switch {
		case a.from != b.from:
			return a.from - b.from
		case a.heading < b.heading:
			return -1
		case a.heading > b.heading:
			return 1
		case a.to != b.to:
			return a.to - b.to
		}
		return b.side - a.side
	})
	w.strands = slices.CompactFunc(w.strands, func(a, b strand) bool { return a.from == b.from && a.to == b.to })
	n := len(w.strands)
	w.first = make([]int, len(w.at)+1)
	for _, s := range w.strands {
		w.first[s.from+1]++
	}
	for i := range w.at {
		w.first[i+1] += w.first[i]
	}
	w.next = make([]int, n)
	for i, s := range w.strands {
		lo, hi := w.first[s.to], w.first[s.to+1]
		for k := lo; k < hi; k++ {
			if w.strands[k].to == s.from {
				after := k + 1
				if after == hi {
					after = lo
				}
				w.next[i] = after
				break
			}
		}
	}
}

// face is the strands of the face on the left of the strand at start.
func (w *web) face(start int) []int {
	face := []int{start}
	for i := w.next[start]; i != start && len(face) <= len(w.strands); i = w.next[i] {
		face = append(face, i)
	}
	return face
}

// outer is the strands of the unbounded face, clockwise round all the rest.
func (w *web) outer() []int {
	left := 0
	for i, p := range w.at {
		if q := w.at[left]; p[0] < q[0] || p[0] == q[0] && p[1] < q[1] {
			left = i
		}
	}
	return w.face(w.first[left])
}

// ring is the strands' start points, and the side each strand runs beside.
func (w *web) ring(face []int) (orb.Ring, []int) {
	ring, along := make(orb.Ring, len(face)), make([]int, len(face))
	for i, s := range face {
		ring[i], along[i] = w.at[w.strands[s].from], w.strands[s].side
	}
	return ring, along
}

var errTangled = errors.New("the cutting line crosses itself")

// outerFace is the line round everything the chain covers, and which side of
// the seam line each stretch of it runs beside. It fails where rounding has
// left the line crossing itself.
func outerFace(c *chain) (orb.Ring, []int, error) {
	meetings := c.meetings()
	if len(meetings) == 0 {
		ring, along := tidy(c.largest())
		return ring, along, nil
	}
	w := c.pieces(meetings)
	ring, along := tidy(w.ring(w.outer()))
	if _, crossed := piece.SelfCrossing(ring); crossed || piece.Area(ring) <= 0 {
		return nil, nil, errTangled
	}
	return ring, along, nil
}

// largest is the closed line of the chain that goes round the largest area,
// and what its stretches run beside. Where none meets another, it holds the
// rest: each covers some of the piece.
func (c *chain) largest() (ring orb.Ring, along []int) {
	for first := 0; first < len(c.links); {
		var r orb.Ring
		var sides []int
		for k := first; len(r) == 0 || k != first; k = c.links[k].next {
			r, sides = append(r, c.links[k].a), append(sides, c.links[k].side)
		}
		if ring == nil || piece.Area(r) > piece.Area(ring) {
			ring, along = r, sides
		}
		first += len(r) // a line's links lie together
	}
	return ring, along
}

// tidy drops stretches too short to see or to cut.
func tidy(ring orb.Ring, along []int) (orb.Ring, []int) {
	const unseen = 1e-5
	n := 0
	for i, p := range ring {
		if n > 0 && distance(ring[n-1], p) < unseen {
			along[n-1] = along[i]
			continue
		}
		if n > 0 && i == len(ring)-1 && distance(ring[0], p) < unseen {
			continue
		}
		ring[n], along[n] = p, along[i]
		n++
	}
	return ring[:n], along[:n]
}

var (
	errNothing = errors.New("leaves nothing of the piece")
	errPieces  = errors.New("cuts the piece in two")
)

// innerFace is the line round what is left inside a chain that runs
// anticlockwise round a piece and covers its rim: the points it winds round
// exactly once, backward. The ring runs anticlockwise.
func innerFace(c *chain) (orb.Ring, []int, error) {
	const crumbMM2 = 25 // what is left of a blunted corner, not a piece
	w := c.pieces(c.meetings())
	seen := make([]bool, len(w.strands))
	var best []int
	var bestArea, restArea float64
	for i := range w.strands {
		if seen[i] {
			continue
		}
		face := w.face(i)
		for _, k := range face {
			seen[k] = true
		}
		ring, _ := w.ring(face)
		area := -piece.Area(ring)
		if area <= 0 || !c.windsOnceBack(ring) {
			continue
		}
		if area > bestArea {
			area, bestArea, best = bestArea, area, face
		}
		restArea = math.Max(restArea, area)
	}
	if bestArea < crumbMM2 {
		return nil, nil, errNothing
	}
	if restArea > crumbMM2 {
		return nil, nil, errPieces
	}
	ring, along := tidy(w.ring(best))
	if _, crossed := piece.SelfCrossing(ring); crossed {
		return nil, nil, errTangled
	}
	return ring, along, nil
}

// windsOnceBack reports whether the chain winds once, anticlockwise, round
// the inside of an anticlockwise face.
func (c *chain) windsOnceBack(face orb.Ring) bool {
	// A point a hair inside the middle of the face's longest side.
	var from, to orb.Point
	for i, a := range face {
		if b := face[(i+1)%len(face)]; distance(a, b) > distance(from, to) {
			from, to = a, b
		}
	}
	d := sub(to, from)
	l := distance(from, to)
	p := ahead(add(from, scale(d, 0.5)), orb.Point{d[1] / l, -d[0] / l}, math.Min(1e-4, l/100))
	turns := 0
	for _, k := range c.links {
		if (k.a[1] <= p[1]) == (k.b[1] <= p[1]) {
			continue
		}
		if left := cross(sub(k.b, k.a), sub(p, k.a)) > 0; left == (k.b[1] > k.a[1]) {
			if left {
				turns++
			} else {
				turns--
			}
		}
	}
	return turns == -1
}
