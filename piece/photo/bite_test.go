package photo

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"github.com/stretchr/testify/require"
)

// A corner of checks that is deeper than a bite is given back step by step, and not the joint of the
// ground that it lies at.
func TestRestoreDeepCorner(t *testing.T) {
	t.Parallel()
	ground, red, grey := color.Gray{150}, color.RGBA{150, 30, 40, 255}, color.Gray{105}
	m := image.NewRGBA(image.Rect(0, 0, 240, 180))
	fill := func(r image.Rectangle, ink color.Color) {
		draw.Draw(m, r, image.NewUniform(ink), image.Point{}, draw.Src)
	}
	scrap, corner := image.Rect(40, 40, 200, 140), image.Rect(182, 122, 200, 140)
	fill(m.Rect, ground)
	fill(scrap, red)
	for x := 50; x < 190; x += 40 {
		fill(image.Rect(x, 60, x+20, 80), grey)
	}
	fill(corner, grey)
	fill(image.Rect(190, 140, 192, 160), grey)
	tr, one, _ := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) && !q.In(corner) })
	tr.blind = make([]bool, len(tr.labels))
	all, _, err := tr.mended(t.Context(), 20)
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.Greater(t, 2*biteMM, float64(corner.Dx()))
	require.Less(t, biteMM, float64(corner.Dx()))
	require.InDelta(t, one.area+corner.Dx()*corner.Dy(), all[0].area, 8)
}

// What the ground has flooded at the edge of a scrap is given back where the ground has its
// colour in no shade, though nothing else on the scrap has it; a notch, a dark corner of one and
// a hole in shade are not.
func TestRegain(t *testing.T) {
	t.Parallel()
	ground, purple := color.RGBA{190, 186, 181, 255}, color.RGBA{150, 80, 140, 255}
	turquoise, shade, deep := color.RGBA{108, 172, 165, 255}, color.RGBA{140, 137, 133, 255}, color.RGBA{105, 103, 100, 255}
	for name, c := range map[string]struct {
		at image.Rectangle
		in color.Color
		is bool
	}{
		"a flower's middle":      {image.Rect(100, 40, 112, 52), turquoise, true},
		"the same, tiny":         {image.Rect(100, 40, 102, 42), turquoise, false},
		"a notch":                {image.Rect(100, 40, 112, 52), ground, false},
		"a notch in shade":       {image.Rect(100, 40, 112, 52), shade, false},
		"a notch in deep shade":  {image.Rect(100, 40, 112, 52), deep, false},
		"a hole on another rug":  {image.Rect(100, 80, 112, 92), turquoise, false},
		"what goes on far away":  {image.Rect(100, 0, 112, 52), turquoise, false},
		"what does not touch it": {image.Rect(100, 20, 112, 34), turquoise, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(240, 180, ground)
			scrap := image.Rect(40, 40, 200, 140)
			fill(scrap, purple)
			fill(c.at, c.in)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) && !q.In(c.at) })
			f := tr.f
			cloth := make([]bool, len(ids))
			for k, id := range ids {
				cloth[k] = id == one.id
			}
			require.Equal(t, c.is, tr.regain(image.Rect(0, 0, f.w, f.h), cloth, squaresOff(cloth, f.w, f.h), biteMM))
			mid := c.at.Min.Add(c.at.Max).Div(2)
			require.Equal(t, c.is, tr.labels[mid.Y*f.w+mid.X] == onCloth)
		})
	}
}
