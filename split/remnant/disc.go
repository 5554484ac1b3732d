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
// Garcia-Castellanos and U. Lombardo, "Poles of inaccessibility", 2007). A
// square is held against the sides alone that a disc in it may meet.
func (s shred) holdsDisc() bool {
	const wantMM, nearlyMM = LeastDiscMM / 2.0, 0.005
	rings := []orb.Ring{ring(s.outline)}
	for _, h := range s.holes {
		rings = append(rings, ring(h))
	}
	type side [2]orb.Point
	var sides []side
	for _, r := range rings {
		for i, p := range r {
			sides = append(sides, side{p, r[(i+1)%len(r)]})
		}
	}
	box := rings[0].Bound()
	size := math.Max(LeastDiscMM, math.Min(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])) / 2
	type square struct {
		middle orb.Point
		half   float64
		sides  []side
	}
	var open []square
	for x := box.Min[0]; x < box.Max[0]; x += 2 * size {
		for y := box.Min[1]; y < box.Max[1]; y += 2 * size {
			open = append(open, square{orb.Point{x + size, y + size}, size, sides})
		}
	}
	for len(open) > 0 {
		c := open[len(open)-1]
		open = open[:len(open)-1]
		reach := c.half * math.Sqrt2
		room := math.Inf(1)
		var meets []side
		for _, e := range c.sides {
			mm := plane.ToSegment(c.middle, e[0], e[1])
			room = math.Min(room, mm)
			if mm < wantMM+reach {
				meets = append(meets, e)
			}
		}
		if !within(rings, c.middle) {
			room = -room
		}
		if room >= wantMM-nearlyMM {
			return true
		}
		if room+reach < wantMM-nearlyMM {
			continue
		}
		for _, d := range []orb.Point{{-1, -1}, {1, -1}, {-1, 1}, {1, 1}} {
			open = append(open, square{plane.Along(c.middle, d, c.half/2), c.half / 2, meets})
		}
	}
	return false
}

// within reports whether q lies in the first ring and in none of the others.
func within(rings []orb.Ring, q orb.Point) bool {
	for i, r := range rings {
		if plane.Holds(r, q) != (i == 0) {
			return false
		}
	}
	return true
}
