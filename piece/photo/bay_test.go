package photo

import (
	"image"
	"image/color"
	"image/draw"
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
			m := image.NewRGBA(image.Rect(0, 0, 240, 180))
			fill := func(r image.Rectangle, ink color.Color) {
				draw.Draw(m, r, image.NewUniform(ink), image.Point{}, draw.Src)
			}
			fill(m.Rect, ground)
			fill(image.Rect(40, 40, 200, 140), red)
			for x := 60; x < 180; x += 24 {
				fill(image.Rect(x, 80, x+10, 90), dot)
			}
			bay := image.Rect(100, 40, 108, 40+c.deep)
			fill(bay, c.in)
			f := newField(newPicture(m, 1))
			g, err := newGround(f)
			require.NoError(t, err)
			labels := make([]uint8, f.w*f.h)
			for k := range labels {
				labels[k] = onGround
				if q := (image.Point{k % f.w, k / f.w}); q.In(image.Rect(40, 40, 200, 140)) && !q.In(bay) {
					labels[k] = onCloth
				}
			}
			tr := &tracer{f: f, ground: g, labels: labels, out: &Result{MMPerPoint: 1}}
			all, ids := regions(labels, f, 20)
			require.Len(t, all, 1)
			for _, turned := range []bool{false, true} { // whichever way the ground's y runs
				mm := append([]orb.Point{}, all[0].rings[0]...)
				for i := range mm {
					if turned {
						mm[i][1] = -mm[i][1]
					}
				}
				require.Equal(t, c.is, tr.bays(all[0], ids, all[0].rings[0], mm) != nil)
			}
		})
	}
}
