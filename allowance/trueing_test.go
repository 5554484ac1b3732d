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

// bentSide is a piece whose side, of two edges, turns by deg between them.
func bentSide(deg float64) piece.Outline {
	sin, cos := math.Sincos((90 - deg) * math.Pi / 180)
	mid := orb.Point{200, 150}
	low := orb.Point{200 + 150*cos, 150 + 150*sin}
	o := polygon(10, orb.Point{0, 0}, orb.Point{200, 0}, mid, low, orb.Point{0, low[1]})
	o[1].Notches = []piece.Notch{{AtMM: 20, Count: 1}}
	o[2].Notches = []piece.Notch{{AtMM: 120, Count: 1}}
	return o
}

func TestTrue(t *testing.T) {
	for _, c := range []struct {
		deg  float64
		want string
	}{{0.5, "smooth as it is"}, {4, "trued"}, {-5, "trued"}, {8, "trued"}, {25, "left"}} {
		o := bentSide(c.deg)
		got, found := True(o, 1)
		require.InDelta(t, math.Abs(c.deg), found.CornerDeg, 1e-9)
		require.Equal(t, c.want == "left", found.Left, "%g", c.deg)
		require.LessOrEqual(t, found.MovedMM, 1.0)
		if c.want != "trued" {
			require.Equal(t, o, got)
			continue
		}
		require.Positive(t, found.MovedMM)
		require.Less(t, turnDeg(got[1].Line, got[2].Line), 0.01)
		require.Equal(t, got[1].Line.End(), got[2].Line.Start())
		require.LessOrEqual(t, apart(o.Path(), got.Path()), 1.0)
		for k := 1; k < len(got[1].Line); k++ {
			require.Less(t, turnDeg(got[1].Line[:k], got[1].Line[k:]), 0.01)
		}
		at, _ := got[2].Line.At(got[2].Notches[0].AtMM)
		was, _ := o[2].Line.At(120)
		require.Less(t, plane.Distance(at, was), 1e-6, "a notch off the trued run stays")
	}
}

// Two halves of a piece, cut square across its waist and each then given a
// slant at the side, are smooth once sewn, with their seam edges still equal.
func TestTrueAcross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slant := func(name string) float64 { return rapid.Float64Range(-7, 7).Draw(t, name) }
		upper := polygon(10, orb.Point{0, 0}, orb.Point{300 + slant("a"), 0}, orb.Point{300, 100}, orb.Point{0, 100})
		lower := polygon(10, orb.Point{0, 100}, orb.Point{300, 100}, orb.Point{300 + slant("b"), 200}, orb.Point{slant("c"), 200})
		// However the lower one lies on the table.
		lower = lower.Transform(curve.Turn(rapid.Float64Range(0, 360).Draw(t, "turn"), orb.Point{50, -20}))
		start, end := AcrossDeg(upper, 2, lower, 0)
		a, b, found := TrueAcross(upper, 2, lower, 0)
		require.InDelta(t, start, found[0].CornerDeg, 1e-6)
		require.InDelta(t, end, found[1].CornerDeg, 1e-6)
		require.InDelta(t, a[2].Line.Length(), b[0].Line.Length(), 1e-6)
		require.Less(t, apart(upper.Path(), a.Path()), 1.001)
		require.Less(t, apart(lower.Path(), b.Path()), 1.001)
		now := [2]float64{}
		now[0], now[1] = AcrossDeg(a, 2, b, 0)
		for k, f := range found {
			if f.MovedMM > 0 {
				require.Less(t, now[k], 0.7)
			} else {
				require.InDelta(t, f.CornerDeg, now[k], 0.7)
			}
		}
		for _, o := range []piece.Outline{a, b} {
			for k, e := range o {
				require.Less(t, plane.Distance(e.Line.End(), o[(k+1)%len(o)].Line.Start()), 1e-9)
			}
		}
	})
}
