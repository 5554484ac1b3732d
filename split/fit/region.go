package fit

import "math"

// edge is one straight edge of a region's boundary. n is the unit normal that
// points out of the region, and d = n·a is the offset of its line.
type edge struct {
	a, b, n vec
	d       float64
}

// region is an area bounded by straight edges, indexed by a grid. It answers
// where a point lies, or a whole box: inside, outside, or near which edges.
// Most questions need only one cell of the grid, which knows how far the
// nearest edge is. A region is immutable once built.
type region struct {
	edges     []edge
	beside    [][2]int32 // of each edge the one that ends at its a and the one that begins at its b
	bounds    box
	origin    vec
	cell      float64
	nx, ny    int
	start     []int32 // edges of cell i are list[start[i]:start[i+1]]
	list      []int32
	clearance []int16 // distance in cells to the nearest cell with an edge; 0 if the cell has one
	inside    []bool  // of cells without an edge: whether they are in the region
	unbounded bool    // what lies off the grid is in the region
}

// newRegion prepares the region with the given directed edges. unbounded says
// whether what is far away belongs to it. fine is the number of grid cells
// along the longer side.
func newRegion(edges []edge, unbounded bool, fine int) *region {
	f := &region{edges: edges, beside: edgesBeside(edges), unbounded: unbounded, bounds: emptyBox()}
	for _, e := range edges {
		f.bounds = f.bounds.with(e.a).with(e.b)
	}
	w, h := f.bounds.width(), f.bounds.height()
	f.cell = max(w, h) / float64(fine)
	if !(f.cell > 0) {
		f.cell = 1
	}
	// The grid has an empty ring of cells around all edges. Its offset is odd, so
	// that edges of round coordinates do not run along the borders of cells.
	f.origin = f.bounds.min.sub(vec{1.37 * f.cell, 1.41 * f.cell})
	f.nx = int(w/f.cell+1.37) + 3
	f.ny = int(h/f.cell+1.41) + 3
	n := f.nx * f.ny
	f.start = make([]int32, n+1)
	f.eachCell(func(c int, _ int32) { f.start[c+1]++ })
	for i := 0; i < n; i++ {
		f.start[i+1] += f.start[i]
	}
	f.list = make([]int32, f.start[n])
	fill := make([]int32, n)
	f.eachCell(func(c int, e int32) {
		f.list[f.start[c]+fill[c]] = e
		fill[c]++
	})
	f.fillClearance()
	f.fillInside()
	return f
}

// edgesBeside gives of each edge the ones before and after it. The edges of a ring
// stand one after the other, in either order.
func edgesBeside(edges []edge) [][2]int32 {
	out := make([][2]int32, len(edges))
	for from := 0; from < len(edges); {
		to := from + 1
		back := to < len(edges) && edges[to].b == edges[from].a
		for to < len(edges) && (edges[to-1].b == edges[to].a || edges[to].b == edges[to-1].a) {
			to++
		}
		n := to - from
		for i := range n {
			before, after := from+(i+n-1)%n, from+(i+1)%n
			if back {
				before, after = after, before
			}
			out[from+i] = [2]int32{int32(before), int32(after)}
		}
		from = to
	}
	return out
}

// eachCell calls visit for every pair of an edge and a cell that it may touch.
func (f *region) eachCell(visit func(cell int, edge int32)) {
	slack := f.cell * 1e-6
	for i, e := range f.edges {
		lo, hi := min(e.a.y, e.b.y), max(e.a.y, e.b.y)
		j0, j1 := f.row(lo-slack), f.row(hi+slack)
		for j := j0; j <= j1; j++ {
			// the part of the edge within the row
			x0, x1 := e.a.x, e.b.x
			if hi > lo {
				y0 := max(lo, f.origin.y+float64(j)*f.cell-slack)
				y1 := min(hi, f.origin.y+float64(j+1)*f.cell+slack)
				k := (e.b.x - e.a.x) / (e.b.y - e.a.y)
				if j0 != j1 {
					x0, x1 = e.a.x+(y0-e.a.y)*k, e.a.x+(y1-e.a.y)*k
				}
			}
			if x0 > x1 {
				x0, x1 = x1, x0
			}
			for c := f.col(x0 - slack); c <= f.col(x1+slack); c++ {
				visit(j*f.nx+c, int32(i))
			}
		}
	}
}

func (f *region) col(x float64) int { return clampInt(int((x-f.origin.x)/f.cell), 0, f.nx-1) }
func (f *region) row(y float64) int { return clampInt(int((y-f.origin.y)/f.cell), 0, f.ny-1) }

func clampInt(i, lo, hi int) int { return max(lo, min(hi, i)) }

// fillClearance computes the chessboard distance of every cell to the nearest
// cell with an edge, by a distance transform in two passes.
func (f *region) fillClearance() {
	f.clearance = make([]int16, f.nx*f.ny)
	far := int16(f.nx + f.ny)
	at := func(x, y int) int16 {
		if x < 0 || y < 0 || x >= f.nx || y >= f.ny {
			return far
		}
		return f.clearance[y*f.nx+x]
	}
	for y := 0; y < f.ny; y++ {
		for x := 0; x < f.nx; x++ {
			i := y*f.nx + x
			if f.start[i] == f.start[i+1] {
				f.clearance[i] = min(far, 1+min(at(x-1, y), at(x-1, y-1), at(x, y-1), at(x+1, y-1)))
			}
		}
	}
	for y := f.ny - 1; y >= 0; y-- {
		for x := f.nx - 1; x >= 0; x-- {
			i := y*f.nx + x
			f.clearance[i] = min(f.clearance[i], 1+min(at(x+1, y), at(x+1, y+1), at(x, y+1), at(x-1, y+1)))
		}
	}
}

// fillInside marks the cells without an edge that lie in the region. Along a
// row the mark changes only across cells with edges.
func (f *region) fillInside() {
	f.inside = make([]bool, f.nx*f.ny)
	for y := 0; y < f.ny; y++ {
		f.inside[y*f.nx] = f.unbounded
		for x := 1; x < f.nx; x++ {
			i := y*f.nx + x
			if f.start[i] != f.start[i+1] {
				continue
			}
			if f.start[i-1] == f.start[i] { // the cell before it is empty too
				f.inside[i] = f.inside[i-1]
				continue
			}
			f.inside[i] = f.castRay(f.origin.add(vec{(float64(x) + 0.5) * f.cell, (float64(y) + 0.5) * f.cell}), x-1, y)
		}
	}
}

// contains says whether p is in the region. On the boundary it may say either.
func (f *region) contains(p vec) bool {
	x, y := (p.x-f.origin.x)/f.cell, (p.y-f.origin.y)/f.cell
	if x < 0 || y < 0 || x >= float64(f.nx) || y >= float64(f.ny) {
		return f.unbounded
	}
	i := int(y)*f.nx + int(x)
	if f.start[i] == f.start[i+1] {
		return f.inside[i]
	}
	return f.castRay(p, int(x), int(y))
}

// castRay counts the edges that a ray from p to the left crosses, from the cell
// in column x of row y to the first cell whose mark is known.
func (f *region) castRay(p vec, x, y int) bool {
	odd := false
	hi := p.x
	for ; x > 0; x-- {
		i := y*f.nx + x
		if f.start[i] == f.start[i+1] {
			return f.inside[i] != odd
		}
		lo := f.origin.x + float64(x)*f.cell
		for _, k := range f.list[f.start[i]:f.start[i+1]] {
			e := &f.edges[k]
			if (e.a.y <= p.y) == (e.b.y <= p.y) {
				continue
			}
			if cx := e.a.x + (p.y-e.a.y)*(e.b.x-e.a.x)/(e.b.y-e.a.y); cx >= lo && cx < hi {
				odd = !odd
			}
		}
		hi = min(hi, lo)
	}
	return f.unbounded != odd
}

// probe is the working memory of questions to one region.
type probe struct {
	stamp []uint32
	now   uint32
	near  []int32
}

// edgesNear lists the edges that meet the box with half sizes hx, hy about c.
// Where there is none, in says whether the box lies in the region.
func (f *region) edgesNear(pr *probe, c vec, hx, hy float64) (near []int32, in bool) {
	x, y := (c.x-f.origin.x)/f.cell, (c.y-f.origin.y)/f.cell
	if x >= 0 && y >= 0 && x < float64(f.nx) && y < float64(f.ny) {
		i := int(y)*f.nx + int(x)
		if r := f.clearance[i]; r > 0 && max(hx, hy) <= float64(r-1)*f.cell {
			return nil, f.inside[i]
		}
	}
	b := f.bounds
	if c.x-hx > b.max.x || c.x+hx < b.min.x || c.y-hy > b.max.y || c.y+hy < b.min.y {
		return nil, f.unbounded
	}
	near = f.edgesIn(pr, c, hx, hy)
	if len(near) == 0 {
		return nil, f.contains(c)
	}
	return near, false
}

// edgesIn lists each edge that meets the box once.
func (f *region) edgesIn(pr *probe, c vec, hx, hy float64) []int32 {
	if len(pr.stamp) < len(f.edges) {
		pr.stamp = make([]uint32, len(f.edges))
		pr.now = 0
	}
	pr.now++
	pr.near = pr.near[:0]
	x0, x1 := f.col(c.x-hx), f.col(c.x+hx)
	y0, y1 := f.row(c.y-hy), f.row(c.y+hy)
	if (x1-x0+1)*(y1-y0+1) > len(f.edges) {
		for e := range f.edges {
			if f.edges[e].meets(c, hx, hy) {
				pr.near = append(pr.near, int32(e))
			}
		}
		return pr.near
	}
	for j := y0; j <= y1; j++ {
		for i := x0; i <= x1; i++ {
			k := j*f.nx + i
			for _, e := range f.list[f.start[k]:f.start[k+1]] {
				if pr.stamp[e] == pr.now {
					continue
				}
				pr.stamp[e] = pr.now
				if f.edges[e].meets(c, hx, hy) {
					pr.near = append(pr.near, e)
				}
			}
		}
	}
	return pr.near
}

// meets says whether the edge touches the box, by the separating axis theorem.
func (e *edge) meets(c vec, hx, hy float64) bool {
	if math.Abs(e.a.x+e.b.x-2*c.x) > math.Abs(e.a.x-e.b.x)+2*hx ||
		math.Abs(e.a.y+e.b.y-2*c.y) > math.Abs(e.a.y-e.b.y)+2*hy {
		return false
	}
	return math.Abs(e.n.dot(c)-e.d) <= math.Abs(e.n.x)*hx+math.Abs(e.n.y)*hy
}

// clip returns the ends of the part of the edge within the box. The edge must
// meet the box.
func (e *edge) clip(c vec, hx, hy float64) (p, q vec) {
	d := e.b.sub(e.a)
	t0, t1 := 0.0, 1.0
	if d.x != 0 {
		u, v := (c.x-hx-e.a.x)/d.x, (c.x+hx-e.a.x)/d.x
		t0, t1 = max(t0, min(u, v)), min(t1, max(u, v))
	}
	if d.y != 0 {
		u, v := (c.y-hy-e.a.y)/d.y, (c.y+hy-e.a.y)/d.y
		t0, t1 = max(t0, min(u, v)), min(t1, max(u, v))
	}
	if t0 > t1 {
		t0 = (t0 + t1) / 2
		t1 = t0
	}
	return e.a.add(d.mul(t0)), e.a.add(d.mul(t1))
}
