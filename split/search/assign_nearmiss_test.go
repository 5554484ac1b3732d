package search

import (
	"math"
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// A front that misses two scraps by a strip is mended with a third one that is empty,
// and not with the one that the back lies on, which would hold it whole.
func TestANearMissIsMended(t *testing.T) {
	t.Parallel()
	pieces := split.Copies([]*piece.Piece{rectangle(t, "front", 400, 500), rectangle(t, "back", 390, 500)})
	scraps := []piece.Scrap{sheet("a", 430, 300), sheet("b", 430, 140), sheet("c", 430, 200), sheet("d", 430, 540)}
	o := Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1}.withDefaults()
	in := newTable(scraps, o).variants(pieces, nil)[0]
	in.measure(t.Context())
	n := nearMiss{instance: in, cuts: []int{1, 0}, bins: [][]int{{0, 1}, {3}}, copies: []int{0}}
	plans := n.mend(t.Context(), math.MaxInt64)
	require.NotEmpty(t, plans)
	require.Len(t, plans[0].Seams, 2)
	from := map[int]bool{}
	for _, leaf := range plans[0].Plan.Trees[0].Leaves() {
		from[leaf.Scrap] = true
	}
	require.Equal(t, map[int]bool{0: true, 1: true, 2: true}, from)
	n.bins[1] = []int{3, 2} // and where none is empty there is no way
	require.Empty(t, n.mend(t.Context(), math.MaxInt64))
}
