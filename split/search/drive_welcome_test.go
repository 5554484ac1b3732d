package search

import (
	"fmt"
	"testing"

	"eke/piece"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A skirt is split down its middle, though the first plan that is found lays other
// pieces where its half would have to lie: these make way.
func TestPiecesMakeWayForAWelcomeSeam(t *testing.T) {
	t.Parallel()
	box := func(name string, width, length float64) *piece.Piece {
		return outlined(t, name, 1, orb.Point{0, 0}, orb.Point{width, 0}, orb.Point{width, length}, orb.Point{0, length})
	}
	pieces := []*piece.Piece{box("skirt", 520, 600)}
	for k, size := range [][2]float64{{160, 360}, {120, 380}, {200, 300}, {200, 300}} {
		pieces = append(pieces, box(fmt.Sprint("p", k), size[0], size[1]))
	}
	var pile []piece.Scrap
	for k, size := range [][2]float64{{360, 500}, {380, 680}, {360, 660}, {460, 620}} {
		s := sheet(fmt.Sprint("s", k), size[0], size[1])
		s.Count = 1
		pile = append(pile, s)
	}
	res, err := Run(t.Context(), pieces, pile, Options{MaxSeams: 2, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, Keep: 3})
	require.NoError(t, err)
	require.NotEmpty(t, res.Plans)
	require.Len(t, res.Plans[0].Seams, 1)
	require.True(t, runsWelcome(res.Plans[0]))
}
