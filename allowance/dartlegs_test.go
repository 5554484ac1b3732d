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

// darted is a rectangle with a side of 300 mm down from 0, 0, a notch on it,
// and a dart that opens on it.
func darted(apex orb.Point, leg1, leg2 float64) *piece.Piece {
	o := polygon(10, orb.Point{200, 0}, orb.Point{200, 300}, orb.Point{0, 300}, orb.Point{0, 0})
	o[2].Name = "side" // from 0, 300 up to 0, 0
	o[2].Notches = []piece.Notch{{AtMM: 30, Count: 1}, {AtMM: 290, Count: 2}}
	return &piece.Piece{Name: "front", Outline: o, GrainDeg: 90, Darts: []piece.Dart{{Leg1: orb.Point{0, leg1}, Apex: apex, Leg2: orb.Point{0, leg2}}}}
}

func legs(d piece.Dart) (one, two float64) {
	return plane.Distance(d.Leg1, d.Apex), plane.Distance(d.Leg2, d.Apex)
}

func TestTrueDarts(t *testing.T) {
	p := darted(orb.Point{108, 100}, 90, 130) // 108.5 and 112.1 mm
	angle := math.Atan(10.0/108) + math.Atan(30.0/108)
	TrueDarts(p)
	one, two := legs(p.Darts[0])
	require.InDelta(t, two, one, 1e-9)
	require.InDelta(t, math.Hypot(108, 30), one, 1e-9, "the longer leg stays")
	u, v := plane.Sub(p.Darts[0].Leg1, p.Darts[0].Apex), plane.Sub(p.Darts[0].Leg2, p.Darts[0].Apex)
	require.InDelta(t, angle, math.Abs(math.Atan2(plane.Cross(u, v), plane.Dot(u, v))), 1e-9, "it takes in as much")
	require.Len(t, p.Warnings, 1)
	require.Contains(t, p.Warnings[0], "front: the legs of a dart that opens on side are 112.1 mm and 108.5 mm long, which leaves a step of 3.6 mm")
	require.Equal(t, orb.Point{0, 300}, p.Outline[2].Line.Start())
	require.Equal(t, orb.Point{0, 0}, p.Outline[2].Line.End())
	require.InDelta(t, 30, p.Outline[2].Notches[0].AtMM, 1e-9, "below the dart nothing moves")
	require.InDelta(t, p.Outline[2].Line.Length()-10, p.Outline[2].Notches[1].AtMM, 0.05)
	require.Greater(t, plane.SignedArea(p.Outline.Ring()), 300.0*200)

	equal := darted(orb.Point{108, 110}, 90, 130.5)
	was := equal.Outline
	TrueDarts(equal)
	require.Empty(t, equal.Warnings)
	require.Equal(t, was, equal.Outline)
}

// A dart that opens at a corner would take the corner along with a sharp bend.
func TestTrueDartsLeavesSharpBends(t *testing.T) {
	p := darted(orb.Point{108, 60}, 4, 30) // 121.7 and 112.1, the shorter one beside the longer
	p.Darts[0].Apex = orb.Point{108, -10}
	p.Outline = polygon(10, orb.Point{200, -100}, orb.Point{200, 300}, orb.Point{0, 300}, orb.Point{0, 0})
	was, dart := p.Outline, p.Darts[0]
	TrueDarts(p)
	require.Equal(t, was, p.Outline)
	require.Equal(t, dart, p.Darts[0])
	require.Len(t, p.Warnings, 1)
	require.Contains(t, p.Warnings[0], "left as drawn")
}

func TestTrueDartsOfTwoPoints(t *testing.T) {
	p := darted(orb.Point{100, 100}, 90, 110)
	p.Darts = nil
	p.FishEyes = []piece.FishEye{{Apex: [2]orb.Point{{100, 50}, {100, 200}}, Wide: [2]orb.Point{{90, 120}, {130, 120}}}}
	TrueDarts(p)
	require.Len(t, p.Warnings, 1)
	require.Contains(t, p.Warnings[0], "two points")
}

// Whatever the dart and the outline: the legs are equal, or all is as drawn;
// the outline is closed, does not cross itself, and keeps its other corners.
func TestTrueDartsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := randomOutline(t)
		k := rapid.IntRange(0, len(o)-1).Draw(t, "edge")
		l := o[k].Line.Length()
		from := rapid.Float64Range(0, l).Draw(t, "from")
		to := math.Min(l, from+rapid.Float64Range(2, 60).Draw(t, "mouth"))
		a, dir := o[k].Line.At(from)
		b, _ := o[k].Line.At(to)
		deep, aside := rapid.Float64Range(20, 200).Draw(t, "deep"), rapid.Float64Range(-30, 30).Draw(t, "aside")
		apex := plane.Add(plane.Along(plane.Scale(plane.Add(a, b), 0.5), orb.Point{-dir[1], dir[0]}, deep), plane.Scale(dir, aside))
		if to-from < 1 {
			return
		}
		p := &piece.Piece{Name: "p", Outline: o, Darts: []piece.Dart{{Leg1: a, Apex: apex, Leg2: b}}}
		was := append(piece.Outline{}, o...)
		TrueDarts(p)
		one, two := legs(p.Darts[0])
		if len(p.Warnings) == 0 || math.Abs(one-two) > 1e-6 {
			require.Equal(t, was, p.Outline)
			return
		}
		path := p.Outline.Path()
		for i, e := range p.Outline {
			require.Equal(t, e.Line.End(), p.Outline[(i+1)%len(p.Outline)].Line.Start())
			for n := 1; n < len(e.Line); n++ {
				require.Equal(t, e.Line[n-1].P1, e.Line[n].P0)
			}
			if q := was[i].Line.Start(); plane.Distance(q, a) > 0.2 && plane.Distance(q, b) > 0.2 {
				require.Equal(t, q, e.Line.Start())
			}
		}
		for _, q := range []orb.Point{p.Darts[0].Leg1, p.Darts[0].Leg2} {
			_, away := path.Nearest(q)
			require.Less(t, away, onLineMM)
		}
		_, crosses := piece.SelfCrossing(orb.Ring(path.Flatten(curve.FlattenMM))[:path.FlattenedLen(curve.FlattenMM)-1])
		require.False(t, crosses)
	})
}
