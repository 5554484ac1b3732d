package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The halves of a body's ring are as large as the parts that Cut makes, and
// grow and shrink with the level. A ring further out is cut along the same
// line.
func TestHalf(t *testing.T) {
	var pieces []*piece.Piece
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		pieces = append(pieces, sample(t, name)...)
	}
	ways := append(split.Ways(), split.CurvedYoke{}, split.CurvedYoke{Up: true})
	rapid.Check(t, func(t *rapid.T) {
		p := stretched(t, rapid.SampledFrom(pieces).Draw(t, "piece"))
		b := split.NewBody(p, p.Outline)
		w := rapid.SampledFrom(ways).Draw(t, "way")
		spans := w.Spans(b)
		if len(spans) == 0 {
			return
		}
		s := rapid.SampledFrom(spans).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		near, far, _, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A"})
		require.NoError(t, err)
		require.InDelta(t, plane.SignedArea(near.Ring()), plane.SignedArea(split.Half(b.Ring, w.Line(b, level), true)), 0.05*near.Length())
		require.InDelta(t, plane.SignedArea(far.Ring()), plane.SignedArea(split.Half(b.Ring, w.Line(b, level), false)), 0.05*far.Length())

		further := math.Min(s.Hi, level+rapid.Float64Range(0, 50).Draw(t, "further"))
		cut, err := split.CutLine(p, p.Outline)
		require.NoError(t, err)
		require.LessOrEqual(t, plane.SignedArea(split.Half(cut, w.Line(b, level), true)), plane.SignedArea(split.Half(cut, w.Line(b, further), true))+1e-6)
		require.GreaterOrEqual(t, plane.SignedArea(split.Half(cut, w.Line(b, level), false)), plane.SignedArea(split.Half(cut, w.Line(b, further), false))-1e-6)
		require.InDelta(t, plane.SignedArea(cut), plane.SignedArea(split.Half(cut, w.Line(b, level), true))+plane.SignedArea(split.Half(cut, w.Line(b, level), false)), 1e-3*plane.SignedArea(cut))
		for _, near := range []bool{true, false} {
			half := split.Half(cut, w.Line(b, level), near)
			require.InDelta(t, math.Abs(plane.SignedArea(half)), split.HalfArea(cut, w.Line(b, level), near), 1e-6*plane.SignedArea(cut))
		}
		for _, q := range split.Half(cut, w.Line(b, level), true) {
			require.LessOrEqual(t, w.LevelOf(b, q), level+0.02)
		}
	})
}

// A line with sharp corners parts a square in two halves whose areas are known.
func TestHalfAlongAZigzag(t *testing.T) {
	square := orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
	for name, c := range map[string]struct {
		line curve.Path
		near float64
	}{
		"straight across":      {curve.Polyline(orb.Point{-10, 30}, orb.Point{110, 30}), 3000},
		"a tooth down":         {curve.Polyline(orb.Point{-10, 30}, orb.Point{40, 30}, orb.Point{50, 50}, orb.Point{60, 30}, orb.Point{110, 30}), 3200},
		"a tooth up":           {curve.Polyline(orb.Point{-10, 30}, orb.Point{40, 30}, orb.Point{50, 10}, orb.Point{60, 30}, orb.Point{110, 30}), 2800},
		"a step":               {curve.Polyline(orb.Point{-10, 30}, orb.Point{50, 30}, orb.Point{50, 70}, orb.Point{110, 70}), 5000},
		"the other way":        {curve.Polyline(orb.Point{110, 30}, orb.Point{-10, 30}), 7000},
		"out and in, and back": {curve.Polyline(orb.Point{-10, 20}, orb.Point{110, 20}, orb.Point{110, 40}, orb.Point{50, 40}, orb.Point{50, 60}, orb.Point{110, 60}), 3000},
	} {
		t.Run(name, func(t *testing.T) {
			require.InDelta(t, c.near, plane.SignedArea(split.Half(square, c.line, true)), 1e-6)
			require.InDelta(t, 10000-c.near, plane.SignedArea(split.Half(square, c.line, false)), 1e-6)
		})
	}
}

// A tooth as sharp as can be, however the square is turned.
func TestHalfAlongASharpTooth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		turn := curve.Turn(rapid.Float64Range(0, 360).Draw(t, "turn"), orb.Point{})
		high := rapid.Float64Range(-25, 65).Draw(t, "high")
		wide := rapid.Float64Range(1, 20).Draw(t, "wide")
		at := rapid.Float64Range(25, 75).Draw(t, "at")
		line := curve.Polyline(orb.Point{-10, 30}, orb.Point{at - wide, 30}, orb.Point{at, 30 + high}, orb.Point{at + wide, 30}, orb.Point{110, 30}).Transform(turn)
		square := orb.Ring{{0, 0}, {100, 0}, {100, 100}, {0, 100}}
		for i, q := range square {
			square[i] = turn.Apply(q)
		}
		require.InDelta(t, 3000+wide*high, plane.SignedArea(split.Half(square, line, true)), 1e-6)
		require.InDelta(t, 7000-wide*high, plane.SignedArea(split.Half(square, line, false)), 1e-6)
	})
}

func TestHalfOfARingOnOneSide(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")[0]
	b := split.NewBody(front, front.Outline)
	for _, w := range []split.Way{split.Yoke{}, split.CurvedYoke{}} {
		require.Empty(t, split.Half(b.Ring, w.Line(b, b.Lo[1]-200), true))
		require.InDelta(t, plane.SignedArea(b.Ring), plane.SignedArea(split.Half(b.Ring, w.Line(b, b.Lo[1]-200), false)), 1e-6)
		require.Empty(t, split.Half(b.Ring, w.Line(b, b.Hi[1]+200), false))
	}
}
