package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// A wide joint is known by that it runs on to the picture's edge; cloth that lies on it, as narrow or of
// another colour, is kept, and so is a narrow strip of cloth by itself.
func TestWideJoints(t *testing.T) {
	t.Parallel()
	joint, ground := color.RGBA{110, 105, 95, 255}, color.RGBA{190, 180, 160, 255}
	blue := color.RGBA{30, 40, 120, 255}
	scrap, strip := image.Rect(150, 40, 250, 140), image.Rect(40, 220, 140, 228)
	for name, c := range map[string]struct {
		at image.Rectangle
		is bool
	}{
		"to the edge":       {at: image.Rect(250, 80, 400, 88), is: true},
		"right across":      {at: image.Rect(0, 160, 400, 168), is: true},
		"a strip by itself": {at: image.Rect(260, 80, 340, 88)},
		"too wide":          {at: image.Rect(250, 80, 400, 94)},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(400, 300, ground)
			fill(c.at, joint)
			fill(scrap, blue)
			fill(strip, blue)
			f := newField(newPicture(m, 1))
			g, err := newGround(f)
			require.NoError(t, err)
			tr := &tracer{f: f, ground: g, labels: make([]uint8, f.w*f.h), out: &Result{MMPerPoint: 1}}
			for k := range tr.labels {
				tr.labels[k] = onGround
				if q := image.Pt(k%f.w, k/f.w); q.In(c.at) || q.In(scrap) || q.In(strip) {
					tr.labels[k] = onCloth
				}
			}
			tr.joints()
			for k, l := range tr.labels {
				switch q := image.Pt(k%f.w, k/f.w); {
				case q.In(scrap), q.In(strip):
					require.Equal(t, onCloth, l, q)
				case q.In(c.at) && c.is:
					if q.X < scrap.Max.X || q.X >= scrap.Max.X+5 { // beside a body what is thin cannot be told
						require.Equal(t, onJoint, l, q)
					}
				case q.In(c.at):
					require.Equal(t, onCloth, l, q)
				}
			}
		})
	}
}
