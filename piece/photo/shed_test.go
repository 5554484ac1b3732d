package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// A board of another tone that hangs on a scrap is given back to the ground; a flower of that
// tone is not where the scrap has such flowers all over.
func TestShed(t *testing.T) {
	t.Parallel()
	ground, navy, pale := color.RGBA{190, 186, 181, 255}, color.RGBA{35, 42, 80, 255}, color.RGBA{212, 210, 206, 255}
	for name, c := range map[string]struct {
		flowers int
		gone    bool
	}{
		"a board":             {0, true},
		"and a spot of paint": {1, true},
		"a flower of many":    {6, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(240, 180, ground)
			scrap := image.Rect(40, 40, 200, 140)
			fill(scrap, navy)
			for i := range c.flowers {
				fill(image.Rect(50+24*i, 80, 60+24*i, 90), pale)
			}
			fill(image.Rect(100, 40, 112, 52), pale)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) })
			tr.blind = make([]bool, len(ids))
			require.Equal(t, c.gone, tr.shed(one, ids))
			require.Equal(t, c.gone, tr.labels[46*tr.f.w+106] == onGround)
			if c.flowers > 0 {
				require.Equal(t, onCloth, tr.labels[85*tr.f.w+55])
			}
		})
	}
}
