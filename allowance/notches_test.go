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

// alike reports whether two sets of notches could be matched by mistake: as
// many, of the same kinds, none further off than a seam's ease would hide.
func alike(a, b []piece.Notch, withinMM float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Count != b[i].Count || math.Abs(a[i].AtMM-b[i].AtMM) > withinMM {
			return false
		}
	}
	return true
}

func turned(a []piece.Notch, length float64) []piece.Notch {
	out := make([]piece.Notch, len(a))
	for i, n := range a {
		n.AtMM = length - n.AtMM
		out[len(a)-1-i] = n
	}
	return out
}

func TestSeamNotchesFitOneWayOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(5, 1500).Draw(t, "length")
		i := rapid.IntRange(0, 8).Draw(t, "seam")
		j := rapid.IntRange(0, 8).Draw(t, "other seam")
		a, b := SeamNotches(length, i), SeamNotches(length, j)
		within := math.Min(4, length/10)
		require.NotEmpty(t, a)
		require.False(t, alike(a, turned(a, length), within))
		if i != j && (length >= oneNotchMM || i < 3 && j < 3) {
			within = math.Min(2, length/30)
			require.False(t, alike(a, b, within))
			require.False(t, alike(a, turned(b, length), within))
		}
		for k, n := range a {
			require.Positive(t, n.AtMM)
			require.Less(t, n.AtMM, length)
			if length >= 30 {
				require.GreaterOrEqual(t, n.AtMM, fromEndMM)
				require.LessOrEqual(t, n.AtMM, length-fromEndMM)
			}
			if k > 0 {
				require.GreaterOrEqual(t, n.AtMM-a[k-1].AtMM, apartMM)
			}
		}
	})
}

func TestCurveNotches(t *testing.T) {
	straight := curve.Polyline(orb.Point{0, 0}, orb.Point{400, 0})
	require.Equal(t, SeamNotches(400, 1), CurveNotches(straight, 1))

	// Straight for 200 mm, then a half turn of radius 60 mm.
	const k = 0.5522847498 * 60
	bent := curve.Path{
		curve.Line(orb.Point{0, 0}, orb.Point{200, 0}),
		curve.Cubic(orb.Point{200, 0}, orb.Point{200 + k, 0}, orb.Point{260, 60 - k}, orb.Point{260, 60}),
		curve.Cubic(orb.Point{260, 60}, orb.Point{260, 60 + k}, orb.Point{200 + k, 120}, orb.Point{200, 120}),
	}
	notches := CurveNotches(bent, 0)
	require.False(t, alike(notches, turned(notches, bent.Length()), 4))
	var onStraight, onCurve int
	for i, n := range notches {
		if n.AtMM < 200 {
			onStraight++
		} else {
			onCurve++
		}
		if i > 0 {
			require.GreaterOrEqual(t, n.AtMM-notches[i-1].AtMM, apartMM)
			_, u := bent.At(notches[i-1].AtMM)
			_, v := bent.At(n.AtMM)
			require.Less(t, math.Abs(math.Atan2(plane.Cross(u, v), plane.Dot(u, v))), (mostTurnDeg+2)*math.Pi/180)
		}
	}
	require.Equal(t, 1, onStraight)
	require.GreaterOrEqual(t, onCurve, 5)
}
