package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// Nearest is where on the segment from a to b the point nearest to q lies, as
// a share of the way, both ends included; 0 where the segment has no length.
func Nearest(q, a, b orb.Point) float64 {
	d := Sub(b, a)
	n := Dot(d, d)
	if n == 0 {
		return 0
	}
	return max(0, min(1, Dot(Sub(q, a), d)/n))
}

// ToSegment is how far q is from the segment from a to b.
func ToSegment(q, a, b orb.Point) float64 {
	return Distance(q, Along(a, Sub(b, a), Nearest(q, a, b)))
}

// NearestOn is the point of a line of segments that is nearest to q, and its
// distance. The line has a point.
func NearestOn(line orb.LineString, q orb.Point) (at orb.Point, mm float64) {
	at = line[0]
	off := Sub(at, q)
	least := Dot(off, off)
	for i := 1; i < len(line); i++ {
		p := Along(line[i-1], Sub(line[i], line[i-1]), Nearest(q, line[i-1], line[i]))
		off = Sub(p, q)
		if d := Dot(off, off); d < least {
			at, least = p, d
		}
	}
	return at, math.Sqrt(least)
}
