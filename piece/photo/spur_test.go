package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A part of an outline that turns out round a joint of the ground, or a shadow, is cut off; one that
// has a colour of the scrap, or any that the ground cannot have, stays.
func TestDocked(t *testing.T) {
	t.Parallel()
	ground, red, joint, blue := color.Gray{140}, color.RGBA{150, 30, 40, 255}, color.Gray{100}, color.RGBA{40, 70, 160, 255}
	scrap := image.Rect(40, 60, 200, 160)
	for name, c := range map[string]struct {
		spur image.Rectangle
		in   color.Color
		off  bool
	}{
		"a joint":             {image.Rect(100, 54, 106, 60), joint, true},
		"along a joint":       {image.Rect(100, 20, 106, 60), joint, true},
		"a tab":               {image.Rect(100, 54, 106, 60), red, false},
		"a strap":             {image.Rect(100, 20, 106, 60), red, false},
		"a strap of its own":  {image.Rect(100, 20, 106, 60), blue, false},
		"a joint at a corner": {image.Rect(40, 54, 46, 60), joint, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(240, 200, ground)
			fill(scrap, red)
			fill(c.spur, c.in)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) || q.In(c.spur) })
			tr.p = newPicture(m, 1)
			tr.view = &fitted{view: mmView(240, 200)}
			at := append([]orb.Point{}, one.rings[0]...)
			tr.docked(at, func() *ownColours { return tr.ownColours(one, ids) })
			highest := 200.0
			for _, q := range at {
				highest = min(highest, q[1])
			}
			if c.off {
				require.InDelta(t, scrap.Min.Y, highest, 1)
			} else {
				require.InDelta(t, c.spur.Min.Y, highest, 1)
			}
		})
	}
}
