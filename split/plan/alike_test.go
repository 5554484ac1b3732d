package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Where the grain lies level, what is above a seam lies to the left of it, whichever
// way the grain was drawn and however the sine of half a turn is rounded.
func TestBesideASeamAcrossALevelGrain(t *testing.T) {
	box := func(x0, x1 float64) []Point { return []Point{{x0, 0}, {x1, 0}, {x1, 100}, {x0, 100}} }
	for _, deg := range []float64{0, 180, -180, 360} {
		o := &Option{Parts: []Part{
			{Name: "left", Piece: "front", Copy: 1, SeamLine: box(0, 50), GrainDeg: deg},
			{Name: "right", Piece: "front", Copy: 1, SeamLine: box(50, 200), GrainDeg: deg},
		}}
		above, below, ok := o.Beside(&PiecingSeam{Piece: "front", Copy: 1, Line: []Point{{50, 0}, {50, 100}}})
		require.True(t, ok)
		require.Len(t, above, 1)
		require.Len(t, below, 1)
		require.Equal(t, "left", above[0].Name, "%v degrees", deg)
	}
}
