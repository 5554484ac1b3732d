package photo

import (
	"image"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var ratios = []image.YCbCrSubsampleRatio{
	image.YCbCrSubsampleRatio444, image.YCbCrSubsampleRatio422, image.YCbCrSubsampleRatio420,
	image.YCbCrSubsampleRatio440, image.YCbCrSubsampleRatio411, image.YCbCrSubsampleRatio410,
}

// A colour that changes evenly over the picture is read as one that does, and
// not in steps, however few points of it are stored.
func TestChromaChangesEvenly(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 70).Draw(t, "width"), rapid.IntRange(1, 70).Draw(t, "height")
		m := image.NewYCbCr(image.Rect(0, 0, w, h), rapid.SampledFrom(ratios).Draw(t, "ratio"))
		c := newChroma(m)
		blue := func(x float64) float64 { return 20 + 3*x }
		red := func(y float64) float64 { return 230 - 3*y }
		for j := range c.h {
			for i := range c.w {
				m.Cb[j*m.CStride+i] = uint8(blue(float64(c.byX) * (float64(i) + 0.5)))
				m.Cr[j*m.CStride+i] = uint8(red(float64(c.byY) * (float64(j) + 0.5)))
			}
		}
		orientation := rapid.IntRange(1, 8).Draw(t, "orientation")
		pic, lost := newPicture(m, orientation), newCoded(m, [3][64]uint16{}, orientation, 1)
		for y := range pic.Height {
			for x := range pic.Width {
				require.Zero(t, lost.at(x, y, pic.Width, pic.Height)) // in steps of nothing
			}
		}
		for y := range h {
			for x := range w {
				cb, cr := c.at(x, y)
				// Beyond the middles of the outermost points there is nothing to go by.
				mid := func(v, by, n int) float64 {
					return min(max(float64(v)+0.5, float64(by)/2), float64(by)*(float64(n)-0.5))
				}
				require.InDelta(t, blue(mid(x, c.byX, c.w)), float64(cb), 1.5)
				require.InDelta(t, red(mid(y, c.byY, c.h)), float64(cr), 1.5)
			}
		}
	})
}
