package allowance

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// quarter is a quarter circle about the origin as one Bézier, from an angle in
// degrees clockwise from +x, forward or back. (The usual four-thirds of tan of
// a quarter of the angle, within 0.03 % of the radius.)
func quarter(radius, fromDeg float64, back bool) curve.Segment {
	const handle = 0.5522847498
	sin, cos := math.Sincos(fromDeg * math.Pi / 180)
	a, b := orb.Point{cos * radius, sin * radius}, orb.Point{-sin * radius, cos * radius}
	s := curve.Cubic(a, plane.Add(a, plane.Scale(b, handle)), plane.Add(b, plane.Scale(a, handle)), b)
	if back {
		return curve.Path{s}.Reverse()[0]
	}
	return s
}

// circleSkirt is a quarter of a full circular skirt, waist at the top, the
// grain down its middle.
func circleSkirt(waistMM, lengthMM float64) piece.Outline {
	r := waistMM / (2 * math.Pi)
	at := func(radius, deg float64) orb.Point {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		return orb.Point{radius * cos, radius * sin}
	}
	out := r + lengthMM
	return piece.Outline{
		{Name: "waist", AllowanceMM: 10, Line: curve.Path{quarter(r, 45, true)}},
		{Name: "side", AllowanceMM: 15, Line: curve.Polyline(at(r, 45), at(out, 45))},
		{Name: "hem", AllowanceMM: 20, Line: curve.Path{quarter(out, 45, false)}},
		{Name: "side", AllowanceMM: 15, Line: curve.Polyline(at(out, 135), at(r, 135))},
	}
}

// The waist of a full circular skirt lies on a circle whose radius is the
// waist by 6.28: 68 cm give 10.8 cm, of which each of four panels has 17 cm
// (W. Aldrich, "Metric Pattern Cutting", from memory). With 10 mm at the waist,
// 15 mm at the sides and 20 mm at the hem, its cutting line holds a quarter of
// the ring between the circles of 98.2 and 628.2 mm, and two strips of 15 mm as
// long as that ring is wide.
func TestCircularSkirt(t *testing.T) {
	o := circleSkirt(680, 500)
	require.InDelta(t, 170, o[0].Line.Length(), 0.1)
	require.InDelta(t, 108.2, plane.Distance(o[0].Line.Start(), orb.Point{}), 0.05)
	ring, err := CutLine(o)
	require.NoError(t, err)
	inner, outer := 680/(2*math.Pi)-10, 680/(2*math.Pi)+520
	want := math.Pi/4*(outer*outer-inner*inner) + 2*15*(outer-inner)
	require.InDelta(t, want, plane.SignedArea(ring), 0.05*o.Length())
	path, err := CutPath(o)
	require.NoError(t, err)
	require.InDelta(t, want, plane.SignedArea(orb.Ring(path.Flatten(fineMM))), 0.1*o.Length())
	for _, q := range path.Flatten(0.5) {
		r := plane.Distance(q, orb.Point{})
		require.GreaterOrEqual(t, r, inner-0.1)
		if math.Abs(math.Atan2(q[1], q[0])-math.Pi/2) < math.Pi/4-0.1 {
			require.True(t, math.Abs(r-inner) < 0.2 || math.Abs(r-outer) < 0.2, "%.2f mm from the middle", r)
		}
	}
}

// The cutting line of a waist is shorter than its seam line, the hem's longer,
// by a quarter turn of the allowance: which is why a waist's allowance is
// clipped and a hem's eased (common practice, from memory). 10 mm in takes π/2
// times 10 from a quarter circle, 20 mm out adds π/2 times 20.
func TestAllowanceOfACurveIsShorterOrLonger(t *testing.T) {
	o := circleSkirt(680, 500)
	for k, mm := range map[int]float64{0: -10, 2: 20} {
		line := offsetCurve(o[k].Line[0], o[k].AllowanceMM, 0, 1)
		require.InDelta(t, o[k].Line.Length()+mm*math.Pi/2, line.Length(), 0.05)
	}
}

// A dart keeps its angle wherever it is turned to, so that its intake grows
// with its length: 30 mm at 100 mm from the bust point are 60 mm at 200 mm (the
// pivot rule; H. Joseph-Armstrong, "Patternmaking for Fashion Design", from
// memory). A yoke through the bust point takes it in with the angle
// 2 asin(15/100), and the part below comes together by 2 L sin of its half.
func TestPivotRule(t *testing.T) {
	o := polygon(10, orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 500}, orb.Point{0, 500})
	for _, length := range []float64{100, 200, 250} {
		half := math.Asin(15.0 / 100)
		apex := orb.Point{120, 500 - length*math.Cos(half)}
		d := piece.Dart{Leg1: orb.Point{120 + length*math.Sin(half), 500}, Apex: apex, Leg2: orb.Point{120 - length*math.Sin(half), 500}}
		require.InDelta(t, 0.3*length, plane.Distance(d.Leg1, d.Leg2), 1e-9)
		near, far := cutInTwo(t, o, curve.Polyline(orb.Point{-50, apex[1]}, orb.Point{350, apex[1]}))
		got, err := TakeIn(near, far, "A", d, TakeInMM)
		require.NoError(t, err)
		require.InDelta(t, 2*half*180/math.Pi, got.AngleDeg, 1e-9)
		// Any point turned lies 2 r sin of the half angle from where it was.
		for _, q := range []orb.Point{{5, 495}, {20, 450}} {
			require.InDelta(t, 2*plane.Distance(q, apex)*math.Sin(half), plane.Distance(q, got.Carry(q)), 1e-9)
		}
	}
}
