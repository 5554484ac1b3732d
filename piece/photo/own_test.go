package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A place within a scrap is its own where it has a colour of its print, even if that was taken
// for the ground's, and no place is where the ground shows in any light.
func TestOwnColours(t *testing.T) {
	t.Parallel()
	ground, red, dot := color.Gray{140}, color.RGBA{150, 30, 40, 255}, color.Gray{205}
	scrap, place := image.Rect(60, 60, 220, 160), image.Rect(100, 100, 112, 112)
	for name, c := range map[string]struct {
		in      color.Color
		learned bool // for the ground's colour there
		own     bool
	}{
		"a dot":                    {dot, false, true},
		"a dot taken for ground":   {dot, true, true},
		"the cloth":                {red, false, true},
		"a hole":                   {ground, false, false},
		"a hole in the shade":      {color.Gray{105}, false, false},
		"a hole, learned as it is": {color.Gray{132}, true, false},
		"another colour":           {color.RGBA{40, 70, 160, 255}, false, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(280, 220, ground)
			fill(scrap, red)
			for x := 70; x < 210; x += 24 {
				fill(image.Rect(x, 130, x+10, 140), dot)
			}
			fill(place, c.in)
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) && !q.In(place) })
			if c.learned {
				for i := range tr.ground.colour {
					x, y := i%tr.ground.across*cellSide, i/tr.ground.across*cellSide
					if image.Rect(x, y, x+cellSide, y+cellSide).Overlaps(place.Inset(-cellSide)) {
						tr.ground.colour[i] = tr.f.colour[place.Min.Y*tr.f.w+place.Min.X+tr.f.w*4+4]
					}
				}
				tr.ground.lit()
			}
			own := tr.ownColours(one, ids)
			require.NotNil(t, own)
			ring := orb.Bound{Min: orb.Point{100, 100}, Max: orb.Point{112, 112}}.ToRing()
			require.Equal(t, c.own, own.fills(ring[:len(ring)-1]))
		})
	}
}

// A tiny place of the ground's colour is a hole, and none where the scrap has much of that colour.
func TestOftenIsNoHole(t *testing.T) {
	t.Parallel()
	ground, red := color.Gray{140}, color.RGBA{150, 30, 40, 255}
	scrap, place := image.Rect(60, 60, 220, 160), image.Rect(100, 100, 105, 105)
	for spots, often := range map[int]bool{0: false, 2: false, 9: true} {
		m, fill := painted(280, 220, ground)
		fill(scrap, red)
		for i := range spots {
			fill(image.Rect(72+16*i, 130, 78+16*i, 136), ground)
		}
		fill(place, ground)
		tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) && !q.In(place) })
		own := tr.ownColours(one, ids)
		ring := orb.Bound{Min: orb.Point{100, 100}, Max: orb.Point{105, 105}}.ToRing()
		require.Equal(t, often, own.often(ring[:len(ring)-1]), "%d spots", spots)
	}
}
