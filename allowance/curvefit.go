package allowance

import (
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"
)

// fitToleranceMM is how far a fitted Bézier may stray from the line it stands for.
const fitToleranceMM = 0.01

// offsetCurve is the offset curve of s from the parameter t0 to t1, mm to its
// left (outside, for the edge of a piece), as Béziers within fitToleranceMM of
// it.
func offsetCurve(s curve.Segment, mm, t0, t1 float64) curve.Path {
	at := func(t float64) orb.Point {
		d := s.Tangent(t)
		return plane.Along(s.At(t), orb.Point{d[1], -d[0]}, mm)
	}
	if !s.Curved || t0 == t1 {
		return curve.Path{curve.Line(at(t0), at(t1))}
	}
	const samples, deepest = 24, 8
	var fit func(t0, t1 float64, depth int) curve.Path
	fit = func(t0, t1 float64, depth int) curve.Path {
		points := make([]orb.Point, samples+1)
		for i := range points {
			points[i] = at(t0 + (t1-t0)*float64(i)/samples)
		}
		b, ok := fitCubic(points, s.Tangent(t0), s.Tangent(t1))
		if ok || depth == deepest {
			return curve.Path{b}
		}
		mid := (t0 + t1) / 2
		return append(fit(t0, mid, depth+1), fit(mid, t1, depth+1)...)
	}
	return fit(t0, t1, 0)
}

// fitCubic fits a Bézier to points in order, with the directions from and to
// at its ends, by least squares; ok is whether it comes within fitMM of every
// point. (P. J. Schneider, "An algorithm for automatically fitting digitized
// curves", Graphics Gems, 1990.)
func fitCubic(points []orb.Point, from, to orb.Point) (b curve.Segment, ok bool) {
	n := len(points) - 1
	p, q := points[0], points[n]
	u := make([]float64, n+1)
	for i := 1; i <= n; i++ {
		u[i] = u[i-1] + plane.Distance(points[i-1], points[i])
	}
	chord := u[n]
	if chord == 0 {
		return curve.Line(p, q), true
	}
	for i := range u {
		u[i] /= chord
	}
	for range 40 {
		var c00, c01, c11, x0, x1 float64
		for i, t := range u {
			v := 1 - t
			b0, b1, b2, b3 := v*v*v, 3*v*v*t, 3*v*t*t, t*t*t
			a0, a1 := plane.Scale(from, b1), plane.Scale(to, -b2)
			rest := plane.Sub(points[i], plane.Add(plane.Scale(p, b0+b1), plane.Scale(q, b2+b3)))
			c00 += plane.Dot(a0, a0)
			c01 += plane.Dot(a0, a1)
			c11 += plane.Dot(a1, a1)
			x0 += plane.Dot(a0, rest)
			x1 += plane.Dot(a1, rest)
		}
		det := c00*c11 - c01*c01
		alpha, beta := chord/3, chord/3
		if math.Abs(det) > 1e-12*c00*c11 {
			if a, b := (x0*c11-x1*c01)/det, (c00*x1-c01*x0)/det; a > 0 && b > 0 && a < 3*chord && b < 3*chord {
				alpha, beta = a, b
			}
		}
		b = curve.Cubic(p, plane.Along(p, from, alpha), plane.Along(q, to, -beta), q)
		worst := 0.0
		for i, t := range u {
			// A step of Newton's method toward the nearest place.
			gap, v := plane.Sub(b.At(t), points[i]), b.Velocity(t)
			if d := plane.Dot(v, v); d > 0 && i > 0 && i < n {
				u[i] = max(0, min(1, t-plane.Dot(gap, v)/d))
			}
			worst = max(worst, plane.Distance(b.At(u[i]), points[i]))
		}
		if worst < fitToleranceMM {
			return b, true
		}
	}
	for _, q := range points {
		if _, away := (curve.Path{b}).Nearest(q); away > fitToleranceMM {
			return b, false
		}
	}
	return b, true
}

// run is a stretch of a line drawn beside an outline: along one edge of it, or
// round a corner, where edge is cornerSide.
type run struct {
	edge int
	line curve.Path
}

// fitRuns turns a ring of straight stretches beside sides back into curves.
// along is the side that each stretch of the ring runs beside, or cornerSide.
func fitRuns(o piece.Outline, sides []side, ring orb.Ring, along []int) []run {
	n := len(ring)
	goesOn := func(i int) bool { // the stretch at i is one curve with the one before
		a, b := along[(i+n-1)%n], along[i]
		if a == cornerSide || b == cornerSide {
			return false
		}
		s, t := &sides[a], &sides[b]
		step := b - a
		return (a == b || step == 1 || step == -1) && s.edge == t.edge && s.segment == t.segment
	}
	start := 0
	for start < n-1 && goesOn(start) {
		start++
	}
	var runs []run
	for done := 0; done < n; {
		i := (start + done) % n
		length := 1
		for done+length < n && goesOn((i+length)%n) {
			length++
		}
		last := (i + length - 1) % n
		from, to := ring[i], ring[(last+1)%n]
		r := run{cornerSide, curve.Path{curve.Line(from, to)}}
		if along[i] != cornerSide {
			a, b := &sides[along[i]], &sides[along[last]]
			r.edge = a.edge
			if s := o[a.edge].Line[a.segment]; s.Curved {
				var points orb.LineString
				for k := range length + 1 {
					points = append(points, ring[(i+k)%n])
				}
				r.line = pinned(fitBetween(s, a, b, from, to), from, to)
				if strays(r.line, points) || turnsBack(r.line) {
					r.line = curve.Polyline(simplify.DouglasPeucker(fitToleranceMM).LineString(points)...)
				}
			}
		}
		runs = append(runs, r)
		done += length
	}
	return runs
}

// strays reports whether a fitted line misses the points it was fitted to. That
// can happen where a curve is about as tight as its allowance is wide.
func strays(fitted curve.Path, points orb.LineString) bool {
	const mostMM = 0.08 // the ring has chords, up to 0.05 mm off the curve
	drawn := fitted.Flatten(fineMM)
	for _, ab := range [][2]orb.LineString{{points, drawn}, {drawn, points}} {
		for _, p := range ab[0] {
			if planar.DistanceFrom(ab[1], p) > mostMM {
				return true
			}
		}
	}
	return false
}

// turnsBack reports whether a fitted line runs back at a place, as the true
// offset of a curve does that is tighter than its allowance is wide.
func turnsBack(fitted curve.Path) bool {
	drawn := fitted.Flatten(fineMM)
	for i := 2; i < len(drawn); i++ {
		if plane.Dot(plane.Sub(drawn[i-1], drawn[i-2]), plane.Sub(drawn[i], drawn[i-1])) < 0 {
			return true
		}
	}
	return false
}

// fitBetween fits the line beside s from the place beside side a at from to
// the place beside side b at to. The sides may run against s.
func fitBetween(s curve.Segment, a, b *side, from, to orb.Point) curve.Path {
	// The parameter of the point of s nearest to p: a first guess along the
	// side, improved by Newton's method.
	across := func(t float64, p orb.Point) float64 { return plane.Dot(plane.Sub(p, s.At(t)), s.Tangent(t)) }
	param := func(e *side, p orb.Point) float64 {
		t := e.t0 + plane.Dot(plane.Sub(p, e.from), e.along)/e.length*(e.t1-e.t0)
		t = math.Max(0, math.Min(1, t))
		const h = 1e-5
		for range 6 {
			miss := across(t, p)
			slope := (across(math.Min(1, t+h), p) - across(math.Max(0, t-h), p)) / (math.Min(1, t+h) - math.Max(0, t-h))
			if slope >= 0 || math.Abs(miss) < 1e-9 {
				break
			}
			t = math.Max(0, math.Min(1, t-miss/slope))
		}
		return t
	}
	t0, t1 := param(a, from), param(b, to)
	if (t1-t0)*(b.t1-b.t0) <= 0 {
		// All of it lies past the curve's end, on the way to a corner.
		return curve.Path{curve.Line(from, to)}
	}
	if a.t0 > a.t1 {
		t0, t1 = runningOn(s, -a.allowance, t1, t0, to, from)
		return offsetCurve(s, -a.allowance, t0, t1).Reverse()
	}
	t0, t1 = runningOn(s, a.allowance, t0, t1, from, to)
	return offsetCurve(s, a.allowance, t0, t1)
}

// runningOn leaves out of the stretch from t0 to t1 what of its offset curve runs
// back at either end, where s is tighter than mm is wide: the new ends are where
// what runs on is nearest to from and to.
func runningOn(s curve.Segment, mm, t0, t1 float64, from, to orb.Point) (float64, float64) {
	const steps = 256
	at := func(i int) float64 { return t0 + (t1-t0)*float64(i)/steps }
	offset := func(t float64) orb.Point {
		d := s.Tangent(t)
		return plane.Along(s.At(t), orb.Point{d[1], -d[0]}, mm)
	}
	runsOn := func(i int) bool {
		return plane.Dot(plane.Sub(offset(at(i+1)), offset(at(i))), s.Tangent(at(i))) >= 0
	}
	first, last := 0, steps-1
	for first < last && !runsOn(first) {
		first++
	}
	for last > first && !runsOn(last) {
		last--
	}
	if first == last {
		return t0, t1 // nothing of it runs on
	}
	nearest := func(lo, hi int, p orb.Point) float64 {
		best := lo
		for i := lo; i <= hi; i++ {
			if plane.Distance(offset(at(i)), p) < plane.Distance(offset(at(best)), p) {
				best = i
			}
		}
		a, b := at(max(lo, best-1)), at(min(hi, best+1))
		for range 40 {
			if u, v := a+(b-a)/3, b-(b-a)/3; plane.Distance(offset(u), p) < plane.Distance(offset(v), p) {
				b = v
			} else {
				a = u
			}
		}
		return (a + b) / 2
	}
	lo, hi := t0, t1
	if first > 0 {
		lo = nearest(first, last+1, from)
	}
	if last < steps-1 {
		hi = nearest(first, last+1, to)
	}
	return lo, math.Max(lo, hi)
}

// pinned makes a line start and end at the very points given, with a straight
// bit where it stops short of them.
func pinned(line curve.Path, from, to orb.Point) curve.Path {
	const short = 0.05
	if plane.Distance(line.Start(), from) > short {
		line = append(curve.Path{curve.Line(from, line.Start())}, line...)
	} else {
		line[0] = line[0].WithEnds(from, line[0].P1)
	}
	last := len(line) - 1
	if plane.Distance(line.End(), to) > short {
		return append(line, curve.Line(line.End(), to))
	}
	line[last] = line[last].WithEnds(line[last].P0, to)
	return line
}
