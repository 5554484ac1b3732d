package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A picture of one colour has no edge, even where next to no contrast is asked for.
func TestSeekFindsNoEdgeOnOneColour(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 100, 100))
	for i := range img.Pix {
		img.Pix[i] = 90
	}
	step := image.NewRGBA(img.Rect)
	for y := range 100 {
		for x := range 100 {
			step.Set(x, y, color.Gray{Y: uint8(60 + 100*(x/50))})
		}
	}
	e := edge{at: orb.Point{50, 50}, light: orb.Point{1, 0}, halfMM: 5}
	place := func(q orb.Point) orb.Point { return q }
	for _, contrast := range []float64{-0.1, 0, 0.1} {
		_, _, ok := newPicture(img, 1).seek(e, place, 3, contrast)
		require.False(t, ok, "contrast %g", contrast)
	}
	at, _, ok := newPicture(step, 1).seek(e, place, 3, 0.1)
	require.True(t, ok)
	require.InDelta(t, 50, at[0], 0.5)
}
