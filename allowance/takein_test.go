package allowance

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// cutInTwo cuts an outline along a line that crosses it twice, with a seam A
// on both parts.
func cutInTwo(t require.TestingT, o piece.Outline, line curve.Path) (near, far piece.Outline) {
	hits := curve.Crossings(o.Path(), line)
	require.Len(t, hits, 2)
	seam := piece.Edge{Line: line.Between(hits[0].OnQ, hits[1].OnQ), Seam: "A", AllowanceMM: 10}
	seam.Notches = SeamNotches(seam.Line.Length(), 0)
	round := o.Length()
	run := func(from, to float64) piece.Outline {
		if to < from {
			to += round
		}
		return stretchOf(o, from, to)
	}
	near = append(run(hits[0].OnP, hits[1].OnP), seam.Reverse())
	far = append(run(hits[1].OnP, hits[0].OnP), seam)
	weld(near)
	weld(far)
	return near, far
}

func seamOf(t require.TestingT, o piece.Outline) piece.Edge {
	for _, e := range o {
		if e.Seam == "A" {
			return e
		}
	}
	require.Fail(t, "no seam")
	return piece.Edge{}
}

// A waist dart 24 mm wide and 200 mm long: each leg stands atan(12/200) from
// its middle, so the dart is 2 atan(0.06) = 6.8674° and the part below the
// yoke comes together by that angle at the apex.
func TestTakeInClosesTheDart(t *testing.T) {
	o := polygon(10, orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 400}, orb.Point{0, 400})
	for i, name := range []string{"shoulder", "side", "waist", "side"} {
		o[i].Name = name
	}
	d := piece.Dart{Leg1: orb.Point{132, 400}, Apex: orb.Point{120, 200}, Leg2: orb.Point{108, 400}}
	near, far := cutInTwo(t, o, curve.Polyline(orb.Point{-50, 192}, orb.Point{350, 192}))
	got, err := TakeIn(near, far, "A", d, TakeInMM)
	require.NoError(t, err)
	require.InDelta(t, 8, got.MovedMM, 1e-9)
	require.InDelta(t, 2*math.Atan(12.0/208)*180/math.Pi, got.AngleDeg, 1e-9)
	require.Equal(t, orb.Point{120, 192}, got.Dart.Apex)
	require.Equal(t, near, got.Near)
	require.InDelta(t, 300, got.SeamMM, 1e-9)
	seam := seamOf(t, got.Far)
	require.InDelta(t, 300, seam.Line.Length(), 1e-9)
	require.Len(t, seam.Line, 2)
	require.InDelta(t, got.AngleDeg, turnDeg(seam.Line[:1], seam.Line[1:]), 1e-9)
	require.Equal(t, seamOf(t, far).Notches, seam.Notches)
	// 300 mm of waist less the dart's 24, and trued across the closed mouth.
	waist := got.Far[got.Far.Edge("waist")[0]]
	require.InDelta(t, 276, waist.Line.Length(), 0.2)
	require.InDelta(t, got.AngleDeg, got.Trued.CornerDeg, 1e-6)
	require.False(t, got.Trued.Left)
	require.InDelta(t, 300*208-12*208, plane.SignedArea(got.Far.Ring()), 60)
	// The smaller side, on the left, was turned: the other is where it was.
	require.Less(t, plane.Distance(got.Carry(orb.Point{299, 399}), orb.Point{299, 399}), 1e-9)
	require.Greater(t, plane.Distance(got.Carry(orb.Point{1, 399}), orb.Point{1, 399}), 20.0)
	require.InDelta(t, plane.Distance(got.Carry(orb.Point{1, 399}), got.Dart.Apex), plane.Distance(orb.Point{1, 399}, got.Dart.Apex), 1e-9)

	_, err = TakeIn(near, far, "A", d, 7)
	require.ErrorIs(t, err, ErrAway)
}

// The same dart with a panel seam that runs down it, 4 mm off its middle: the
// two sides of the seam get a leg each and stay equal.
func TestTakeInSplitsTheDart(t *testing.T) {
	o := polygon(10, orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 400}, orb.Point{0, 400})
	d := piece.Dart{Leg1: orb.Point{132, 400}, Apex: orb.Point{120, 200}, Leg2: orb.Point{108, 400}}
	for _, line := range []curve.Path{
		curve.Polyline(orb.Point{124, -50}, orb.Point{124, 450}),
		curve.Polyline(orb.Point{124, 450}, orb.Point{124, -50}),
	} {
		near, far := cutInTwo(t, o, line)
		got, err := TakeIn(near, far, "A", d, TakeInMM)
		require.NoError(t, err)
		require.InDelta(t, 4, got.MovedMM, 1e-6)
		require.InDelta(t, 2*math.Atan(0.06)*180/math.Pi, got.AngleDeg, 1e-6)
		want := 200 + math.Hypot(12, 200)
		require.InDelta(t, want, got.SeamMM, 1e-6)
		require.InDelta(t, want, seamOf(t, got.Near).Line.Length(), 1e-6)
		require.InDelta(t, want, seamOf(t, got.Far).Line.Length(), 1e-6)
		require.InDelta(t, 300*400-12*200, plane.SignedArea(got.Near.Ring())+plane.SignedArea(got.Far.Ring()), 1e-6)
	}
}

// Over random pieces, yokes and darts: the part loses exactly the dart's
// triangle, both edges of the seam stay equally long, and nothing overlaps.
func TestTakeInKeepsLengthsAndArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		o := polygon(10, orb.Point{f(-20, 20, "a"), 0}, orb.Point{300, f(-20, 20, "b")}, orb.Point{f(280, 330, "c"), 400}, orb.Point{f(-30, 20, "d"), 400})
		x, half := f(90, 200, "x"), f(4, 20, "half")
		apex := orb.Point{x + f(-10, 10, "lean"), f(180, 260, "y")}
		leg1 := orb.Point{x + half, 400}
		leg2 := apex // as long as leg1, on the waist
		{
			h := leg1[0] - apex[0]
			leg2 = orb.Point{apex[0] - h, 400}
		}
		d := piece.Dart{Leg1: leg1, Apex: apex, Leg2: leg2}
		if angle(d) < 1 || leg1[0] < leg2[0] {
			t.Skip("no dart")
		}
		tilt, bow := f(-15, 15, "tilt"), f(-20, 20, "bow")
		y := apex[1] + f(-6, 6, "off")
		line := curve.Path{curve.Cubic(orb.Point{-80, y - tilt}, orb.Point{60, y + bow}, orb.Point{220, y - bow}, orb.Point{400, y + tilt})}
		near, far := cutInTwo(t, o, line)
		got, err := TakeIn(near, far, "A", d, 40)
		require.NoError(t, err)
		require.InDelta(t, seamOf(t, got.Near).Line.Length(), seamOf(t, got.Far).Line.Length(), 1e-6)
		require.InDelta(t, got.SeamMM, seamOf(t, got.Far).Line.Length(), 1e-6)
		triangle := math.Abs(plane.Cross(plane.Sub(got.Dart.Leg1, got.Dart.Apex), plane.Sub(got.Dart.Leg2, got.Dart.Apex))) / 2
		allowed := 1.0
		if got.Trued.MovedMM > 0 {
			allowed += 2 * mostRun * trueMM
		}
		require.InDelta(t, plane.SignedArea(far.Ring())-triangle, plane.SignedArea(got.Far.Ring()), allowed)
		_, crossed := piece.SelfCrossing(got.Far.Ring())
		require.False(t, crossed)
		require.InDelta(t, plane.Distance(got.Dart.Leg1, got.Dart.Apex), plane.Distance(got.Dart.Leg2, got.Dart.Apex), trueMM)
		// The turn is the angle at the dart's apex by the law of cosines.
		a, b, c := plane.Distance(got.Dart.Leg1, got.Dart.Apex), plane.Distance(got.Dart.Leg2, got.Dart.Apex), plane.Distance(got.Dart.Leg1, got.Dart.Leg2)
		require.InDelta(t, math.Acos((a*a+b*b-c*c)/(2*a*b))*180/math.Pi, got.AngleDeg, 1e-6)
	})
}

// A dart from the side, and yokes past its apex: it is taken in where there is
// a place on the yoke, no further from the apex than is allowed, from which the
// legs are as good as equal. The places are all tried, every 0.1 mm.
func TestTakeInMovesTheApexNoFurtherThanAllowed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		o := polygon(10, orb.Point{0, 0}, orb.Point{300, 0}, orb.Point{300, 500}, orb.Point{0, 500})
		d := piece.Dart{Apex: orb.Point{160, 250}}
		tilt, half := f(-0.4, 0.4, "tilt"), f(0.03, 0.12, "half")
		mid := d.Apex[1] + 140*math.Tan(tilt)
		d.Leg1 = orb.Point{300, d.Apex[1] + 140*math.Tan(tilt-half)}
		d.Leg2 = orb.Point{300, d.Apex[1] + 140*math.Tan(tilt+half)}
		within, y := f(2, 40, "within"), d.Apex[1]+f(-45, 45, "off")
		if y > d.Leg1[1]-5 && y < d.Leg2[1]+5 || math.Abs(y-mid) < 1 {
			t.Skip("through the mouth")
		}
		least := math.Inf(1)
		for x := 100.0; x < 220; x += 0.1 {
			q := orb.Point{x, y}
			if plane.Distance(q, d.Apex) > within {
				continue
			}
			least = math.Min(least, math.Abs(plane.Distance(q, d.Leg1)-plane.Distance(q, d.Leg2)))
		}
		if math.Abs(least-trueMM) < 0.05 || math.Abs(math.Abs(y-d.Apex[1])-within) < 0.05 {
			t.Skip("on the verge")
		}
		near, far := cutInTwo(t, o, curve.Polyline(orb.Point{-50, y}, orb.Point{350, y}))
		got, err := TakeIn(near, far, "A", d, within)
		if least > trueMM {
			require.ErrorIs(t, err, ErrAway)
			return
		}
		require.NoError(t, err)
		require.LessOrEqual(t, got.MovedMM, within+1e-6)
		require.InDelta(t, plane.Distance(got.Dart.Apex, d.Apex), got.MovedMM, 1e-6)
		require.InDelta(t, y, got.Dart.Apex[1], 1e-6)
		legs := math.Abs(plane.Distance(got.Dart.Apex, got.Dart.Leg1) - plane.Distance(got.Dart.Apex, got.Dart.Leg2))
		require.LessOrEqual(t, legs, trueMM+1e-6)
		require.InDelta(t, seamOf(t, got.Near).Line.Length(), seamOf(t, got.Far).Line.Length(), 1e-6)
	})
}
