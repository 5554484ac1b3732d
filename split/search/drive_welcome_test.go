package search

import (
	"fmt"
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// skirtPuzzle is a skirt that is to be split down its middle, with other pieces where
// its half would have to lie in the first plan that is found.
func skirtPuzzle(t *testing.T) (pieces []*piece.Piece, pile []piece.Scrap) {
	box := func(name string, width, length float64) *piece.Piece {
		return outlined(t, name, 1, orb.Point{0, 0}, orb.Point{width, 0}, orb.Point{width, length}, orb.Point{0, length})
	}
	pieces = []*piece.Piece{box("skirt", 520, 600)}
	for k, size := range [][2]float64{{160, 360}, {120, 380}, {200, 300}, {200, 300}} {
		pieces = append(pieces, box(fmt.Sprint("p", k), size[0], size[1]))
	}
	for k, size := range [][2]float64{{360, 500}, {380, 680}, {360, 660}, {460, 620}} {
		s := sheet(fmt.Sprint("s", k), size[0], size[1])
		s.Count = 1
		pile = append(pile, s)
	}
	return pieces, pile
}

var skirtOptions = Options{MaxSeams: 2, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, Keep: 3}

func TestPiecesMakeWayForAWelcomeSeam(t *testing.T) {
	t.Parallel()
	pieces, pile := skirtPuzzle(t)
	res, err := Run(t.Context(), pieces, pile, skirtOptions)
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	require.Len(t, res.Plans[0].Seams, 1)
	require.True(t, runsWelcome(res.Plans[0]))
}

// The same near the first plan alone, where one more scrap keeps what lies on it.
func TestPiecesMakeWayNearAPlan(t *testing.T) {
	t.Parallel()
	pieces, pile := skirtPuzzle(t)
	d, err := newDriver(pieces, pile, skirtOptions.withDefaults())
	require.NoError(t, err)
	first, _ := d.iterate(t.Context(), 1, budgets[0], 1, always)
	require.NotEmpty(t, first)
	require.False(t, runsWelcome(d.refine(t.Context(), first[0])))
	require.NotEmpty(t, neighbourhoods(d.base, first[0]))
	for _, only := range neighbourhoods(d.base, first[0]) {
		require.Len(t, only, len(pieces))
		for i, tree := range first[0].Plan.Trees {
			for _, leaf := range tree.Leaves() {
				require.True(t, only[i][leaf.Scrap], "%s may stay where it lies", pieces[i].Name)
			}
		}
	}
	tried := map[string]bool{}
	next := d.welcomedNear(t.Context(), first[0], tried)
	require.NotNil(t, next)
	require.True(t, runsWelcome(next))
	require.Less(t, split.Intrusion(split.Cost(next)), split.Intrusion(split.Cost(first[0])))
	require.Nil(t, d.welcomedNear(t.Context(), next, tried))
}
