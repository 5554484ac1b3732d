package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A bay round a colour of the scrap's print is told from a notch, and from a corner.
func TestBays(t *testing.T) {
	t.Parallel()
	ground, red, dot := color.Gray{140}, color.RGBA{150, 30, 40, 255}, color.Gray{80}
	for name, c := range map[string]struct {
		in   color.Color // the bay
		deep int
		is   bool
	}{
		"a dot of the print": {dot, 10, true},
		"a notch":            {ground, 10, false},
		"hardly a bay":       {dot, 2, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(240, 180, ground)
			fill(image.Rect(40, 40, 200, 140), red)
			for x := 60; x < 180; x += 24 {
				fill(image.Rect(x, 80, x+10, 90), dot)
			}
			bay := image.Rect(100, 40, 108, 40+c.deep)
			fill(bay, c.in)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(image.Rect(40, 40, 200, 140)) && !q.In(bay) })
			for _, turned := range []bool{false, true} { // whichever way the ground's y runs
				mm := append([]orb.Point{}, one.rings[0]...)
				for i := range mm {
					if turned {
						mm[i][1] = -mm[i][1]
					}
				}
				require.Equal(t, c.is, tr.bays(one, ids, one.rings[0], mm) != nil)
			}
		})
	}
}
