// Package plane is the arithmetic of points, segments and rings that the rest
// is built from: what orb leaves to its users, said once.
//
// Lengths are millimetres, x to the right, y down, so that a positive turn is
// clockwise on the page. A ring is its corners in order without a closing
// repeat; one of fewer than three corners is empty and holds nothing. Nothing
// here has a tolerance: who asks has one, and says why.
//
// The proof of a plan (split/check) does not use it: it has arithmetic of its
// own, so that one mistake cannot pass itself.
package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// Add is a + b.
func Add(a, b orb.Point) orb.Point { return orb.Point{a[0] + b[0], a[1] + b[1]} }

// Sub is a - b: the way from b to a.
func Sub(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }

// Scale is k times a.
func Scale(a orb.Point, k float64) orb.Point { return orb.Point{a[0] * k, a[1] * k} }

// Along is a and k times d.
func Along(a, d orb.Point, k float64) orb.Point { return orb.Point{a[0] + d[0]*k, a[1] + d[1]*k} }

// Lerp is the point at t of the way from a to b: a at 0, b at 1.
func Lerp(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + (b[0]-a[0])*t, a[1] + (b[1]-a[1])*t}
}

// Dot is the scalar product.
func Dot(a, b orb.Point) float64 { return a[0]*b[0] + a[1]*b[1] }

// Cross is the third part of the vector product: positive where b points to
// the right of a on the page.
func Cross(a, b orb.Point) float64 { return a[0]*b[1] - a[1]*b[0] }

// TurnDeg is by how many degrees one direction is turned from another, clockwise on the
// page, from -180 to 180.
func TurnDeg(from, to orb.Point) float64 {
	return math.Atan2(Cross(from, to), Dot(from, to)) * 180 / math.Pi
}

// Length is how long a vector is.
func Length(v orb.Point) float64 { return math.Hypot(v[0], v[1]) }

// Distance is how far apart two points are.
func Distance(a, b orb.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// Unit is the direction of v, of length 1, and nothing where v is nothing.
func Unit(v orb.Point) orb.Point {
	n := Length(v)
	if n == 0 {
		return orb.Point{}
	}
	return orb.Point{v[0] / n, v[1] / n}
}
