package photo

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// How much more a camera leans than is known is told by joints that are evenly spaced, and how unsure that is, though some of
// them are not seen; lines that are not evenly spaced tell nothing.
func TestSpacingTellsTheLean(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(11, 3))
	const draws, pitch = 200, 150.0
	for _, lean := range []float64{0, 3e-6, -8e-6} {
		var off, said, told float64
		for range draws {
			var rows []float64
			for k := -5; k <= 6; k++ {
				x := pitch*float64(k) + 40 + 0.7*r.NormFloat64()
				if x += lean * x * x; len(rows) == 0 || r.IntN(4) > 0 {
					rows = append(rows, x)
				}
			}
			if got, unsure := leanBySpacing(rows); unsure < fanning/2 {
				off += (got - lean) * (got - lean)
				said += unsure * unsure
				told++
			}
		}
		require.InDelta(t, 1, math.Sqrt(off/said), 0.25, "off by %.1e, said %.1e", math.Sqrt(off/told), math.Sqrt(said/told))
		require.Greater(t, told, 0.9*draws)
	}
	for range draws {
		rows := []float64{0}
		for range 8 {
			rows = append(rows, rows[len(rows)-1]+60+180*r.Float64())
		}
		_, unsure := leanBySpacing(rows)
		require.Greater(t, unsure, fanning)
	}
	_, unsure := leanBySpacing([]float64{0, 150, 300})
	require.True(t, math.IsInf(unsure, 1))
}
