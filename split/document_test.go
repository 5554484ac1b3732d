package split_test

import (
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// The sewing order ends with what is left to do, and says of no piece that it
// is pieced where none is.
func TestSewingOrder(t *testing.T) {
	drawn := only(sample(t, "tshirt.svg"), "front")
	drawn = append(drawn, only(sample(t, "tshirt.svg"), "back")...)
	move := split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 30}
	now, err := move.Apply(drawn)
	require.NoError(t, err)
	whole := func(pieces []*piece.Piece) *split.Plan { return cutting(pieces, "", nil) }
	pieced := cutting(drawn, "front", byHand(t, split.Yoke{}, below(300)))
	shifted := whole(now)
	shifted.Moves = []split.Move{move}
	for name, c := range map[string]struct {
		plan  *split.Plan
		steps int
		last  string
	}{
		"nothing changed": {whole(drawn), 1, "Sew the pattern as drawn: no piece is pieced."},
		"a moved seam":    {shifted, 2, "Go on with the pattern as drawn."},
		"a yoke":          {pieced, 2, "Go on with the pattern as drawn: each pieced piece is whole now."},
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, c.plan, drawn)
			order := d.Options[0].SewingOrder
			require.Len(t, order, c.steps)
			require.Equal(t, c.last, order[c.steps-1])
		})
	}
}
