package curve

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Matrix is SVG's [a b c d e f]: x' = a·x + c·y + e, y' = b·x + d·y + f.
// The zero value collapses everything to the origin; Identity leaves all as
// it is.
type Matrix [6]float64

// Identity leaves every point where it is.
var Identity = Matrix{1, 0, 0, 1, 0, 0}

// Apply takes p through m.
func (m Matrix) Apply(p orb.Point) orb.Point {
	return orb.Point{m[0]*p[0] + m[2]*p[1] + m[4], m[1]*p[0] + m[3]*p[1] + m[5]}
}

// Then is the matrix that applies m first and n after it.
func (m Matrix) Then(n Matrix) Matrix {
	return Matrix{
		n[0]*m[0] + n[2]*m[1], n[1]*m[0] + n[3]*m[1],
		n[0]*m[2] + n[2]*m[3], n[1]*m[2] + n[3]*m[3],
		n[0]*m[4] + n[2]*m[5] + n[4], n[1]*m[4] + n[3]*m[5] + n[5],
	}
}

// Shift moves by dx, dy.
func Shift(dx, dy float64) Matrix { return Matrix{1, 0, 0, 1, dx, dy} }

// Turn rotates by deg clockwise (y down) about the point at.
func Turn(deg float64, at orb.Point) Matrix {
	s, c := math.Sincos(deg * math.Pi / 180)
	return Shift(-at[0], -at[1]).Then(Matrix{c, s, -s, c, 0, 0}).Then(Shift(at[0], at[1]))
}

// Mirror reflects about the line through a and b, which must differ.
func Mirror(a, b orb.Point) Matrix {
	u := plane.Unit(plane.Sub(b, a))
	c, s := u[0]*u[0]-u[1]*u[1], 2*u[0]*u[1]
	return Shift(-a[0], -a[1]).Then(Matrix{c, s, s, -c, 0, 0}).Then(Shift(a[0], a[1]))
}

// Align is the turn and shift that takes the point a to c and the direction
// from a to b to the direction from c to d.
func Align(a, b, c, d orb.Point) Matrix {
	deg := (math.Atan2(d[1]-c[1], d[0]-c[0]) - math.Atan2(b[1]-a[1], b[0]-a[0])) * 180 / math.Pi
	return Turn(deg, a).Then(Shift(c[0]-a[0], c[1]-a[1]))
}
