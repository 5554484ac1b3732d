package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// What was taken for ground at a scrap's edge and is not as that is lit is found, but for a
// shadow as flat cloth throws it.
func TestBeside(t *testing.T) {
	t.Parallel()
	ground, red, grey, white := color.Gray{150}, color.RGBA{150, 30, 40, 255}, color.Gray{105}, color.Gray{190}
	for name, c := range map[string]struct {
		at image.Rectangle
		in color.Color
		is bool
	}{
		"a grey stripe":             {image.Rect(200, 40, 212, 140), grey, true},
		"a white corner":            {image.Rect(200, 40, 208, 48), white, true},
		"the shadow of flat cloth":  {image.Rect(200, 40, 204, 140), grey, false},
		"the ground":                {image.Rect(200, 40, 212, 140), color.Gray{153}, false},
		"what does not lie at it":   {image.Rect(210, 40, 222, 140), grey, false},
		"a crumb":                   {image.Rect(200, 40, 203, 43), white, false},
		"what goes on far from it":  {image.Rect(200, 40, 240, 140), grey, true},
		"a part in its middle lost": {image.Rect(100, 80, 112, 92), grey, true},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(280, 180, ground)
			scrap := image.Rect(40, 40, 200, 140)
			fill(scrap, red)
			fill(c.at, c.in)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) && !q.In(c.at) })
			where := tr.beside(one, ids)
			require.Equal(t, c.is, where != nil)
			for _, q := range where {
				require.True(t, image.Pt(int(q[0]), int(q[1])).In(c.at))
			}
		})
	}
}
