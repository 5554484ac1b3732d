package split

import (
	"math"

	"eke/piece/curve"

	"eke/piece"

	"github.com/paulmach/orb"
)

// Half is the stretch of a ring on one side of a line that starts and ends
// outside it, closed along the line: near is on the line's left. It cuts a
// body's ring, or its cutting line, much faster than Cut cuts the outline, and
// as exactly as the ring is. It is empty where the ring lies on the other side.
func Half(ring orb.Ring, line curve.Path, near bool) orb.Ring {
	if len(line) == 1 && !line[0].Curved {
		return halfPlane(ring, line[0].P0, line[0].P1, near)
	}
	const toleranceMM = 0.01
	f := fence{points: line.Flatten(toleranceMM), near: near}
	for _, q := range f.points {
		f.bow = math.Max(f.bow, math.Abs(leftOf(f.points[0], f.points[len(f.points)-1], q)))
	}
	if f.bends() {
		ring = fine(ring, true)
	}
	side := make([]float64, len(ring))
	first := -1 // a point on the side wanted
	for i, q := range ring {
		if side[i] = f.side(q); side[i] >= 0 && first < 0 {
			first = i
		}
	}
	if first < 0 {
		return nil
	}
	var out orb.Ring
	var left orb.Point // where the ring went over to the other side
	for k := range ring {
		i, j := (first+k)%len(ring), (first+k+1)%len(ring)
		p, q, sp, sq := ring[i], ring[j], side[i], side[j]
		if sp >= 0 {
			out = append(out, p)
		}
		if (sp >= 0) == (sq >= 0) {
			continue
		}
		t := sp / (sp - sq)
		at := orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
		if sp >= 0 {
			left = at
		} else {
			out = append(out, f.between(left, at)...)
		}
		if sp != 0 && sq != 0 {
			out = append(out, at)
		}
	}
	return out
}

// halfPlane is Half for a straight line through a and b (Sutherland and
// Hodgman, "Reentrant polygon clipping", 1974).
func halfPlane(ring orb.Ring, a, b orb.Point, near bool) orb.Ring {
	dx, dy := b[0]-a[0], b[1]-a[1]
	if near {
		dx, dy = -dx, -dy
	}
	out := make(orb.Ring, 0, len(ring)+2)
	p := ring[len(ring)-1]
	sp := dx*(p[1]-a[1]) - dy*(p[0]-a[0])
	for _, q := range ring {
		sq := dx*(q[1]-a[1]) - dy*(q[0]-a[0])
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

// HalfArea is the area of Half in mm2.
func HalfArea(ring orb.Ring, line curve.Path, near bool) float64 {
	if len(ring) < 3 {
		return 0
	}
	if len(line) != 1 || line[0].Curved {
		half := Half(ring, line, near)
		if len(half) < 3 {
			return 0
		}
		return math.Abs(piece.Area(half))
	}
	a, b := line[0].P0, line[0].P1
	dx, dy := b[0]-a[0], b[1]-a[1]
	if near {
		dx, dy = -dx, -dy
	}
	// About a, the stretches along the line add nothing.
	sum := 0.0
	p := ring[len(ring)-1]
	px, py := p[0]-a[0], p[1]-a[1]
	sp := dx*py - dy*px
	for _, q := range ring {
		qx, qy := q[0]-a[0], q[1]-a[1]
		sq := dx*qy - dy*qx
		switch {
		case sp >= 0 && sq >= 0:
			sum += px*qy - qx*py
		case sp > 0 || sq > 0:
			t := sp / (sp - sq)
			cx, cy := px+t*(qx-px), py+t*(qy-py)
			if sp > 0 {
				sum += px*cy - cx*py
			} else {
				sum += cx*qy - qx*cy
			}
		}
		px, py, sp = qx, qy, sq
	}
	return math.Abs(sum) / 2
}

// fence is a flattened line that parts near from far.
type fence struct {
	points orb.LineString
	bow    float64 // the most that it bends away from its chord
	near   bool
}

func (f *fence) bends() bool { return len(f.points) > 2 }

// side is how far q lies on the side wanted, negative for one on the other.
func (f *fence) side(q orb.Point) float64 {
	left := leftOf(f.points[0], f.points[len(f.points)-1], q)
	if f.bends() && math.Abs(left) <= f.bow+fineMM {
		k, t := f.nearest(q)
		left = leftOf(f.points[k], f.points[k+1], q)
		if t == 1 && k+2 < len(f.points) { // round a corner, the stretch that q lies off most tells
			if next := leftOf(f.points[k+1], f.points[k+2], q); math.Abs(next) > math.Abs(left) {
				left = next
			}
		}
	}
	if f.near {
		return left
	}
	return -left
}

// leftOf is how far q lies to the left of the line from a to b.
func leftOf(a, b, q orb.Point) float64 {
	return ((b[1]-a[1])*(q[0]-a[0]) - (b[0]-a[0])*(q[1]-a[1])) / apart(a, b)
}

// nearest is the stretch of the line that q is nearest to, and how far along it
// from 0 to 1.
func (f *fence) nearest(q orb.Point) (k int, t float64) {
	least := math.Inf(1)
	for i := 1; i < len(f.points); i++ {
		a, b := f.points[i-1], f.points[i]
		l := apart(a, b)
		u := ((q[0]-a[0])*(b[0]-a[0]) + (q[1]-a[1])*(b[1]-a[1])) / (l * l)
		u = math.Max(0, math.Min(1, u))
		if d := apart(q, orb.Point{a[0] + u*(b[0]-a[0]), a[1] + u*(b[1]-a[1])}); d < least {
			k, t, least = i-1, u, d
		}
	}
	return k, t
}

// between is the line's points from one place on it to another.
func (f *fence) between(from, to orb.Point) []orb.Point {
	if !f.bends() {
		return nil
	}
	a, s := f.nearest(from)
	b, t := f.nearest(to)
	var out []orb.Point
	if a < b || a == b && s <= t {
		return append(out, f.points[a+1:b+1]...)
	}
	for k := a; k > b; k-- {
		out = append(out, f.points[k])
	}
	return out
}
