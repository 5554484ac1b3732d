package search

import (
	"context"
	"testing"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/wish"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// An upright line cuts no sliver off a piece that runs out in a point, as a trouser leg
// does at the crotch, and leaves no seam that two allowances would meet over.
func TestUprightLinesLeaveNoSliver(t *testing.T) {
	t.Parallel()
	front := outlined(t, "front", 1, orb.Point{0, 0}, orb.Point{310, 0}, orb.Point{310, 96}, orb.Point{400, 104}, orb.Point{310, 112}, orb.Point{310, 400}, orb.Point{0, 400})
	var pile []piece.Scrap
	for _, look := range []string{"cream", "navy", "teal"} {
		s := sheet(look, 600, 600)
		s.Look, s.Count = look, 1
		pile = append(pile, s)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	res, err := Run(ctx, []*piece.Piece{front}, pile, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, Wishes: []wish.Wish{wish.Blocks{SizeMM: 100}},
	})
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	require.Greater(t, len(res.Plans[0].Parts), 10)
	uprights := 0
	for i := range res.Plans[0].Seams {
		s := &res.Plans[0].Seams[i]
		if s.Way.Traits().Runs == split.Along {
			uprights++
			require.GreaterOrEqual(t, s.LengthMM, float64(split.LeastPartMM), "%s between %v and %v", s.Name, s.Near, s.Far)
		}
	}
	require.Positive(t, uprights)
	for _, p := range res.Plans[0].Parts {
		require.True(t, split.WideSomewhere(p.Outline, split.LeastPartMM), p.Name)
	}
}
