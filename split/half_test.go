package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/split"

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
		near, far, seam, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A"})
		require.NoError(t, err)
		slack := 0.05 * seam.Length()
		require.InDelta(t, piece.Area(near.Ring()), piece.Area(split.Half(b, b.Ring, w, level, true)), slack)
		require.InDelta(t, piece.Area(far.Ring()), piece.Area(split.Half(b, b.Ring, w, level, false)), slack)

		further := math.Min(s.Hi, level+rapid.Float64Range(0, 50).Draw(t, "further"))
		cut, err := split.CutLine(p, p.Outline)
		require.NoError(t, err)
		require.LessOrEqual(t, piece.Area(split.Half(b, cut, w, level, true)), piece.Area(split.Half(b, cut, w, further, true))+1e-6)
		require.GreaterOrEqual(t, piece.Area(split.Half(b, cut, w, level, false)), piece.Area(split.Half(b, cut, w, further, false))-1e-6)
		require.InDelta(t, piece.Area(cut), piece.Area(split.Half(b, cut, w, level, true))+piece.Area(split.Half(b, cut, w, level, false)), 1e-3*piece.Area(cut))
		for _, q := range split.Half(b, cut, w, level, true) {
			require.LessOrEqual(t, w.LevelOf(b, q), level+0.02)
		}
	})
}

func TestHalfOfARingOnOneSide(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")[0]
	b := split.NewBody(front, front.Outline)
	for _, w := range []split.Way{split.Yoke{}, split.CurvedYoke{}} {
		require.Empty(t, split.Half(b, b.Ring, w, b.Lo[1]-200, true))
		require.InDelta(t, piece.Area(b.Ring), piece.Area(split.Half(b, b.Ring, w, b.Lo[1]-200, false)), 1e-6)
		require.Empty(t, split.Half(b, b.Ring, w, b.Hi[1]+200, false))
	}
}
