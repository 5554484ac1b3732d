package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Discs of a shape lie within it, the widest is hardly less wide than any could be, and
// none is told twice.
func TestDiscsLieWithin(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var ring []point
		for k := 0.0; k < 12; k++ {
			mm := rapid.Float64Range(40, 300).Draw(t, "mm")
			sin, cos := math.Sincos(k / 12 * 2 * math.Pi)
			ring = append(ring, point{mm * cos, mm * sin})
		}
		discs := discsWithin([][]point{ring})
		for i, d := range discs {
			for k := 0.0; k < 64; k++ {
				sin, cos := math.Sincos(k / 64 * 2 * math.Pi)
				require.True(t, within(ring, point{d.at[0] + d.mm*cos, d.at[1] + d.mm*sin}), "%v of %v", d, ring)
			}
			for _, o := range discs[:i] {
				require.GreaterOrEqual(t, o.mm, d.mm)
				require.NotEqual(t, o.at, d.at)
			}
		}
		const squareMM = 22 // of the mesh of middles, at most
		deepest := 0.0
		for range 40 {
			q := point{rapid.Float64Range(-300, 300).Draw(t, "x"), rapid.Float64Range(-300, 300).Draw(t, "y")}
			deepest = math.Max(deepest, (&ground{rings: [][]point{ring}}).deepOfAll(q))
		}
		if deepest > squareMM+10 {
			require.Greater(t, discs[0].mm+squareMM, deepest)
		}
	})
}
