package piece

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// besideMM is how far from a corner of an outline the way out is still the
// corner's: square to a side so near the point of a slit, one comes to its other
// side at once.
const besideMM = 1.0

// Out is a place so far along an edge, in mm, and the unit direction out of the
// outline there: square to the edge, and half way between its two sides at an
// inner corner so sharp that square to one side lies the cloth beyond the other.
func (o Outline) Out(edge int, mm float64) (at, out orb.Point) {
	at, dir := o[edge].Line.At(mm)
	out = leftOf(dir)
	u, v := o.direction(edge, mm-besideMM), o.direction(edge, mm+besideMM)
	if between := plane.Add(leftOf(u), leftOf(v)); plane.Dot(u, v) < 0 && plane.Dot(leftOf(u), v) > 0 && plane.Length(between) > 0 {
		out = plane.Unit(between)
	}
	return at, out
}

// leftOf is a direction turned to its left by a right angle: out of an outline
// that runs clockwise.
func leftOf(d orb.Point) orb.Point { return orb.Point{d[1], -d[0]} }

// direction is where the outline runs to, so far along an edge or beyond its ends.
func (o Outline) direction(edge int, mm float64) orb.Point {
	n := len(o)
	for range n {
		length := o[edge].Line.Length()
		switch {
		case mm < 0:
			edge = (edge + n - 1) % n
			mm += o[edge].Line.Length()
		case mm > length:
			mm -= length
			edge = (edge + 1) % n
		default:
			_, dir := o[edge].Line.At(mm)
			return dir
		}
	}
	_, dir := o[edge].Line.At(math.Max(0, mm))
	return dir
}
