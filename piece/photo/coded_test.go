package photo

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// edged is a picture of two colours as light as each other, with a slanting edge.
func edged() *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, 400, 240))
	for y := range 240 {
		for x := range 400 {
			c := color.RGBA{150, 120, 90, 255}
			if float64(x) > 200+0.3*float64(y) {
				c = color.RGBA{70, 150, 150, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

// What a JPEG is said to have lost is about what it has lost: much beside an edge,
// nothing on plain ground.
func TestCodedKnowsWhatIsLost(t *testing.T) {
	t.Parallel()
	for _, quality := range []int{60, 75, 90} {
		var file bytes.Buffer
		require.NoError(t, jpeg.Encode(&file, edged(), &jpeg.Options{Quality: quality}))
		p, err := Read(bytes.NewReader(file.Bytes()), "edge.jpg")
		require.NoError(t, err)
		require.NotNil(t, p.coded)
		truth := newPicture(edged(), 1)
		said, is, plain := 0.0, 0.0, 0
		for y := range p.Height {
			for x := range p.Width {
				lost := p.coded.at(x, y, p.Width, p.Height)
				a, b := toLab(p.linearAt(float64(x)+0.5, float64(y)+0.5)), toLab(truth.linearAt(float64(x)+0.5, float64(y)+0.5))
				off := 200 + 0.3*float64(y) - float64(x)
				if off > 40 {
					require.Less(t, lost[1], float32(0.05), "far from the edge, at %d %d", x, y)
					plain++
				}
				if off > 4 && off < 9 { // beside the edge, not on it: there interpolated colour is off as well
					said += float64(lost[0] + lost[1] + lost[2])
					is += math.Pow(a.apart(b), 2)
				}
			}
		}
		require.NotZero(t, plain)
		require.Greater(t, said, is, "quality %d", quality)
		require.Less(t, said, 8*is, "quality %d", quality)
	}
}

// It lies where the picture's points lie, however the picture is turned.
func TestCodedIsTurnedWithThePicture(t *testing.T) {
	t.Parallel()
	m := image.NewYCbCr(image.Rect(0, 0, 64, 32), image.YCbCrSubsampleRatio420)
	for k := range m.Y {
		m.Y[k] = 128
	}
	for y := 8; y < 16; y++ { // one block that is not plain
		m.Y[m.YOffset(24, y)] = 255
	}
	var steps [3][64]uint16
	for i := range steps {
		for k := range steps[i] {
			steps[i][k] = 20
		}
	}
	for orientation := 1; orientation <= 8; orientation++ {
		p := newPicture(m, orientation)
		c := newCoded(m, steps, orientation, 1)
		for y := range 32 {
			for x := range 64 {
				tx, ty := turn(x, y, 64, 32, orientation)
				require.Equal(t, x/8 == 3 && y/8 == 1, c.at(tx, ty, p.Width, p.Height)[0] > 0, "orientation %d at %d %d", orientation, x, y)
			}
		}
	}
}

// The steps are read as they were written: at quality 50 they are the standard's own
// (ITU-T T.81, annex K).
func TestStepsOf(t *testing.T) {
	t.Parallel()
	var file bytes.Buffer
	require.NoError(t, jpeg.Encode(&file, edged(), &jpeg.Options{Quality: 50}))
	steps, ok := stepsOf(file.Bytes())
	require.True(t, ok)
	require.Equal(t, []uint16{16, 11, 10, 16, 24, 40, 51, 61, 12}, steps[0][:9])
	require.Equal(t, []uint16{17, 18, 24, 47, 99, 99, 99, 99, 18}, steps[1][:9])
	require.Equal(t, uint16(99), steps[2][63])
	for n := range 700 { // cut short anywhere
		stepsOf(file.Bytes()[:n])
	}
	file.Reset()
	require.NoError(t, jpeg.Encode(&file, image.NewGray(image.Rect(0, 0, 9, 9)), nil))
	_, ok = stepsOf(file.Bytes())
	require.False(t, ok)
}
