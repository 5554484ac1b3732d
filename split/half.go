package split

import (
	"math"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Half is the stretch of a ring that lies on the near or the far side of the
// line of a way at a level, closed along that line; the way is one that can
// slide. It cuts a body's ring, or any other round it such as its cutting
// line, much faster than Cut cuts the outline, and as exactly as that ring is.
// It is empty where the ring lies wholly on the other side.
func Half(b *Body, ring orb.Ring, w Way, levelMM float64, near bool) orb.Ring {
	line := w.Line(b, levelMM)
	straight := len(line) == 1 && !line[0].Curved
	inner := func(q orb.Point) float64 { return levelMM - w.LevelOf(b, q) }
	if straight {
		a, c := line.Start(), line.End()
		inner = func(q orb.Point) float64 { return (c[1]-a[1])*(q[0]-a[0]) - (c[0]-a[0])*(q[1]-a[1]) }
	} else {
		ring = fine(ring, true)
	}
	side := func(q orb.Point) float64 {
		if near {
			return inner(q)
		}
		return -inner(q)
	}
	first := 0
	for first < len(ring) && side(ring[first]) < 0 {
		first++
	}
	var out orb.Ring
	var left orb.Point // where the ring went over to the other side last
	for i := range ring {
		if first == len(ring) {
			break
		}
		p, q := ring[(first+i)%len(ring)], ring[(first+i+1)%len(ring)]
		sp, sq := side(p), side(q)
		if sp >= 0 {
			out = append(out, p)
		}
		if (sp >= 0) == (sq >= 0) {
			continue
		}
		at := q
		if sq != 0 {
			f := sp / (sp - sq)
			at = orb.Point{p[0] + f*(q[0]-p[0]), p[1] + f*(q[1]-p[1])}
		}
		if sp >= 0 {
			left = at
		} else if !straight {
			out = append(out, alongLine(line, left, at)...)
		}
		if sp != 0 && sq != 0 {
			out = append(out, at)
		}
	}
	return out
}

// alongLine are the points of a line between two on it, neither of them.
func alongLine(line curve.Path, from, to orb.Point) []orb.Point {
	const toleranceMM = 0.01
	a, _ := line.Nearest(from)
	b, _ := line.Nearest(to)
	bit := line.Between(math.Min(a, b), math.Max(a, b))
	if len(bit) == 0 {
		return nil
	}
	if a > b {
		bit = bit.Reverse()
	}
	points := bit.Flatten(toleranceMM)
	return points[1 : len(points)-1]
}
