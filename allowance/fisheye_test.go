package allowance

import (
	"testing"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A dart with two points that lies within the cutting line must lie within the
// seam line, too.
func TestSeamLineHoldsFishEyes(t *testing.T) {
	for name, c := range map[string]struct {
		acrossMM float64
		ok       bool
	}{"clear": {50, true}, "in the allowance": {14, false}} {
		t.Run(name, func(t *testing.T) {
			x := c.acrossMM
			p := &piece.Piece{
				Name: "front", File: "a.svg",
				Outline:  piece.Outline{{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 200}, orb.Point{0, 200}, orb.Point{0, 0}), AllowanceMM: 10}},
				FishEyes: []piece.FishEye{{Apex: [2]orb.Point{{x, 40}, {x, 160}}, Wide: [2]orb.Point{{x - 8, 100}, {x + 8, 100}}}},
			}
			err := SeamLine(p)
			if c.ok {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, "a dart with two points is not wholly inside the seam line")
			}
		})
	}
}
