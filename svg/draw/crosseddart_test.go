package draw

import (
	"testing"

	"eke/piece/plane"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// A dart that a seam crosses is drawn on both parts, as far as each has it.
func TestCrossedDartIsOnTheGarment(t *testing.T) {
	d := tshirt()
	dart := [3]plan.Point{{241, 440}, {90, 330}, {241, 480}}
	for i := range d.Options[0].Parts {
		if p := &d.Options[0].Parts[i]; p.Piece == "front" {
			p.Crossed = [][3]plan.Point{dart}
		}
	}
	g, err := Of(d).garment(0)
	require.NoError(t, err)
	parts := g.partsOf(g.outfit.pieces[0])
	var length float64
	for _, p := range parts {
		for _, l := range p.darts {
			require.True(t, plane.Holds(p.ring, l.Bound().Center()))
			length += l.Length()
		}
	}
	require.InDelta(t, sewnDart(dart).Length(), length, 1)
	pictures, _, err := Of(d).Garment(0)
	require.NoError(t, err)
	golden(t, "crossed-dart.svg", []byte(pictures[0].SVG))
}
