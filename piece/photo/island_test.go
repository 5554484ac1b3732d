package photo

import (
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is paler than the ground within a sharp edge is cloth, though the ground was taken to have its colour
// there; what is darker may be a shadow, what fades is light, and what has joints about it a tile.
func TestIslands(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		by   int // lighter than the ground
		fade int // points over which it is
		rim  int // darker than the ground about it
		is   bool
	}{
		"pale cloth":  {30, 0, 0, true},
		"a shadow":    {-30, 0, 0, false},
		"a lit place": {30, 60, 0, false},
		"nearly it":   {8, 0, 0, false},
		"a tile":      {0, 0, 60, false},
		"a pale tile": {8, 0, 60, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			const grey = 150
			m, fill := painted(400, 300, color.Gray{grey})
			pale := image.Rect(160, 120, 240, 180)
			fill(pale.Inset(-12), color.Gray{uint8(grey - c.rim)})
			fill(pale.Inset(-1), color.Gray{grey})
			for d := c.fade; d >= 0; d-- {
				fill(pale.Inset(-d), color.Gray{uint8(grey + c.by*(c.fade+1-d)/(c.fade+1))})
			}
			f := newField(newPicture(m, 1))
			g, err := newGround(f)
			require.NoError(t, err)
			labels := make([]uint8, f.w*f.h)
			for k := range labels {
				labels[k] = onGround
			}
			g.learn(f, func(int) bool { return true })
			tr := &tracer{f: f, ground: g, labels: labels, out: &Result{MMPerPoint: 1}}
			tr.islands()
			for k, l := range labels {
				switch q := image.Pt(k%f.w, k/f.w); {
				case c.is && q.In(pale.Inset(3)):
					require.Equal(t, onCloth, l, q)
				case !c.is || !q.In(pale.Inset(-3)):
					require.Equal(t, onGround, l, q)
				}
			}
			if was, _ := g.at(200, 150); c.is {
				require.Less(t, was.apart(f.colour[0]), 2.0)
			}
		})
	}
}
