package remnant

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// holdsDisc reports whether a disc of LeastDiscMM lies within the bit, to a
// hundredth of a millimetre. The bit's box is cut into squares; one in which no
// middle can be far enough from every line is dropped, and the others are cut
// in four (quadtree search for the pole of inaccessibility, after D.
// Garcia-Castellanos and U. Lombardo, "Poles of inaccessibility", 2007).
func (s shred) holdsDisc() bool {
	const wantMM, nearlyMM = LeastDiscMM / 2.0, 0.005
	rings := []orb.Ring{ring(s.outline)}
	for _, h := range s.holes {
		rings = append(rings, ring(h))
	}
	box := rings[0].Bound()
	size := math.Max(LeastDiscMM, math.Min(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])) / 2
	type square struct {
		middle orb.Point
		half   float64
	}
	var open []square
	for x := box.Min[0]; x < box.Max[0]; x += 2 * size {
		for y := box.Min[1]; y < box.Max[1]; y += 2 * size {
			open = append(open, square{orb.Point{x + size, y + size}, size})
		}
	}
	for len(open) > 0 {
		c := open[len(open)-1]
		open = open[:len(open)-1]
		room := clearance(rings, c.middle)
		if room >= wantMM-nearlyMM {
			return true
		}
		if room+c.half*math.Sqrt2 < wantMM-nearlyMM {
			continue
		}
		for _, d := range []orb.Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			open = append(open, square{plane.Along(c.middle, d, c.half/2), c.half / 2})
		}
	}
	return false
}

// clearance is how far q is from the nearest ring, negative where it lies
// outside the first or in another.
func clearance(rings []orb.Ring, q orb.Point) float64 {
	least, in := math.Inf(1), true
	for i, r := range rings {
		least = math.Min(least, plane.ToRing(r, q))
		in = in && plane.Holds(r, q) == (i == 0)
	}
	if in {
		return least
	}
	return -least
}
