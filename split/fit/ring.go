package fit

import (
	"sort"

	"github.com/paulmach/orb"
)

// openRing is a ring as vertices, without the closing repeat and without
// doubled points. It runs so that the interior is on the quarter() side of
// every edge, or, where positive is false, on the other side. It is nil for a
// ring without area.
func openRing(r orb.Ring, positive bool) []vec {
	ps := make([]vec, 0, len(r))
	for _, q := range r {
		p := vec{q[0], q[1]}
		if len(ps) == 0 || p != ps[len(ps)-1] {
			ps = append(ps, p)
		}
	}
	for len(ps) > 1 && ps[0] == ps[len(ps)-1] {
		ps = ps[:len(ps)-1]
	}
	a := area(ps)
	if len(ps) < 3 || a == 0 {
		return nil
	}
	if (a > 0) != positive {
		for i, j := 0, len(ps)-1; i < j; i, j = i+1, j-1 {
			ps[i], ps[j] = ps[j], ps[i]
		}
	}
	return ps
}

// boundaryEdges returns the directed edges of a ring whose region lies on the
// quarter() side.
func boundaryEdges(ps []vec) []edge {
	es := make([]edge, 0, len(ps))
	for i, a := range ps {
		b := ps[(i+1)%len(ps)]
		d := b.sub(a)
		n := d.quarter().mul(-1 / d.len())
		es = append(es, edge{a, b, n, n.dot(a)})
	}
	return es
}

// flipped returns the edges as the boundary of the region on their other side.
func flipped(es []edge) []edge {
	out := make([]edge, len(es))
	for i, e := range es {
		out[i] = edge{e.b, e.a, e.n.mul(-1), -e.d}
	}
	return out
}

// reflexVertices returns the vertices at which the region on the quarter() side
// of the ring has an angle of more than 180°.
func reflexVertices(ps []vec) []vec {
	var out []vec
	for i, p := range ps {
		a, b := ps[(i+len(ps)-1)%len(ps)], ps[(i+1)%len(ps)]
		if p.sub(a).cross(b.sub(p)) < 0 {
			out = append(out, p)
		}
	}
	return out
}

// innerPoint is a point inside the ring, well away from its edges where that is
// possible. It takes the widest gap in y between two vertices, a horizontal
// line through its middle, and the middle of the longest part of that line
// inside.
func innerPoint(ps []vec) vec {
	ys := make([]float64, len(ps))
	for i, p := range ps {
		ys[i] = p.y
	}
	sort.Float64s(ys)
	k := 1
	for i := range ys[1:] {
		if ys[i+1]-ys[i] > ys[k]-ys[k-1] {
			k = i + 1
		}
	}
	y := (ys[k] + ys[k-1]) / 2
	var xs []float64
	a := ps[len(ps)-1]
	for _, b := range ps {
		if (a.y <= y) != (b.y <= y) {
			xs = append(xs, a.x+(y-a.y)*(b.x-a.x)/(b.y-a.y))
		}
		a = b
	}
	sort.Float64s(xs)
	k = 0
	for i := 2; i+1 < len(xs); i += 2 {
		if xs[i+1]-xs[i] > xs[k+1]-xs[k] {
			k = i
		}
	}
	return vec{(xs[k] + xs[k+1]) / 2, y}
}

// convexHull is the convex hull, in the positive sense (monotone chain, A. M.
// Andrew 1979).
func convexHull(ps []vec) []vec {
	s := append([]vec(nil), ps...)
	sort.Slice(s, func(i, j int) bool { return s[i].x < s[j].x || s[i].x == s[j].x && s[i].y < s[j].y })
	var h []vec
	half := func(at func(int) vec) {
		base := len(h)
		for i := range s {
			p := at(i)
			for len(h) >= base+2 && h[len(h)-1].sub(h[len(h)-2]).cross(p.sub(h[len(h)-1])) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		h = h[:len(h)-1]
	}
	half(func(i int) vec { return s[i] })
	half(func(i int) vec { return s[len(s)-1-i] })
	return h
}

// radius is the largest distance of the points from the origin.
func radius(ps []vec) float64 {
	var r float64
	for _, p := range ps {
		r = max(r, p.len())
	}
	return r
}
