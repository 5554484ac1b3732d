package fit

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever meets a box, all over the cloth and beyond it, is a candidate, and what was
// taken off is none.
func TestBroadPhaseMissesNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		draw := func() box {
			x, y := rapid.Float64Range(-200, 900).Draw(t, "x"), rapid.Float64Range(-200, 1400).Draw(t, "y")
			return box{vec{x, y}, vec{x + rapid.Float64Range(0, 900).Draw(t, "width"), y + rapid.Float64Range(0, 900).Draw(t, "height")}}
		}
		boxes := make([]box, rapid.IntRange(1, 70).Draw(t, "items"))
		s := newBroadPhase(box{vec{0, 0}, vec{700, 1200}}, len(boxes))
		off := make([]bool, len(boxes))
		for i := range boxes {
			boxes[i] = draw()
			s.toggle(i, &boxes[i])
		}
		for i := range boxes {
			if off[i] = rapid.Bool().Draw(t, "off"); off[i] {
				s.toggle(i, &boxes[i])
			}
		}
		asked := draw()
		found := s.candidates(&asked)
		for i, b := range boxes {
			candidate := found[i/64]>>(i%64)&1 == 1
			meets := b.min.x <= asked.max.x && asked.min.x <= b.max.x && b.min.y <= asked.max.y && asked.min.y <= b.max.y
			if off[i] {
				require.False(t, candidate, "item %d was taken off", i)
			} else if meets {
				require.True(t, candidate, "item %d", i)
			}
		}
	})
}
