// Package curve is the geometry of drawn lines: straight segments and cubic
// Béziers joined into paths, measured, split, turned and crossed without
// losing the curve.
//
// A Segment is drawn as its parameter goes from 0 to 1; a place on a Path is
// said by its distance along it in mm, and a distance beyond the end is taken
// as the end. Most methods of a Path need one segment at least. Nothing here
// fails: what has no answer (the direction of a segment of no length) is said
// to be zero where it is asked.
//
// Lengths are millimetres on a page with x to the right and y down. Quadratic
// Béziers are held as the cubic of the same shape, which is exact. Lengths are
// found with Gauss-Legendre quadrature (halved near a cusp), parameters at a length by bisection
// with Newton steps, and crossings by halving the curves where they may meet, then
// with Newton's method. Flattening follows the
// second-derivative bound of Wang (G. Wang, "The subdivision method for
// finding the intersection between two Bézier curves or surfaces", 1984).
package curve

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/integrate/quad"
)

// FlattenMM is how far a flattened curve may stray from the curve it stands
// for. It is for computing only; what is drawn stays curved.
const FlattenMM = 0.05

// Segment is a straight line from P0 to P1, or the cubic Bézier with the
// control points C0 and C1. The zero value is a line of no length at the
// origin.
type Segment struct {
	P0, C0, C1, P1 orb.Point
	Curved         bool
}

// Line is the straight segment from a to b.
func Line(a, b orb.Point) Segment {
	return Segment{P0: a, C0: plane.Lerp(a, b, 1.0/3), C1: plane.Lerp(a, b, 2.0/3), P1: b}
}

// Cubic is the cubic Bézier from p0 to p1 with the control points c0 and c1.
func Cubic(p0, c0, c1, p1 orb.Point) Segment {
	return Segment{P0: p0, C0: c0, C1: c1, P1: p1, Curved: true}
}

// Quadratic is the quadratic Bézier from p0 to p1 with control point c, held
// as the cubic of the same shape.
func Quadratic(p0, c, p1 orb.Point) Segment {
	return Cubic(p0, plane.Lerp(p0, c, 2.0/3), plane.Lerp(p1, c, 2.0/3), p1)
}

// At is the point at parameter t, 0 at P0 and 1 at P1.
func (s Segment) At(t float64) orb.Point {
	if !s.Curved {
		return plane.Lerp(s.P0, s.P1, t)
	}
	u := 1 - t
	a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return orb.Point{
		a*s.P0[0] + b*s.C0[0] + c*s.C1[0] + d*s.P1[0],
		a*s.P0[1] + b*s.C0[1] + c*s.C1[1] + d*s.P1[1],
	}
}

// Velocity is the derivative at t, in mm per unit of parameter.
func (s Segment) Velocity(t float64) orb.Point {
	if !s.Curved {
		return plane.Sub(s.P1, s.P0)
	}
	u := 1 - t
	a, b, c := 3*u*u, 6*u*t, 3*t*t
	return orb.Point{
		a*(s.C0[0]-s.P0[0]) + b*(s.C1[0]-s.C0[0]) + c*(s.P1[0]-s.C1[0]),
		a*(s.C0[1]-s.P0[1]) + b*(s.C1[1]-s.C0[1]) + c*(s.P1[1]-s.C1[1]),
	}
}

// Tangent is the unit direction at t. Where control points coincide with an
// end it is the limit of the direction there; a segment of no length has
// none and gives {0, 0}.
func (s Segment) Tangent(t float64) orb.Point {
	if v := s.Velocity(t); plane.Length(v) > 1e-9 {
		return plane.Unit(v)
	}
	h := 1e-4
	lo, hi := max(0, t-h), min(1, t+h)
	return plane.Unit(plane.Sub(s.At(hi), s.At(lo)))
}

// Split cuts the segment at t into two that draw the same line.
func (s Segment) Split(t float64) (Segment, Segment) {
	if !s.Curved {
		m := s.At(t)
		return Line(s.P0, m), Line(m, s.P1)
	}
	ab, bc, cd := plane.Lerp(s.P0, s.C0, t), plane.Lerp(s.C0, s.C1, t), plane.Lerp(s.C1, s.P1, t)
	abc, bcd := plane.Lerp(ab, bc, t), plane.Lerp(bc, cd, t)
	m := plane.Lerp(abc, bcd, t)
	return Cubic(s.P0, ab, abc, m), Cubic(m, bcd, cd, s.P1)
}

// Between is the stretch of the segment from t0 to t1, t0 ≤ t1.
func (s Segment) Between(t0, t1 float64) Segment {
	if t0 <= 0 && t1 >= 1 {
		return s
	}
	_, tail := s.Split(t0)
	if t1 >= 1 {
		return tail
	}
	head, _ := tail.Split((t1 - t0) / (1 - t0))
	return head
}

// Reverse is the same line drawn from P1 to P0.
func (s Segment) Reverse() Segment {
	return Segment{P0: s.P1, C0: s.C1, C1: s.C0, P1: s.P0, Curved: s.Curved}
}

// Transform applies m to the segment.
func (s Segment) Transform(m Matrix) Segment {
	return Segment{P0: m.Apply(s.P0), C0: m.Apply(s.C0), C1: m.Apply(s.C1), P1: m.Apply(s.P1), Curved: s.Curved}
}

// The nodes and weights of a 16-point Gauss-Legendre rule on [0, 1].
var legendreX, legendreW = func() (x, w [16]float64) {
	quad.Legendre{}.FixedLocations(x[:], w[:], 0, 1)
	return x, w
}()

// Length is the arc length in mm.
func (s Segment) Length() float64 { return s.lengthTo(1) }

func (s Segment) lengthTo(t float64) float64 {
	if !s.Curved {
		return t * plane.Distance(s.P0, s.P1)
	}
	if s.gentle() {
		return s.quadrature(0, t/2) + s.quadrature(t/2, t)
	}
	var sum, from float64
	for _, slow := range append(s.slowest(), 1) {
		to := min(slow, t)
		sum += s.refine(from, to, s.quadrature(from, to), 24)
		from = to
	}
	return sum
}

// slowest is where the parameter runs most slowly, in order: at a cusp, or
// close to one, the speed has a kink that quadrature must not straddle. They
// are roots of the cubic v·v', one at most between its own extremes.
func (s Segment) slowest() []float64 {
	u, v, w := plane.Sub(s.C0, s.P0), plane.Sub(s.C1, s.C0), plane.Sub(s.P1, s.C1)
	b := orb.Point{2 * (v[0] - u[0]), 2 * (v[1] - u[1])} // the velocity is 3(u + bt + ct²)
	c := orb.Point{u[0] - 2*v[0] + w[0], u[1] - 2*v[1] + w[1]}
	k0, k1, k2, k3 := plane.Dot(u, b), plane.Dot(b, b)+2*plane.Dot(u, c), 3*plane.Dot(b, c), 2*plane.Dot(c, c)
	slope := func(t float64) float64 { return k0 + t*(k1+t*(k2+t*k3)) }
	ends := []float64{0, 1}
	if d := k2*k2 - 3*k1*k3; d > 0 && k3 > 0 {
		r := math.Sqrt(d)
		ends = []float64{0, inUnit((-k2 - r) / (3 * k3)), inUnit((-k2 + r) / (3 * k3)), 1}
	}
	var out []float64
	for i := 1; i < len(ends); i++ {
		lo, hi := ends[i-1], ends[i]
		if slope(lo) >= 0 || slope(hi) <= 0 {
			continue // not least between them
		}
		for range 60 {
			if mid := (lo + hi) / 2; slope(mid) < 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		out = append(out, hi)
	}
	return out
}

func inUnit(t float64) float64 { return max(0, min(1, t)) }

// gentle reports whether the curve turns through less than a right angle
// either way, at no great change of pace, so that it has nothing near a cusp,
// where quadrature is slow to converge.
func (s Segment) gentle() bool {
	u, v, w := plane.Sub(s.C0, s.P0), plane.Sub(s.C1, s.C0), plane.Sub(s.P1, s.C1)
	uu, vv, ww := plane.Dot(u, u), plane.Dot(v, v), plane.Dot(w, w)
	const pace = 10 * 10
	return plane.Dot(u, v) > 0 && plane.Dot(v, w) > 0 && plane.Dot(u, w) > 0 &&
		pace*min(uu, min(vv, ww)) > max(uu, max(vv, ww))
}

// quadrature is the arc length of a curve from t0 to t1 by one Gauss-Legendre rule.
// It is asked so often that the velocity is not left to Velocity.
func (s *Segment) quadrature(t0, t1 float64) float64 {
	p, q, r := plane.Sub(s.C0, s.P0), plane.Sub(s.C1, s.C0), plane.Sub(s.P1, s.C1)
	var sum float64
	for i := range legendreX {
		t := t0 + (t1-t0)*legendreX[i]
		u := 1 - t
		a, b, c := 3*u*u, 6*u*t, 3*t*t
		x, y := a*p[0]+b*q[0]+c*r[0], a*p[1]+b*q[1]+c*r[1]
		sum += legendreW[i] * math.Sqrt(x*x+y*y)
	}
	return sum * (t1 - t0)
}

// refine halves the stretch from t0 to t1, whose length is about whole, until
// halving changes nothing.
func (s Segment) refine(t0, t1, whole float64, depth int) float64 {
	mid := (t0 + t1) / 2
	a, b := s.quadrature(t0, mid), s.quadrature(mid, t1)
	if depth == 0 || math.Abs(a+b-whole) < 1e-9+1e-12*whole {
		return a + b
	}
	return s.refine(t0, mid, a, depth-1) + s.refine(mid, t1, b, depth-1)
}

// ParamAt is the parameter at which the arc length from P0 is mm, held to
// [0, 1].
func (s Segment) ParamAt(mm float64) float64 { return s.paramAt(mm, s.Length()) }

// paramAt is ParamAt of a segment whose length is known.
func (s Segment) paramAt(mm, total float64) float64 {
	switch {
	case mm <= 0 || total == 0:
		return 0
	case mm >= total:
		return 1
	case !s.Curved:
		return mm / total
	}
	lo, hi, t := 0.0, 1.0, mm/total
	for range 60 {
		miss := s.lengthTo(t) - mm
		if math.Abs(miss) < 1e-10*total {
			break
		}
		if miss > 0 {
			hi = t
		} else {
			lo = t
		}
		t -= miss / plane.Length(s.Velocity(t))
		if !(t > lo && t < hi) {
			t = (lo + hi) / 2
		}
	}
	return t
}

// steps is how many equal steps of the parameter keep the chords within tol
// of the curve.
func (s Segment) steps(tol float64) int {
	if !s.Curved {
		return 1
	}
	a := plane.Length(orb.Point{s.P0[0] - 2*s.C0[0] + s.C1[0], s.P0[1] - 2*s.C0[1] + s.C1[1]})
	b := plane.Length(orb.Point{s.C0[0] - 2*s.C1[0] + s.P1[0], s.C0[1] - 2*s.C1[1] + s.P1[1]})
	return max(1, int(math.Ceil(math.Sqrt(6*max(a, b)/(8*tol)))))
}
