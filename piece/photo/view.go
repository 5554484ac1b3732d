package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/spatial/r3"
)

// view says where a point of the ground is in the picture: a homography, and
// then a radial bend of one term about the picture's middle (D. C. Brown,
// Decentering distortion of lenses, 1966).
type view struct {
	mid  orb.Point // of the picture, in points
	half float64   // its half diagonal, in points
	h    [8]float64
	bend float64    // a point at r half diagonals goes to r·(1 + bend·r²)
	turn [4]float64 // from the ground as it is given out to that of h
}

// groundMM is the unit of the ground within a homography, so that its terms
// are of one size.
const groundMM = 300

func newView(w, h int) view {
	return view{
		mid: orb.Point{float64(w) / 2, float64(h) / 2}, half: math.Hypot(float64(w), float64(h)) / 2,
		h: [8]float64{1, 0, 0, 0, 1, 0, 0, 0}, turn: [4]float64{1, 0, 0, 0},
	}
}

// flat is where a point of the ground, in mm, is in the picture of a lens that
// does not bend, in half diagonals from the middle.
func (v *view) flat(q orb.Point) orb.Point {
	c, s := v.turn[0], v.turn[1]
	x, y := (c*q[0]-s*q[1]+v.turn[2])/groundMM, (s*q[0]+c*q[1]+v.turn[3])/groundMM
	w := v.h[6]*x + v.h[7]*y + 1
	return orb.Point{(v.h[0]*x + v.h[1]*y + v.h[2]) / w, (v.h[3]*x + v.h[4]*y + v.h[5]) / w}
}

// point is where a point of the ground is in the picture.
func (v *view) point(q orb.Point) orb.Point {
	m := v.flat(q)
	k := 1 + v.bend*(m[0]*m[0]+m[1]*m[1])
	return orb.Point{v.mid[0] + v.half*k*m[0], v.mid[1] + v.half*k*m[1]}
}

// ground is the point of the ground, in mm, that is seen at a point of the
// picture.
func (v *view) ground(p orb.Point) orb.Point {
	m := v.straight(p)
	// The homography's two equations, solved for the ground.
	a, b := v.h[0]-m[0]*v.h[6], v.h[1]-m[0]*v.h[7]
	c, d := v.h[3]-m[1]*v.h[6], v.h[4]-m[1]*v.h[7]
	e, f := m[0]-v.h[2], m[1]-v.h[5]
	det := a*d - b*c
	x, y := groundMM*(e*d-b*f)/det-v.turn[2], groundMM*(a*f-e*c)/det-v.turn[3]
	return orb.Point{v.turn[0]*x + v.turn[1]*y, -v.turn[1]*x + v.turn[0]*y}
}

// straight is a point of the picture as a lens that does not bend would show
// it, in half diagonals from the middle.
func (v *view) straight(p orb.Point) orb.Point {
	n := orb.Point{(p[0] - v.mid[0]) / v.half, (p[1] - v.mid[1]) / v.half}
	d := math.Hypot(n[0], n[1])
	if d == 0 || v.bend == 0 {
		return n
	}
	// Newton's method; the bend is bounded so that r·(1 + bend·r²) grows.
	r := d
	for range 8 {
		r -= (r*(1+v.bend*r*r) - d) / (1 + 3*v.bend*r*r)
	}
	return orb.Point{n[0] * r / d, n[1] * r / d}
}

// mmPerPoint is how much of the ground a point of the picture shows there.
func (v *view) mmPerPoint(p orb.Point) float64 {
	a, b, c := v.ground(p), v.ground(orb.Point{p[0] + 1, p[1]}), v.ground(orb.Point{p[0], p[1] + 1})
	return math.Sqrt(math.Abs((b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])))
}

// aside is the way that the camera looks aside at a point of the ground: what stands there hides the ground behind it for
// that many times its height. The lens is taken to be the usual one, which matters little where the camera looks nearly
// straight down.
func (v *view) aside(q orb.Point) orb.Point {
	column := func(i int) r3.Vec { return r3.Vec{X: v.h[i] / usualFocal, Y: v.h[i+3] / usualFocal, Z: v.h[i+6]} }
	x, y, from := column(0), column(1), r3.Vec{X: v.h[2] / usualFocal, Y: v.h[5] / usualFocal, Z: 1}
	// A ground of one unit, seen from so far away; its two ways are square to each other but for errors.
	unit := (r3.Norm(x) + r3.Norm(y)) / 2
	down := r3.Unit(r3.Cross(x, y))
	height := math.Abs(r3.Dot(down, from)) / unit
	foot := orb.Point{-r3.Dot(x, from) / (unit * unit), -r3.Dot(y, from) / (unit * unit)}
	c, s := v.turn[0], v.turn[1]
	at := orb.Point{(c*q[0] - s*q[1] + v.turn[2]) / groundMM, (s*q[0] + c*q[1] + v.turn[3]) / groundMM}
	way := plane.Scale(plane.Sub(at, foot), 1/height)
	return orb.Point{c*way[0] + s*way[1], -s*way[0] + c*way[1]}
}

// upright turns the ground so that what is up in the middle of the picture is
// up, and puts its origin there.
func (v *view) upright() {
	v.turn = [4]float64{1, 0, 0, 0}
	mid, up := v.ground(v.mid), v.ground(orb.Point{v.mid[0], v.mid[1] - 1})
	dx, dy := up[0]-mid[0], up[1]-mid[1]
	n := math.Hypot(dx, dy)
	// The turn that takes (0, -1) to (dx, dy).
	v.turn = [4]float64{-dy / n, dx / n, mid[0], mid[1]}
}

// onSheets is where a point of the first sheet, and not of the ground as it is
// given out, is in the picture.
func (v *view) onSheets(q orb.Point) orb.Point {
	u := *v
	u.turn = [4]float64{1, 0, 0, 0}
	return u.point(q)
}
