package allowance

import (
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// rawOffset is the raw offset curve: one or more closed loops of straight
// segments, before their loops and folds are resolved.
type rawOffset struct {
	segments  []segment
	loopStart int // the first segment of the loop being drawn
}

// segment is a straight segment of a raw offset curve. side is the side of the
// seam line that it runs beside, or cornerSide.
type segment struct {
	a, b orb.Point
	side int
	next int
}

// cornerSide marks a segment that belongs to a corner.
const cornerSide = -1

func newRawOffset(sides int) *rawOffset {
	return &rawOffset{segments: make([]segment, 0, sides+sides/4+16)}
}

// lineTo takes the loop to p, where the segment beside side starts.
func (c *rawOffset) lineTo(p orb.Point, side int) {
	if n := len(c.segments); n > c.loopStart {
		if c.segments[n-1].a == p {
			c.segments[n-1].side = side
			return
		}
		c.segments[n-1].b, c.segments[n-1].next = p, n
	}
	c.segments = append(c.segments, segment{a: p, side: side})
}

// closeLoop takes the loop back to its start.
func (c *rawOffset) closeLoop() {
	n := len(c.segments)
	if n > c.loopStart+1 && c.segments[n-1].a == c.segments[c.loopStart].a {
		c.segments = c.segments[:n-1]
		n--
	}
	if n > c.loopStart {
		c.segments[n-1].b, c.segments[n-1].next = c.segments[c.loopStart].a, c.loopStart
	}
	c.loopStart = n
}

// addCapsule adds a loop that holds every point within s's allowance of s, and
// little else: a box with its corners cut.
func (c *rawOffset) addCapsule(s side) {
	w := s.allowance
	cut := w * math.Tan(math.Pi/8)
	for _, p := range []orb.Point{{-w, -cut}, {-cut, -w}, {s.length + cut, -w}, {s.length + w, -cut}, {s.length + w, cut}, {s.length + cut, w}, {-cut, w}, {-w, cut}} {
		c.lineTo(plane.Along(plane.Along(s.from, s.along, p[0]), s.out, -p[1]), cornerSide)
	}
	c.closeLoop()
}

// addPastEnds adds what reaches past the end of an edge where its allowance is
// wider than the next one's, and is not in the ring yet. That happens on an
// edge that bends outward more tightly than its allowance is wide: the strips
// of its earlier stretches reach past its end. It reports whether it added any.
func (c *rawOffset) addPastEnds(o piece.Outline, sides []side, ring orb.Ring) bool {
	before := len(c.segments)
	for i := range sides {
		h := (i + len(sides) - 1) % len(sides)
		if a, b := sides[h].allowance, sides[i].allowance; a > b {
			c.addPastEnd(o, sides, ring, h, 1)
		} else if b > a {
			c.addPastEnd(o, sides, ring, i, -1)
		}
	}
	return len(c.segments) > before
}

// addPastEnd is addPastEnds for the end of one edge, where step is 1, or for
// its start, where step is -1. k is the edge's side there. It adds all
// stretches as far as the last one that reaches past the end, for the ring may
// have a slot between two of them.
func (c *rawOffset) addPastEnd(o piece.Outline, sides []side, ring orb.Ring, k, step int) {
	var boxes [][4]orb.Point
	last := 0
	edge, w, n := sides[k].edge, sides[k].allowance, len(sides)
	for at := 0.0; at < w && sides[k].edge == edge; k = (k - step + n) % n {
		s := sides[k]
		at += s.length
		line := o[s.edge].Line[s.segment]
		stretches := s.stretches(line)
		for i := range int(stretches) {
			t0 := s.t0 + (s.t1-s.t0)*float64(i)/stretches
			t1 := s.t0 + (s.t1-s.t0)*float64(i+1)/stretches
			p, q := line.At(t0), line.At(t1)
			d := plane.Sub(q, p)
			l := math.Hypot(d[0], d[1])
			if l < coincidentMM {
				continue
			}
			along := plane.Scale(d, 1/l)
			out := orb.Point{along[1], -along[0]}
			// Square to the curve at both ends, and not only to the stretch.
			lean := math.Max(slope(along, line.Tangent(t0)), slope(along, line.Tangent(t1)))
			tips := [2]orb.Point{plane.Along(plane.Along(p, out, w), along, -w*lean), plane.Along(plane.Along(q, out, w), along, w*lean)}
			boxes = append(boxes, [4]orb.Point{tips[0], tips[1], q, p})
			if outsideBy(ring, tips[0], curve.FlattenMM) || outsideBy(ring, tips[1], curve.FlattenMM) {
				last = len(boxes)
			}
		}
	}
	for _, box := range boxes[:last] {
		for _, corner := range box {
			c.lineTo(corner, cornerSide)
		}
		c.closeLoop()
	}
}

// stretches is how many stretches a side is divided into, so that each is
// nearly straight or short enough.
func (s side) stretches(line curve.Segment) float64 {
	const (
		most  = 8
		short = 0.5  // mm, what need not be cut where it is straight
		bend  = 0.05 // the most slope of what is straight
	)
	for _, t := range []float64{s.t0, (s.t0 + s.t1) / 2, s.t1} {
		if slope(s.along, line.Tangent(t)) > bend {
			return most
		}
	}
	return math.Max(1, math.Min(most, math.Ceil(s.length/short)))
}

// slope is the tangent of the angle between two directions, and 2 at most.
func slope(along, u orb.Point) float64 {
	if plane.Dot(along, u) < 0 {
		return 2
	}
	return math.Abs(plane.Cross(along, u)) / math.Max(0.5, plane.Dot(along, u))
}

// outsideBy reports whether p lies outside the ring and farther than mm from
// it, by one pass that counts the sides to p's right: it is asked for every
// point of a line that may have thousands.
func outsideBy(ring orb.Ring, p orb.Point, mm float64) bool {
	in := false
	left, right, top, bottom := p[0]-mm, p[0]+mm, p[1]-mm, p[1]+mm
	for i, a := range ring {
		b := ring[0]
		if i+1 < len(ring) {
			b = ring[i+1]
		}
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
		if (a[0] >= left || b[0] >= left) && (a[0] <= right || b[0] <= right) && (a[1] >= top || b[1] >= top) && (a[1] <= bottom || b[1] <= bottom) &&
			planar.DistanceFromSegment(a, b, p) <= mm {
			return false
		}
	}
	return !in
}

// coincidentMM is the distance within which two points of a raw offset curve
// count as one.
const coincidentMM = 1e-7

// intersection is a point where one segment meets another, t along it from 0 to
// 1.
type intersection struct {
	segment int
	t       float64
	at      orb.Point
}

// intersections finds where segments meet, other than at the end that two
// successive ones share. It sweeps along x.
func (c *rawOffset) intersections() []intersection {
	type span struct {
		lo, hi, top, bottom float64
		i                   int
	}
	spans := make([]span, len(c.segments))
	for i, l := range c.segments {
		spans[i] = span{
			math.Min(l.a[0], l.b[0]) - coincidentMM, math.Max(l.a[0], l.b[0]),
			math.Min(l.a[1], l.b[1]) - coincidentMM, math.Max(l.a[1], l.b[1]), i,
		}
	}
	slices.SortFunc(spans, func(a, b span) int {
		switch {
		case a.lo < b.lo:
			return -1
		case a.lo > b.lo:
			return 1
		}
		return a.i - b.i
	})
	var out []intersection
	for k := range spans {
		s := &spans[k]
		for m := k + 1; m < len(spans); m++ {
			o := &spans[m]
			if o.lo > s.hi {
				break
			}
			if o.top <= s.bottom && s.top <= o.bottom {
				out = c.intersect(out, s.i, o.i)
			}
		}
	}
	return out
}

// intersect adds the points where segments i and j meet.
func (c *rawOffset) intersect(out []intersection, i, j int) []intersection {
	p, q := &c.segments[i], &c.segments[j]
	r, s, w := plane.Sub(p.b, p.a), plane.Sub(q.b, q.a), plane.Sub(q.a, p.a)
	after, before := p.next == j, q.next == i
	if (after || before) && plane.Dot(r, s) >= 0 {
		return out // they only follow each other
	}
	// Are both ends of one segment clear of the other's line, on the same side?
	clear := func(x, y float64, along orb.Point) bool {
		return x*y > 0 && math.Min(x*x, y*y) > coincidentMM*coincidentMM*plane.Dot(along, along)
	}
	qa, qb := plane.Cross(r, w), plane.Cross(r, plane.Sub(q.b, p.a))
	if clear(qa, qb, r) {
		return out
	}
	pa, pb := -plane.Cross(s, w), plane.Cross(s, plane.Sub(p.b, q.a))
	if clear(pa, pb, s) {
		return out
	}
	found := len(out)
	touch := func(i int, l *segment, v, end orb.Point, j int, t float64) {
		u := math.Max(0, math.Min(1, plane.Dot(plane.Sub(end, l.a), v)/plane.Dot(v, v)))
		if d := plane.Sub(plane.Along(l.a, v, u), end); plane.Dot(d, d) <= coincidentMM*coincidentMM {
			out = append(out, intersection{i, u, end}, intersection{j, t, end})
		}
	}
	if !after {
		touch(j, q, s, p.b, i, 1)
		touch(i, p, r, q.a, j, 0)
	}
	if !before {
		touch(j, q, s, p.a, i, 0)
		touch(i, p, r, q.b, j, 1)
	}
	if len(out) > found || after || before {
		return out
	}
	den := plane.Cross(r, s)
	if den == 0 {
		return out
	}
	if t, u := plane.Cross(w, s)/den, plane.Cross(w, r)/den; t > 0 && t < 1 && u > 0 && u < 1 {
		at := plane.Along(p.a, r, t)
		out = append(out, intersection{i, t, at}, intersection{j, u, at})
	}
	return out
}

// subdivide divides the segments where they meet, and gives the subdivision of
// the plane that they make.
func (c *rawOffset) subdivide(meetings []intersection) *subdivision {
	slices.SortFunc(meetings, func(a, b intersection) int {
		switch {
		case a.segment != b.segment:
			return a.segment - b.segment
		case a.t < b.t:
			return -1
		case a.t > b.t:
			return 1
		}
		return 0
	})
	w := newSubdivision(len(c.segments) + len(meetings))
	k := 0
	for i, l := range c.segments {
		from := w.vertex(l.a)
		for ; k < len(meetings) && meetings[k].segment == i; k++ {
			at := w.vertex(meetings[k].at)
			w.addEdge(from, at, l.side)
			from = at
		}
		w.addEdge(from, w.vertex(l.b), l.side)
	}
	w.linkFaces()
	return w
}
