package draw

import (
	"eke/piece/plane"
	"github.com/paulmach/orb"
)

// halfPlane is the half of the plane to the right of the line from a to b (y
// down: clockwise of it).
type halfPlane struct{ a, b orb.Point }

func (h halfPlane) depth(q orb.Point) float64 {
	u, v := plane.Sub(h.b, h.a), plane.Sub(q, h.a)
	return u[0]*v[1] - u[1]*v[0]
}

// clip is what of a ring lies in the half plane. A ring that falls apart keeps its
// bits joined along the line, which a filled picture does not show.
func (h halfPlane) clip(ring []orb.Point) []orb.Point {
	return plane.ClipRight(ring, h.a, plane.Sub(h.b, h.a))
}

// cut is what of an open line lies in the half plane, in bits.
func (h halfPlane) cut(line []orb.Point) [][]orb.Point {
	var out [][]orb.Point
	var run []orb.Point
	for i, q := range line {
		if i > 0 {
			p := line[i-1]
			dp, dq := h.depth(p), h.depth(q)
			if (dp >= 0) != (dq >= 0) {
				run = append(run, plane.Along(p, plane.Sub(q, p), dp/(dp-dq)))
				if dq < 0 {
					out, run = append(out, run), nil
				}
			}
		}
		if h.depth(q) >= 0 {
			run = append(run, q)
		}
	}
	if len(run) > 1 {
		out = append(out, run)
	}
	return out
}
