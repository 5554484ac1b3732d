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

// A seam that a dart is taken into bends at the dart's point; another that bends crosses
// nothing straight.
func TestBesideASeamThatTakesInADart(t *testing.T) {
	bent := []Point{{0, 100}, {60, 100}, {100, 90}}
	o := &Option{Parts: []Part{
		{Name: "upper", Piece: "front", Copy: 1, SeamLine: []Point{{0, 0}, {100, 0}, {100, 90}, {60, 100}, {0, 100}}, GrainDeg: 90},
		{Name: "lower", Piece: "front", Copy: 1, SeamLine: []Point{{0, 100}, {60, 100}, {100, 100}, {100, 300}, {0, 300}}, GrainDeg: 90},
	}}
	seam := &PiecingSeam{Name: "A", Kind: "yoke", Piece: "front", Copy: 1, Line: bent}
	_, _, ok := o.Beside(seam)
	require.False(t, ok)
	o.Moved = []MovedPiece{{Piece: "front", Copy: 1, Darts: []TakenDart{{Seam: "A"}}}}
	above, below, ok := o.Beside(seam)
	require.True(t, ok)
	require.Equal(t, []*Part{&o.Parts[0]}, above)
	require.Equal(t, []*Part{&o.Parts[1]}, below)
	o.Moved[0].Darts[0].Seam = "B"
	_, _, ok = o.Beside(seam)
	require.False(t, ok)
}
