package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A scrap that lies on another is told from stripes and from the shade of a fold.
func TestOverlay(t *testing.T) {
	t.Parallel()
	ground, red, fold, black := color.Gray{150}, color.RGBA{150, 30, 40, 255}, color.RGBA{132, 26, 35, 255}, color.Gray{30}
	for name, c := range map[string]struct {
		put []image.Rectangle
		in  color.Color
		is  bool
	}{
		"another within it":     {[]image.Rectangle{image.Rect(80, 60, 140, 110)}, black, true},
		"another over its edge": {[]image.Rectangle{image.Rect(150, 20, 200, 90)}, black, true},
		"another right across":  {[]image.Rectangle{image.Rect(85, 30, 175, 150)}, black, true},
		"a small one":           {[]image.Rectangle{image.Rect(80, 60, 95, 75)}, black, false},
		"wide stripes":          {[]image.Rectangle{image.Rect(60, 40, 90, 140), image.Rect(120, 40, 150, 140), image.Rect(180, 40, 210, 140)}, black, false},
		"a fold":                {[]image.Rectangle{image.Rect(80, 60, 140, 110)}, fold, false},
		"nothing":               {nil, black, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(280, 180, ground)
			scrap := image.Rect(40, 40, 220, 140)
			fill(scrap, red)
			for _, r := range c.put {
				fill(r, c.in)
			}
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool {
				return q.In(scrap) || len(c.put) > 0 && q.In(c.put[0])
			})
			where := tr.overlay(tr.tiling(one, ids))
			require.Equal(t, c.is, where != nil)
			for _, q := range where {
				require.True(t, image.Pt(int(q[0]), int(q[1])).In(c.put[0].Inset(-overlayMM/2)))
			}
		})
	}
}

// A border that overlay finds is no scrap that lies on another; where one lies on its cloth, on the border or on both, it is said.
func TestOverlayOnBorder(t *testing.T) {
	t.Parallel()
	ground, white, green, red := color.Gray{150}, color.Gray{235}, color.RGBA{60, 115, 75, 255}, color.RGBA{150, 30, 40, 255}
	for name, c := range map[string]struct {
		put image.Rectangle
		is  bool
	}{
		"a border alone":        {image.Rectangle{}, true},
		"another on its cloth":  {image.Rect(120, 90, 200, 160), false},
		"another on the border": {image.Rect(120, 230, 200, 290), false},
		"another on both":       {image.Rect(120, 170, 200, 270), false},
	} {
		m, fill := painted(480, 360, ground)
		scrap := image.Rect(60, 60, 420, 320)
		fill(scrap, white)
		fill(image.Rect(60, 220, 420, 320), green)
		fill(c.put, red)
		tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) })
		tiles := tr.tiling(one, ids)
		where := tr.overlay(tiles)
		require.NotNil(t, where, name)
		require.Equal(t, c.is, tr.borders([]orb.Point{{60, 220}, {420, 220}}, where, tiles), name)
	}
}
