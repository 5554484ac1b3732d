package check

import "math"

// offMM is how far a cutting line may lie from where it should: the slack, and
// what is lost by writing coordinates with few decimals.
const offMM = SlackMM + hairMM

// strip is what an allowance takes up beside one straight bit of an edge, or
// round one corner of it.
type strip struct {
	segment
	wide     float64
	edge     int
	lengthMM float64
	corner   bool // round a, from the direction out to the direction out2
	out      point
	out2     point
}

// stripsOf are the strips of all edges, and the least allowance among them.
func stripsOf(edges []drawnEdge) (out []strip, leastMM float64) {
	leastMM = math.Inf(1)
	for k, e := range edges {
		leastMM = math.Min(leastMM, e.AllowanceMM)
		for i := 1; i < len(e.line); i++ {
			a, b := e.line[i-1], e.line[i]
			if l := distance(a, b); l > 0 {
				square := point{(b[1] - a[1]) / l, (a[0] - b[0]) / l}
				out = append(out, strip{segment: segment{a: a, b: b}, wide: e.AllowanceMM, edge: k, lengthMM: l, out: square, out2: square})
			}
		}
	}
	n := len(out)
	for i := range n {
		before, s := out[(i+n-1)%n], out[i]
		if cross(before.out, s.out) > 0 {
			out = append(out, strip{
				segment: segment{a: s.a, b: s.a}, corner: true, out: before.out, out2: s.out,
				wide: math.Min(before.wide, s.wide), edge: s.edge,
			})
		}
	}
	for i := range out {
		s := &out[i]
		s.box = boxOf(s.a, s.b).grown(s.wide)
	}
	return out, leastMM
}

// of is the stretch of a line that lies in the strip, and how much of the
// strip's width in mm the line leaves between the edge and itself. A line that
// does not cut into the strip leaves the whole width.
func (s strip) of(c segment) (stretch segment, leftMM float64) {
	a, b, ok := clip(c.a, c.b, func(p point) float64 { return cross(s.out, sub(p, s.a)) })
	if ok {
		a, b, ok = clip(a, b, func(p point) float64 { return s.lengthMM - cross(s.out2, sub(p, s.a)) })
	}
	if ok && s.corner {
		_, d := nearest(s.a, a, b)
		return segment{a: a, b: b}, math.Min(d, s.wide)
	}
	up := func(p point) float64 { return dot(s.out, sub(p, s.a)) }
	if ok {
		a, b, ok = clip(a, b, up)
	}
	if ok {
		a, b, ok = clip(a, b, func(p point) float64 { return s.wide - offMM - up(p) })
	}
	if !ok {
		return segment{}, s.wide
	}
	return segment{a: a, b: b}, math.Min(up(a), up(b))
}

// clip is the bit of the segment from a to b where a linear function is
// positive.
func clip(a, b point, f func(point) float64) (point, point, bool) {
	fa, fb := f(a), f(b)
	switch {
	case fa <= 0 && fb <= 0:
		return a, b, false
	case fa < 0:
		a = between(a, b, fa/(fa-fb))
	case fb < 0:
		b = between(a, b, fa/(fa-fb))
	}
	return a, b, true
}

// taken is what all allowances of a part take up.
type taken struct {
	strips []strip
	index  *index // of the strips, once it is needed
}

// cut is how much of the strip's width a cutting line leaves, and whether that
// is too little.
//
// A line may lie offMM from where it should. Across a strip, that much may be
// missing from its width. But a strip also ends, square to its edge. Next to a
// narrower allowance, or in a corner that points inward, no other strip begins
// there, and the cutting line rightly runs along that end. So the line is moved
// offMM along the edge, both ways, and it counts as cutting in only if it still
// lies in some strip then, and not for being moved toward that strip's edge.
func (t *taken) cut(s strip, c segment) (leftMM float64, short bool) {
	in, left := s.of(c)
	if left >= s.wide-offMM {
		return s.wide, false
	}
	for _, on := range [2]point{{s.out[1] * offMM, -s.out[0] * offMM}, {-s.out2[1] * offMM, s.out2[0] * offMM}} {
		if !t.holds(in, on, s) {
			return s.wide, false
		}
	}
	return left, true
}

// holds reports whether any of a line that cuts into the strip from, moved by
// that, lies in a strip: deeper than offMM, and in another than from deeper by
// what the move took it nearer to that strip's edge.
func (t *taken) holds(c segment, by point, from strip) bool {
	if t.index == nil {
		boxes := make([]box, len(t.strips))
		for i, s := range t.strips {
			boxes[i] = s.box
		}
		t.index = newIndex(boxes)
	}
	moved := segment{a: point{c.a[0] + by[0], c.a[1] + by[1]}, b: point{c.b[0] + by[0], c.b[1] + by[1]}}
	for i := range t.index.touching(boxOf(moved.a, moved.b)) {
		s := &t.strips[i]
		nearer := 0.0
		if *s != from {
			nearer = math.Max(0, -math.Min(dot(s.out, by), dot(s.out2, by)))
		}
		if _, left := s.of(moved); left < s.wide-offMM-nearer {
			return true
		}
	}
	return false
}
