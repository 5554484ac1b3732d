package split_test

import (
	"math"
	"testing"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// darted is a square of 200 mm with a dart in its top, of 20 mm and 100 mm deep:
// that of the test of allowance.Mouth, whose roof stands at 110/cos t above the
// apex, with cos t = 0.99/1.01.
func darted(t tester) *piece.Piece {
	p := drawnPiece(t, polygon(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 200}, orb.Point{0, 200}))
	p.Darts = []piece.Dart{{Leg1: orb.Point{90, 0}, Apex: orb.Point{100, 100}, Leg2: orb.Point{110, 0}}}
	return p
}

// A panel line through the middle of the mouth gives each part half of the roof
// and the seam's allowance more; a yoke under the mouth leaves it whole.
func TestCutLineOfADividedMouth(t *testing.T) {
	p := darted(t)
	top := 100 - 110*1.01/0.99
	cut := func(line curve.Path) (near, far orb.Ring) {
		n, f, _, err := split.Cut(p.Outline, line, split.Seam{Name: "A", AllowanceMM: 10})
		require.NoError(t, err)
		near, err = split.CutLine(p, n)
		require.NoError(t, err)
		far, err = split.CutLine(p, f)
		require.NoError(t, err)
		return near, far
	}
	highest := func(r orb.Ring) float64 { return r.Bound().Min[1] }
	left, right := cut(curve.Polyline(orb.Point{100, 210}, orb.Point{100, -10}))
	require.InDelta(t, top, highest(left), 1e-6)
	require.InDelta(t, top, highest(right), 1e-6)
	require.InDelta(t, 110, left.Bound().Max[0], 1e-6, "the seam's allowance and no more")
	require.InDelta(t, 90, right.Bound().Min[0], 1e-6)
	left, right = cut(curve.Polyline(orb.Point{87, 210}, orb.Point{87, -10}))
	require.InDelta(t, -10, highest(left), 1e-6, "the mouth is all on the other part")
	require.InDelta(t, top, highest(right), 1e-6)
	upper, lower := cut(curve.Polyline(orb.Point{-10, 60}, orb.Point{210, 60}))
	require.InDelta(t, top, highest(upper), 1e-6)
	require.InDelta(t, 50, highest(lower), 1e-6, "no mouth at the apex")
	require.InDelta(t, 70, upper.Bound().Max[1], 1e-6, "the roof stands on the mouth, not on the apex")
}

// Wherever a line cuts, through the mouths of darts or beside them, the parts
// laid edge to edge again hold all that the whole piece's cutting line holds.
func TestPartsHoldTheWholeCuttingLine(t *testing.T) {
	pieces := []*piece.Piece{darted(t)}
	for _, name := range []string{"blouse.svg", "tshirt.svg"} {
		pieces = append(pieces, sample(t, name)...)
	}
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(pieces).Draw(t, "piece")
		b := split.NewBody(p, p.Outline)
		w := rapid.SampledFrom([]split.Way{split.Yoke{}, split.Panel{}, split.CurvedYoke{}}).Draw(t, "way")
		spans := w.Spans(b)
		if len(spans) == 0 {
			return
		}
		s := rapid.SampledFrom(spans).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		if len(p.Darts) > 0 && rapid.Bool().Draw(t, "through a mouth") {
			d := rapid.SampledFrom(p.Darts).Draw(t, "dart")
			f := rapid.Float64Range(0.05, 0.95).Draw(t, "of the mouth")
			level = w.LevelOf(b, orb.Point{d.Leg1[0] + f*(d.Leg2[0]-d.Leg1[0]), d.Leg1[1] + f*(d.Leg2[1]-d.Leg1[1])})
			if !split.In(spans, level) {
				return
			}
		}
		near, far, _, err := split.Cut(p.Outline, w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
		require.NoError(t, err)
		whole, err := split.CutLine(p, p.Outline)
		require.NoError(t, err)
		bare, err := allowance.CutLine(p.Outline)
		require.NoError(t, err)
		require.GreaterOrEqual(t, plane.SignedArea(whole), plane.SignedArea(bare)-1e-6)
		var rings [2]orb.Ring
		for k, o := range []piece.Outline{near, far} {
			rings[k], err = split.CutLine(p, o)
			require.NoError(t, err)
		}
		for _, q := range whole {
			off := math.Inf(1)
			for _, r := range rings {
				closed := plane.Close(r)
				if planar.RingContains(closed, q) {
					off = 0
				}
				off = math.Min(off, planar.DistanceFrom(orb.LineString(closed), q))
			}
			require.Less(t, off, 0.5, "%v: flattened otherwise, a corner may be so far off", q)
		}
	})
}
