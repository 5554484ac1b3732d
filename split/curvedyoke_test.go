package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A curved yoke rises by at most a tenth of its width, both parts share the
// very same curve, and every level of its spans cuts every sample in exactly
// two sound parts.
func TestCurvedYoke(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		for _, p := range sample(t, name) {
			b := split.NewBody(p, p.Outline)
			for _, w := range []split.CurvedYoke{{}, {Up: true}} {
				for _, s := range w.Spans(b) {
					for f := 0.0; f <= 1; f += 0.25 {
						level := s.Lo + f*(s.Hi-s.Lo)
						near, far, seam, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
						require.NoError(t, err, "%s at %.1f", p.ID(), level)
						width := math.Hypot(seam.End()[0]-seam.Start()[0], seam.End()[1]-seam.Start()[1])
						ring := seam.Flatten(0.01)
						var rise float64
						for _, q := range ring {
							off := (seam.End()[0]-seam.Start()[0])*(q[1]-seam.Start()[1]) - (seam.End()[1]-seam.Start()[1])*(q[0]-seam.Start()[0])
							rise = math.Max(rise, math.Abs(off)/width)
						}
						require.LessOrEqual(t, rise, width/10)
						require.Equal(t, seam.D(), edgeOf(far, "A").Line.D())
						require.Equal(t, seam.Reverse().D(), edgeOf(near, "A").Line.D())
						require.InDelta(t, piece.Area(p.Outline.Ring()), piece.Area(near.Ring())+piece.Area(far.Ring()), 2)
						mid, _ := seam.At(seam.Length() / 2)
						require.InDelta(t, level, w.LevelOf(b, mid), 0.01)
					}
				}
			}
		}
	}
}

func edgeOf(o piece.Outline, seam string) piece.Edge {
	for _, e := range o {
		if e.Seam == seam {
			return e
		}
	}
	return piece.Edge{}
}

// The ends of a curved yoke that is welcome keep clear of the underarm where
// its middle does not, and it is proved with notches that stand closer.
func TestCurvedYokeClearsTheUnderarm(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")
	b := split.NewBody(front[0], front[0].Outline)
	arm := split.Underarms(b.Outline)
	require.Len(t, arm, 2)
	level := split.CurvedYoke{}.Welcome(b)
	require.Len(t, level, 1)
	_, down := b.Frame.Place(arm[0])
	require.Less(t, level[0], down)
	made, _ := proved(t, cutting(front, "front", byHand(t, split.CurvedYoke{}, func(*split.Body) float64 { return level[0] })), front)
	require.Equal(t, "curved yoke", made.Seams[0].Kind)
	require.Zero(t, pointsFor(made, "bulk"))
	require.InDelta(t, 0.5, pointsFor(made, "curve"), 1e-9)
	straight, _ := proved(t, cutting(front, "front", byHand(t, split.Yoke{}, func(*split.Body) float64 { return level[0] + 30 })), front)
	require.NotZero(t, pointsFor(straight, "bulk")+pointsFor(straight, "ends in a curve"))
}

// No line of a span crosses a keep zone, straight or curved, nor leaves a part
// under 20 mm.
func TestSpansKeepOffZones(t *testing.T) {
	front := only(sample(t, "blouse.svg"), "front")[0]
	require.NotEmpty(t, front.Keeps)
	b := split.NewBody(front, front.Outline)
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SampledFrom([]split.Way{split.Yoke{}, split.Panel{}, split.CurvedYoke{}, split.CurvedYoke{Up: true}, split.Corner{Deg: 30}}).Draw(t, "way")
		spans := w.Spans(b)
		require.NotEmpty(t, spans)
		s := rapid.SampledFrom(spans).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		line := w.Line(b, level)
		for _, k := range front.Keeps {
			for _, q := range k.Line.Flatten(0.05) {
				_, away := line.Nearest(q)
				require.Positive(t, away)
			}
			require.Empty(t, curve.Crossings(k.Line, line))
		}
		near, far, _, err := split.Cut(front.Outline, line, split.Seam{Name: "A"})
		require.NoError(t, err)
		for _, part := range []piece.Outline{near, far} {
			require.Greater(t, piece.Area(part.Ring()), 8.0*8)
		}
	})
}
