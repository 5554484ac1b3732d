package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// Close is the ring with its first corner repeated at its end, as orb has
// rings; the ring itself stays as it is.
func Close(ring []orb.Point) orb.Ring {
	if len(ring) == 0 {
		return nil
	}
	return append(append(make(orb.Ring, 0, len(ring)+1), ring...), ring[0])
}

// Area is a ring's area, never negative.
func Area(ring []orb.Point) float64 {
	return math.Abs(SignedArea(ring))
}

// Holds reports whether q is inside a ring, by counting crossings. A point on
// the ring itself may count as either.
func Holds(ring []orb.Point, q orb.Point) bool {
	if len(ring) == 0 {
		return false
	}
	in := false
	a := ring[len(ring)-1]
	for _, b := range ring {
		if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
		a = b
	}
	return in
}

// ToRing is how far q is from the nearest side of a ring, endless where the
// ring has no corner.
func ToRing(ring []orb.Point, q orb.Point) float64 {
	least := math.Inf(1)
	for i, a := range ring {
		b := ring[0]
		if i+1 < len(ring) {
			b = ring[i+1]
		}
		least = min(least, ToSegment(q, a, b))
	}
	return least
}

// SignedArea is a ring's area, positive when it runs clockwise on the page.
func SignedArea(ring []orb.Point) float64 {
	var sum float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum / 2
}

// ClipRight is what of a ring lies to the right, on the page, of the line
// through at along dir, the line itself included (I. Sutherland and G. Hodgman,
// "Reentrant polygon clipping", 1974). A ring that falls apart keeps its bits
// joined along the line. It is empty where all of the ring lies to the left.
func ClipRight(ring []orb.Point, at, dir orb.Point) orb.Ring {
	if len(ring) == 0 {
		return nil
	}
	out := make(orb.Ring, 0, len(ring)+2)
	p := ring[len(ring)-1]
	sp := dir[0]*(p[1]-at[1]) - dir[1]*(p[0]-at[0])
	for _, q := range ring {
		sq := dir[0]*(q[1]-at[1]) - dir[1]*(q[0]-at[0])
		if (sp > 0 && sq < 0) || (sp < 0 && sq > 0) {
			t := sp / (sp - sq)
			out = append(out, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
		}
		if sq >= 0 {
			out = append(out, q)
		}
		p, sp = q, sq
	}
	return out
}
