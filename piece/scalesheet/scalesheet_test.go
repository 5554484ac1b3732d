package scalesheet

import (
	"image"
	"image/color"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/stretchr/testify/require"
)

// Each code is read back by the library's reader, and says where it is.
func TestCodesAreReadBack(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range Papers {
		require.Len(t, Codes(p), 4)
		for _, c := range Codes(p) {
			require.Greater(t, c.At[0], 4*moduleMM)
			require.Less(t, c.At[0]+c.SideMM, p.WidthMM-4*moduleMM)
			require.Less(t, c.At[1]+c.SideMM, p.HeightMM-4*moduleMM)
			grid, err := c.Grid()
			require.NoError(t, err)
			const px, quiet = 4, 16
			img := image.NewGray(image.Rect(0, 0, Modules*px+2*quiet, Modules*px+2*quiet))
			for y := range img.Rect.Max.Y {
				for x := range img.Rect.Max.X {
					gx, gy := (x-quiet)/px, (y-quiet)/px
					black := x >= quiet && y >= quiet && gx < Modules && gy < Modules && grid[gy][gx]
					img.SetGray(x, y, color.Gray{Y: map[bool]uint8{true: 20, false: 240}[black]})
				}
			}
			bitmap, err := gozxing.NewBinaryBitmapFromImage(img)
			require.NoError(t, err)
			r, err := qrcode.NewQRCodeReader().Decode(bitmap, nil)
			require.NoError(t, err)
			back, ok := Parse(r.GetText())
			require.True(t, ok, r.GetText())
			require.Equal(t, c, back)
			require.False(t, seen[r.GetText()])
			seen[r.GetText()] = true
		}
	}
}

func TestParse(t *testing.T) {
	for _, text := range []string{"", "EKE1", "EKE1 A 140 140 640", "EKE2 A 140 140 630", "https://example.org"} {
		_, ok := Parse(text)
		require.False(t, ok, text)
	}
	for _, name := range []string{"A4", " letter "} {
		_, err := ParsePaper(name)
		require.NoError(t, err)
	}
	_, err := ParsePaper("a3")
	require.ErrorContains(t, err, "a4 or letter")
}
