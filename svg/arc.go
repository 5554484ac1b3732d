package svg

import (
	"math"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// arcStep is the widest angle that one cubic stands for. The cubic's radius
// is then off by less than 7e-8 of the true one (the error is
// 2/27·sin⁶(θ/4)/cos²(θ/4); M. Goldapp, "Approximation of circular arcs by
// cubic polynomials", 1991): a thousandth of a millimetre on a radius of 15 m.
const arcStep = math.Pi / 8

// arc is an SVG elliptical arc as cubics, by the implementation notes of
// SVG 1.1, F.6: radii of zero draw a straight line, negative ones lose their
// sign, ones too small to reach are scaled up, and an arc to where it starts
// draws nothing. xRotation is in degrees.
func arc(from orb.Point, rx, ry, xRotation float64, large, sweep bool, to orb.Point) []curve.Segment {
	if from == to {
		return nil
	}
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 {
		return []curve.Segment{curve.Line(from, to)}
	}
	sin, cos := math.Sincos(math.Mod(xRotation, 360) * math.Pi / 180)
	// F.6.5.1: halfway from `to` to `from`, in the ellipse's own axes.
	dx, dy := (from[0]-to[0])/2, (from[1]-to[1])/2
	x, y := cos*dx+sin*dy, -sin*dx+cos*dy
	// F.6.6.2 and .3: radii that just reach.
	reach := (x/rx)*(x/rx) + (y/ry)*(y/ry)
	if reach > 1 {
		rx, ry = rx*math.Sqrt(reach), ry*math.Sqrt(reach)
	}
	// F.6.5.2: the centre, in the same axes.
	k := 0.0
	if reach < 1 && reach > 0 {
		k = math.Sqrt(1/reach - 1)
	}
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	centre := orb.Point{cos*cx - sin*cy + (from[0]+to[0])/2, sin*cx + cos*cy + (from[1]+to[1])/2}
	// F.6.5.5 and .6: where it starts and how far it turns.
	first := math.Atan2((y-cy)/ry, (x-cx)/rx)
	turn := math.Atan2((-y-cy)/ry, (-x-cx)/rx) - first
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	out := ellipse(curve.Matrix{cos * rx, sin * rx, -sin * ry, cos * ry, centre[0], centre[1]}, first, turn)
	out[0].P0, out[len(out)-1].P1 = from, to
	return out
}

// ellipse is the image under m of the unit circle from the angle first on by
// turn, both in radians.
func ellipse(m curve.Matrix, first, turn float64) []curve.Segment {
	n := max(1, int(math.Ceil(math.Abs(turn)/arcStep-1e-9)))
	step := turn / float64(n)
	h := 4.0 / 3 * math.Tan(step/4)
	out := make([]curve.Segment, n)
	for i := range out {
		s0, c0 := math.Sincos(first + step*float64(i))
		s1, c1 := math.Sincos(first + step*float64(i+1))
		out[i] = curve.Cubic(orb.Point{c0, s0}, orb.Point{c0 - h*s0, s0 + h*c0}, orb.Point{c1 + h*s1, s1 - h*c1}, orb.Point{c1, s1}).Transform(m)
		if i > 0 {
			out[i].P0 = out[i-1].P1
		}
	}
	return out
}
