package split

import (
	"math"
	"sort"
	"testing"

	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func straightSeam(lengthMM float64) curve.Path {
	return curve.Polyline(orb.Point{}, orb.Point{lengthMM, 0})
}

// A seam that two others end on, one from either side and 5 mm apart, so that
// what one part has ends with a bit that is not notched.
func TestANotchStandsOffTheMiddleOfAPartsStretch(t *testing.T) {
	s := stops{{33.208}, {28.332}}
	notches, ok := notchStretches(straightSeam(48.537), s, nil, 0, nil)
	require.True(t, ok)
	require.Len(t, notches, 2)
	for i, want := range []struct{ at, marks float64 }{{28.332 / 3, 1}, {48.537 - (48.537-33.208)/3, 3}} {
		require.InDelta(t, want.at, notches[i].AtMM, 0.001)
		require.EqualValues(t, want.marks, notches[i].Count)
	}
}

// However others end on a seam, no part's stretch of it is the same from both
// ends, each notch lies on one part of either side, and none is crowded by the
// end of a seam.
func TestNotchesOfStretchesTell(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(leastSeamMM, 700).Draw(t, "length")
		var s, apart stops
		bounds := []float64{0, length}
		for k := range s {
			at := 0.0
			for range rapid.IntRange(0, 4).Draw(t, "seams") {
				// Often near to where one ends on the other side.
				at += rapid.OneOf(rapid.Float64Range(leastSeamMM, 200), rapid.Float64Range(leastSeamMM, leastSeamMM+6)).Draw(t, "apart")
				if at > length-leastSeamMM {
					break
				}
				s[k], apart[k] = append(s[k], at), append(apart[k], at)
				if rapid.Bool().Draw(t, "two at one place") {
					s[k] = append(s[k], at-1e-9)
				}
			}
		}
		s.tidy()
		bounds = append(append(bounds, apart[0]...), apart[1]...)
		sort.Float64s(bounds)
		notches, ok := notchStretches(straightSeam(length), s, nil, rapid.IntRange(0, 9).Draw(t, "index"), nil)
		require.True(t, ok)
		for _, side := range apart {
			from := 0.0
			for _, to := range append(append([]float64{}, side...), length) {
				var at []float64
				var marks []int
				for _, n := range notches {
					if n.AtMM >= from && n.AtMM <= to {
						at, marks = append(at, n.AtMM), append(marks, n.Count)
					}
				}
				require.NotEmpty(t, at)
				same := true
				for i := range at {
					k := len(at) - 1 - i
					// As much as the proof asks, and more than a mark is off by.
					same = same && marks[i] == marks[k] && math.Abs(from+to-at[i]-at[k]) <= math.Min(tellMM, (to-from)/10)
				}
				require.False(t, same, "%v of %v on %g to %g", at, marks, from, to)
				from = to
			}
		}
		for i, n := range notches {
			k := sort.SearchFloat64s(bounds, n.AtMM)
			bit := bounds[k] - bounds[k-1]
			require.GreaterOrEqual(t, n.AtMM-bounds[k-1], 0.2*bit-0.5) // some are at whole millimetres
			require.GreaterOrEqual(t, bounds[k]-n.AtMM, 0.2*bit-0.5)
			if i > 0 {
				require.Greater(t, n.AtMM, notches[i-1].AtMM)
			}
		}
	})
}
