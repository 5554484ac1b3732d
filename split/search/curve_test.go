package search

import (
	"context"
	"math/rand/v2"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// Two scraps that were cut along a curved yoke below the underarm, its ends lower or
// higher, are found by the third budget already: no straight seam serves them. (The
// garment is our own.)
func TestOneCurvedSeamIsFoundSoon(t *testing.T) {
	pieces, err := puzzle.Garment("t-shirt", 1, rand.New(rand.NewPCG(7, 1)))
	require.NoError(t, err)
	front := pieces[0]
	b := split.NewBody(front, front.Outline)
	arm := split.Underarms(front.Outline)[0]
	for name, w := range map[string]split.CurvedYoke{"ends lower": {}, "ends higher": {Up: true}} {
		for _, level := range []float64{w.LevelOf(b, arm) + 20, w.LevelOf(b, arm) + 55} {
			near, far, _, err := split.Cut(front.Outline, w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
			require.NoError(t, err)
			scraps := []piece.Scrap{
				plantedScrap(t, "upper", newBlank(front, near, ""), 3, 0, 0),
				plantedScrap(t, "lower", newBlank(front, far, ""), 3, 0, 0),
			}
			res, err := Run(context.Background(), []*piece.Piece{front}, scraps, Options{MaxSeams: 1, AllowanceMM: 10, GapMM: 3, Seed: 1, Budgets: 3})
			require.NoError(t, err)
			require.NotEmpty(t, res.Plans, "%s at %.0f", name, level)
			require.Len(t, res.Plans[0].Seams, 1)
			require.Equal(t, "curved yoke", res.Plans[0].Seams[0].Kind)
		}
	}
}
