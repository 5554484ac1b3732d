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

// The edge of a sheet that lies half in the shade is seen there, too; where something covers it, it is not.
func TestSightInShade(t *testing.T) {
	t.Parallel()
	bare, paper := [2]uint8{150, 100}, [2]uint8{240, 135} // lit and in the shade
	img := image.NewGray(image.Rect(0, 0, 260, 340))
	for y := range 340 {
		for x := range 260 {
			shade := 0
			if y < 100 {
				shade = 1
			}
			v := bare[shade]
			if (image.Point{x, y}).In(image.Rect(30, 30, 230, 310)) && !(image.Point{x, y}).In(image.Rect(150, 250, 260, 340)) {
				v = paper[shade]
			}
			img.SetGray(x, y, color.Gray{v})
		}
	}
	corners := [4]orb.Point{{30, 30}, {230, 30}, {230, 310}, {30, 310}}
	var s sheetSeen
	for i, c := range corners {
		s.edges = append(s.edges, side(c, corners[(i+1)%4])...)
	}
	place := func(q orb.Point) orb.Point { return q }
	var missed []orb.Point
	seen := newPicture(blurredGray(img), 1).sight(sheetSeen{edges: s.edges}, place, 3)
	for _, e := range s.edges {
		is := false
		for _, x := range seen {
			is = is || x.ground == e.at
		}
		if !is {
			missed = append(missed, e.at)
		}
	}
	require.NotEmpty(t, missed)
	for _, q := range missed {
		require.True(t, q[0] > 145 && q[1] > 245, "%v", q)
	}
}

// blurredGray is an image as a lens shows it: the mean over squares of three points by three.
func blurredGray(m *image.Gray) *image.Gray {
	out := image.NewGray(m.Rect)
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			sum := 0
			for k := range 9 {
				sum += int(m.GrayAt(min(max(x+k%3-1, 0), m.Rect.Dx()-1), min(max(y+k/3-1, 0), m.Rect.Dy()-1)).Y)
			}
			out.SetGray(x, y, color.Gray{uint8(sum / 9)})
		}
	}
	return out
}
