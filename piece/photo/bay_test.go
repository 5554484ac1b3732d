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

// An outline is led straight across a dent that has a colour of the scrap's print, and follows
// every other.
func TestEvenOut(t *testing.T) {
	t.Parallel()
	ground, red, dot, blue := color.Gray{140}, color.RGBA{150, 30, 40, 255}, color.Gray{205}, color.RGBA{40, 70, 160, 255}
	scrap := image.Rect(40, 40, 200, 140)
	for name, c := range map[string]struct {
		dent   image.Rectangle
		in     color.Color
		across bool
	}{
		"a dot of the print":               {image.Rect(100, 40, 108, 46), dot, true},
		"a notch":                          {image.Rect(100, 40, 108, 46), ground, false},
		"a wide square of the print":       {image.Rect(100, 40, 122, 50), dot, true},
		"a wide notch":                     {image.Rect(100, 40, 122, 50), ground, false},
		"a notch in the shade":             {image.Rect(100, 40, 108, 46), color.Gray{115}, false},
		"a colour that is not on it":       {image.Rect(100, 40, 108, 46), blue, false},
		"a dot at a corner of the outline": {image.Rect(40, 40, 48, 46), dot, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(240, 180, ground)
			fill(scrap, red)
			for x := 60; x < 180; x += 24 {
				fill(image.Rect(x, 80, x+10, 90), dot)
			}
			fill(c.dent, c.in)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) && !q.In(c.dent) })
			tr.view = &fitted{view: mmView(240, 180)}
			at := append([]orb.Point{}, one.rings[0]...)
			wide := tr.evenOut(at, func() *ownColours { return tr.ownColours(one, ids) })
			require.Equal(t, c.across && c.dent.Dx() > 14, wide != nil)
			deepest := 0.0
			for _, q := range at {
				if q[0] > float64(c.dent.Min.X)+1 && q[0] < float64(c.dent.Max.X)-1 && q[1] < 60 {
					deepest = max(deepest, q[1])
				}
			}
			if c.across {
				require.InDelta(t, 40, deepest, 1)
			} else {
				require.InDelta(t, c.dent.Max.Y, deepest, 1)
			}
		})
	}
}
