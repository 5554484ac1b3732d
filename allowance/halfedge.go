package allowance

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// subdivision is a planar subdivision as a half-edge structure: vertices, and
// straight edges between them, each kept as two half-edges, one in each
// direction.
type subdivision struct {
	vertices   []orb.Point
	vertexGrid map[[2]int64]int // the last vertex in a cell, to find a vertex by its place
	sameCell   []int            // of each vertex: the one before it in the same cell, or -1
	edges      []halfEdge
	firstOut   []int // of each vertex: the first half-edge that leaves it
	nextInFace []int // of each half-edge: the next one of the face on its left
}

// halfEdge runs from one vertex to another, beside a side of the seam line, or
// cornerSide.
type halfEdge struct {
	from, to int
	side     int
	heading  float64
}

func newSubdivision(n int) *subdivision {
	return &subdivision{vertices: make([]orb.Point, 0, n), vertexGrid: make(map[[2]int64]int, n), sameCell: make([]int, 0, n), edges: make([]halfEdge, 0, 2*n)}
}

// vertex finds the vertex at p, or makes it.
func (w *subdivision) vertex(p orb.Point) int {
	const cell = 1e3 * coincidentMM
	x, y := p[0]/cell, p[1]/cell
	for i := math.Floor(x - 2e-3); i <= math.Floor(x+2e-3); i++ {
		for j := math.Floor(y - 2e-3); j <= math.Floor(y+2e-3); j++ {
			k, ok := w.vertexGrid[[2]int64{int64(i), int64(j)}]
			for ; ok && k >= 0; k = w.sameCell[k] {
				if plane.Distance(w.vertices[k], p) <= 2*coincidentMM {
					return k
				}
			}
		}
	}
	home := [2]int64{int64(math.Floor(x)), int64(math.Floor(y))}
	before, ok := w.vertexGrid[home]
	if !ok {
		before = -1
	}
	w.vertexGrid[home] = len(w.vertices)
	w.vertices, w.sameCell = append(w.vertices, p), append(w.sameCell, before)
	return len(w.vertices) - 1
}

func (w *subdivision) addEdge(from, to, side int) {
	if from != to {
		w.edges = append(w.edges, halfEdge{from, to, side, w.heading(from, to)}, halfEdge{to, from, side, w.heading(to, from)})
	}
}

// heading grows with the angle from +x, clockwise on the page. It is no angle,
// but sorts like one.
func (w *subdivision) heading(from, to int) float64 {
	d := plane.Sub(w.vertices[to], w.vertices[from])
	h := d[0] / (math.Abs(d[0]) + math.Abs(d[1]))
	if d[1] < 0 {
		return h - 1
	}
	return 1 - h
}

// linkFaces sorts the half-edges round each vertex by angle, and links each to
// the next one of the face on its left.
func (w *subdivision) linkFaces() {
	slices.SortFunc(w.edges, func(a, b halfEdge) int {
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
	w.edges = slices.CompactFunc(w.edges, func(a, b halfEdge) bool { return a.from == b.from && a.to == b.to })
	n := len(w.edges)
	w.firstOut = make([]int, len(w.vertices)+1)
	for _, s := range w.edges {
		w.firstOut[s.from+1]++
	}
	for i := range w.vertices {
		w.firstOut[i+1] += w.firstOut[i]
	}
	w.nextInFace = make([]int, n)
	for i, s := range w.edges {
		lo, hi := w.firstOut[s.to], w.firstOut[s.to+1]
		for k := lo; k < hi; k++ {
			if w.edges[k].to == s.from {
				after := k + 1
				if after == hi {
					after = lo
				}
				w.nextInFace[i] = after
				break
			}
		}
	}
}

// face is the half-edges round the face on the left of the half-edge start.
func (w *subdivision) face(start int) []int {
	face := []int{start}
	for i := w.nextInFace[start]; i != start && len(face) <= len(w.edges); i = w.nextInFace[i] {
		face = append(face, i)
	}
	return face
}

// outer is the half-edges round the unbounded face, clockwise round all the
// rest.
func (w *subdivision) outer() []int {
	left := 0
	for i, p := range w.vertices {
		if q := w.vertices[left]; p[0] < q[0] || p[0] == q[0] && p[1] < q[1] {
			left = i
		}
	}
	return w.face(w.firstOut[left])
}

// ring is the start points of the half-edges, and the side that each runs
// beside.
func (w *subdivision) ring(face []int) (orb.Ring, []int) {
	ring, along := make(orb.Ring, len(face)), make([]int, len(face))
	for i, s := range face {
		ring[i], along[i] = w.vertices[w.edges[s].from], w.edges[s].side
	}
	return ring, along
}
