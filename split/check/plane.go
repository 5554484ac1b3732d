package check

import (
	"math"

	"eke/split/plan"
)

type point = plan.Point

func sub(a, b point) point        { return point{a[0] - b[0], a[1] - b[1]} }
func dot(a, b point) float64      { return a[0]*b[0] + a[1]*b[1] }
func cross(a, b point) float64    { return a[0]*b[1] - a[1]*b[0] }
func distance(a, b point) float64 { return math.Sqrt(dot(sub(a, b), sub(a, b))) }
func between(a, b point, t float64) point {
	return point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}

// signedArea is positive for a ring that runs clockwise on the page.
func signedArea(ring []point) float64 {
	var sum float64
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		sum += cross(sub(a, ring[0]), sub(b, ring[0]))
	}
	return sum / 2
}

func length(line []point) float64 {
	var sum float64
	for i := 1; i < len(line); i++ {
		sum += distance(line[i-1], line[i])
	}
	return sum
}

// closed is the ring with its first point repeated at the end, as a line.
func closed(ring []point) []point {
	return append(ring[:len(ring):len(ring)], ring[0])
}

// nearest is the place on the segment from a to b that is closest to p: 0 is
// a, 1 is b.
func nearest(p, a, b point) (t, away float64) {
	d := sub(b, a)
	if l := dot(d, d); l > 0 {
		t = max(0, min(1, dot(sub(p, a), d)/l))
	}
	return t, distance(p, between(a, b, t))
}

// along is how far along the line its point closest to p is, and how far from
// p.
func along(line []point, p point) (mm, away float64) {
	away = math.Inf(1)
	at := 0.0
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		l := distance(a, b)
		if t, d := nearest(p, a, b); d < away {
			mm, away = at+t*l, d
		}
		at += l
	}
	return mm, away
}

func away(line []point, p point) float64 {
	_, d := along(line, p)
	return d
}

// follower asks of points that come in order along a line whether they are on
// it: each is looked for where the one before was found.
type follower struct {
	line []point
	last int
}

// near reports whether p is within mm of the line.
func (f *follower) near(p point, mm float64) bool {
	n := len(f.line) - 1
	for k := range n {
		step := (k + 1) / 2
		if k%2 == 0 {
			step = -step
		}
		i := ((f.last+step)%n + n) % n
		if _, d := nearest(p, f.line[i], f.line[i+1]); d <= mm {
			f.last = i
			return true
		}
	}
	return false
}

// strays finds the first of some points that is more than mm off a line, and
// how far off it is.
func strays(points, line []point, mm float64) (p point, offMM float64, ok bool) {
	f := follower{line: line}
	for _, p := range points {
		if !f.near(p, mm) {
			return p, away(line, p), true
		}
	}
	return point{}, 0, false
}

// within reports whether p lies in the ring. On its boundary it may say
// either.
func within(ring []point, p point) bool {
	in := false
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// box is an upright box with lo at its top left.
type box struct{ lo, hi point }

func boxOf(points ...point) box {
	b := box{point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}}
	for _, p := range points {
		for k := range 2 {
			b.lo[k], b.hi[k] = min(b.lo[k], p[k]), max(b.hi[k], p[k])
		}
	}
	return b
}

// apart is how far two boxes are from each other, 0 where they touch.
func (b box) apart(c box) float64 {
	var d point
	for k := range 2 {
		d[k] = max(0, max(c.lo[k]-b.hi[k], b.lo[k]-c.hi[k]))
	}
	return math.Hypot(d[0], d[1])
}

// grown is the box with mm added on every side.
func (b box) grown(mm float64) box {
	return box{point{b.lo[0] - mm, b.lo[1] - mm}, point{b.hi[0] + mm, b.hi[1] + mm}}
}

// segment is a straight line and its box.
type segment struct {
	a, b point
	box  box
}

func segments(line []point) []segment {
	out := make([]segment, 0, len(line))
	for i := 1; i < len(line); i++ {
		out = append(out, segment{line[i-1], line[i], boxOf(line[i-1], line[i])})
	}
	return out
}

// clearance is the least distance between the lines of two rings, or enough
// where it is no less than that.
func clearance(a, b []point, enough float64) float64 {
	bs := segments(closed(b))
	whole := boxOf(b...)
	var near *index
	best := enough
	for _, s := range segments(closed(a)) {
		if s.box.apart(whole) >= best {
			continue
		}
		if near == nil {
			near = indexOf(bs)
		}
		for i := range near.touching(s.box.grown(best)) {
			best = min(best, s.from(bs[i]))
		}
	}
	return best
}

// from is the distance between two segments.
func (s segment) from(t segment) float64 {
	if s.crosses(t) {
		return 0
	}
	_, a := nearest(s.a, t.a, t.b)
	_, b := nearest(s.b, t.a, t.b)
	_, c := nearest(t.a, s.a, s.b)
	_, d := nearest(t.b, s.a, s.b)
	return min(min(a, b), min(c, d))
}

func (s segment) crosses(t segment) bool {
	u, v := sub(s.b, s.a), sub(t.b, t.a)
	return cross(u, sub(t.a, s.a)) > 0 != (cross(u, sub(t.b, s.a)) > 0) &&
		cross(v, sub(s.a, t.a)) > 0 != (cross(v, sub(s.b, t.a)) > 0)
}
