package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// A spot of the ground's colour is a hole where the print has that nowhere else.
func TestLone(t *testing.T) {
	t.Parallel()
	ground, cream, blue, red := color.RGBA{70, 80, 70, 255}, color.RGBA{225, 220, 205, 255}, color.RGBA{60, 120, 180, 255}, color.RGBA{150, 30, 40, 255}
	for name, c := range map[string]struct {
		spots []image.Point
		in    color.Color
		is    bool
		maybe int
	}{
		"a hole":            {[]image.Point{{96, 76}}, ground, true, 0},
		"a part of a print": {[]image.Point{{96, 76}, {136, 76}}, ground, false, 0},
		"like the ground":   {[]image.Point{{96, 76}}, color.RGBA{100, 85, 60, 255}, false, 1},
		"of another colour": {[]image.Point{{96, 76}}, red, false, 0},
		"at the edge":       {[]image.Point{{38, 76}}, ground, false, 0},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(280, 180, ground)
			scrap := image.Rect(40, 40, 220, 140)
			fill(scrap, cream)
			for k := range 9 * 5 {
				at := image.Pt(44+20*(k%9), 44+20*(k/9))
				fill(image.Rectangle{at, at.Add(image.Pt(8, 8))}, blue)
			}
			for _, q := range c.spots {
				fill(image.Rectangle{q, q.Add(image.Pt(5, 5))}, c.in)
			}
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(scrap) })
			require.Equal(t, c.is, tr.lone(one, ids))
			require.Len(t, tr.spots, c.maybe)
			for k, l := range tr.labels {
				x, y := k%tr.f.w, k/tr.f.w
				if c.is && image.Pt(x, y).In(image.Rectangle{c.spots[0], c.spots[0].Add(image.Pt(5, 5))}) {
					require.Equal(t, onGround, l)
				} else if c.is && image.Pt(x, y).In(scrap) && !image.Pt(x, y).In(image.Rectangle{c.spots[0], c.spots[0].Add(image.Pt(5, 5))}.Inset(-2)) {
					require.Equal(t, onCloth, l)
				}
			}
		})
	}
}

// A colour is counted near to itself and to what differs by noise, whatever it is.
func TestTally(t *testing.T) {
	t.Parallel()
	for _, c := range []lab{{0, 0, 0}, {100, 0, 0}, {50, 120, -130}, {30, -90, 90}} {
		var count tally
		*count.of(count.step(c))++
		require.Equal(t, 1, count.near(count.step(c)))
		require.Equal(t, 1, count.near(count.step(lab{c[0] + 2, c[1] - 2, c[2] + 2})))
		require.Zero(t, count.near(count.step(lab{c[0] - 20, c[1], c[2] + 40})))
	}
}
