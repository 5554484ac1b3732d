package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// A flower at the edge of dark cloth that is lighter than the ground is cloth, though by what
// a JPEG may have lost there no point of it is sure to be; what sharpening makes of the ground beside
// dark cloth is not.
func TestPaler(t *testing.T) {
	t.Parallel()
	ground, navy := color.RGBA{170, 167, 163, 255}, color.RGBA{35, 42, 80, 255}
	pale, halo := color.RGBA{201, 199, 195, 255}, color.RGBA{183, 180, 176, 255}
	m, fill := painted(320, 240, ground)
	fill(image.Rect(96, 56, 224, 184), halo)
	fill(image.Rect(100, 60, 220, 180), navy)
	fill(image.Rect(150, 60, 157, 67), pale)
	f := newField(newPicture(m, 1))
	f.lost = func(x, y int) lab {
		if (image.Point{x, y}).In(image.Rect(84, 44, 236, 196)) {
			return lab{3, 20, 20}
		}
		return lab{}
	}
	g, err := newGround(f)
	require.NoError(t, err)
	n := f.w * f.h
	lit, shaded, sure, paler := make([]float32, n), make([]float32, n), make([]float32, n), make([]float32, n)
	for k := range n {
		lit[k], shaded[k], sure[k], paler[k] = g.off(f, k%f.w, k/f.w)
	}
	marks, _ := markers(f, g, lit, shaded, sure, paler, f.slope())
	at := func(x, y int) uint8 { return marks[y*f.w+x] }
	require.Less(t, shaded[63*f.w+153], float32(clearlyCloth))
	require.Equal(t, onCloth, at(153, 63))
	require.Equal(t, onCloth, at(120, 100))
	require.NotEqual(t, onCloth, at(98, 120))
	require.Equal(t, onGround, at(20, 20))
}
