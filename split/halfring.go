package split

import (
	"math"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Half is the part of a ring on one side of a line that starts and ends
// outside it, closed along the line: near is on the line's left. It cuts a
// body's ring, or its cutting line, much faster than Cut cuts the outline, and
// as exactly as the ring is. It is empty where the ring lies on the other side.
func Half(ring orb.Ring, line curve.Path, near bool) orb.Ring {
	if len(line) == 1 && !line[0].Curved {
		dir := plane.Sub(line[0].P1, line[0].P0)
		if near {
			dir = plane.Scale(dir, -1)
		}
		return plane.ClipRight(ring, line[0].P0, dir)
	}
	const toleranceMM = 0.01
	f := newFence(line.Flatten(toleranceMM), near)
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
		return math.Abs(plane.SignedArea(half))
	}
	a, b := line[0].P0, line[0].P1
	dx, dy := b[0]-a[0], b[1]-a[1]
	if near {
		dx, dy = -dx, -dy
	}
	// About a, the segments along the line add nothing.
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
	segments []segment // those of the line, one after the other
	chord    segment   // from the line's start to its end
	bow      float64   // the most that the line bends away from its chord
	near     bool
}

// segment is a straight line from a place, with its unit direction.
type segment struct {
	from, along orb.Point
	length      float64
}

func segmentTo(a, b orb.Point) segment {
	l := plane.Distance(a, b)
	return segment{a, orb.Point{(b[0] - a[0]) / l, (b[1] - a[1]) / l}, l}
}

// of is how far along the segment q is, and how far to its left.
func (s *segment) of(q orb.Point) (along, left float64) {
	x, y := q[0]-s.from[0], q[1]-s.from[1]
	return s.along[0]*x + s.along[1]*y, s.along[1]*x - s.along[0]*y
}

func newFence(points orb.LineString, near bool) *fence {
	f := &fence{chord: segmentTo(points[0], points[len(points)-1]), near: near}
	for i, q := range points {
		_, left := f.chord.of(q)
		f.bow = math.Max(f.bow, math.Abs(left))
		if i > 0 && q != points[i-1] {
			f.segments = append(f.segments, segmentTo(points[i-1], q))
		}
	}
	return f
}

func (f *fence) bends() bool { return len(f.segments) > 1 }

// side is how far q lies on the side wanted, negative for one on the other.
func (f *fence) side(q orb.Point) float64 {
	_, left := f.chord.of(q)
	if f.bends() && math.Abs(left) <= f.bow+fineMM {
		k, mm := f.nearest(q)
		_, left = f.segments[k].of(q)
		// Round a corner, the segment that q lies off most tells.
		beside := k
		if mm == 0 {
			beside = max(0, k-1)
		} else if mm == f.segments[k].length {
			beside = min(k+1, len(f.segments)-1)
		}
		if _, other := f.segments[beside].of(q); math.Abs(other) > math.Abs(left) {
			left = other
		}
	}
	if f.near {
		return left
	}
	return -left
}

// nearest is the segment of the line that q is nearest to, and how far along it.
func (f *fence) nearest(q orb.Point) (k int, mm float64) {
	least := math.Inf(1) // squared
	for i := range f.segments {
		s := &f.segments[i]
		along, left := s.of(q)
		at := max(0, min(s.length, along))
		if d := (along-at)*(along-at) + left*left; d < least {
			k, mm, least = i, at, d
		}
	}
	return k, mm
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
		for k := a + 1; k <= b; k++ {
			out = append(out, f.segments[k].from)
		}
		return out
	}
	for k := a; k > b; k-- {
		out = append(out, f.segments[k].from)
	}
	return out
}
