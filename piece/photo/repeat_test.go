package photo

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"github.com/stretchr/testify/require"
)

// Gaps of a print are given to the cloth where they come again and again; what lies
// apart, and holes, are not.
func TestRepeats(t *testing.T) {
	t.Parallel()
	ground, red := color.Gray{140}, color.RGBA{150, 30, 40, 255}
	shade, green := color.Gray{80}, color.RGBA{70, 110, 80, 255}
	type patch struct {
		at  image.Rectangle
		ink color.Color
	}
	// Bars of so many points, with gaps between them.
	bars := func(n, wide, gap int, ink color.Color) (out []patch) {
		for i := range n {
			x := 40 + i*(wide+gap)
			if i > 0 {
				out = append(out, patch{image.Rect(x-gap, 60, x, 180), ink})
			}
			out = append(out, patch{image.Rect(x, 60, x+wide, 180), red})
		}
		return out
	}
	bored := func(n int) []patch { // a cloth with holes
		out := []patch{{image.Rect(40, 60, 240, 180), red}}
		for i := range n {
			x := 50 + 20*(i%9)
			y := 70 + 20*(i/9)
			out = append(out, patch{image.Rect(x, y, x+8, y+8), ground})
		}
		return out
	}
	eaten := bored(0) // and with holes of any size
	for i := range 10 {
		eaten = append(eaten, patch{image.Rect(50+19*i, 100, 52+20*i, 100+2+i), ground})
	}
	for name, c := range map[string]struct {
		put    []patch
		pieces int32
		filled bool
		holes  int // that stay
	}{
		"stripes in shade":                {bars(4, 16, 8, shade), 1, true, 0},
		"stripes of another hue":          {bars(3, 16, 8, green), 1, true, 0},
		"two scraps with shade between":   {bars(2, 16, 8, shade), 2, false, 0},
		"scraps in a row, a finger apart": {bars(5, 30, 12, ground), 5, false, 0},
		"fine stripes of the ground's":    {bars(9, 8, 3, ground), 1, true, 0},
		"the same, and a wide hole":       {append(bars(9, 20, 3, ground), patch{image.Rect(138, 100, 146, 112), ground}), 1, true, 1},
		"three holes":                     {bored(3), 1, false, 0},
		"moths":                           {eaten, 1, false, 0},
		"lace":                            {bored(40), 1, true, 0},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m := image.NewRGBA(image.Rect(0, 0, 320, 240))
			draw.Draw(m, m.Rect, image.NewUniform(ground), image.Point{}, draw.Src)
			labels := make([]uint8, 320*240)
			for k := range labels {
				labels[k] = onGround
			}
			gaps := 0
			for _, p := range c.put {
				draw.Draw(m, p.at, image.NewUniform(p.ink), image.Point{}, draw.Src)
				for y := p.at.Min.Y; y < p.at.Max.Y; y++ {
					for x := p.at.Min.X; x < p.at.Max.X; x++ {
						labels[y*320+x] = onGround
						if p.ink == red {
							labels[y*320+x] = onCloth
						}
					}
				}
				if p.ink != red {
					gaps++
				}
			}
			f := newField(newPicture(m, 1))
			g, err := newGround(f)
			require.NoError(t, err)
			tr := &tracer{f: f, ground: g, labels: labels, out: &Result{MMPerPoint: 1}}
			tr.repeats()
			cloth := make([]bool, len(labels))
			for k, l := range labels {
				cloth[k] = l == onCloth
			}
			_, pieces := components(cloth, f.w, f.h)
			require.Equal(t, c.pieces, pieces)
			if c.filled {
				require.Len(t, tr.repeated, gaps-c.holes)
			} else {
				require.Empty(t, tr.repeated)
			}
		})
	}
}
