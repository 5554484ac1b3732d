package search

import (
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// gridOf is what the grid makes of some pieces and a pile, proved; nil where it finds
// nothing.
func gridOf(t *testing.T, pieces []*piece.Piece, pile []piece.Scrap) *split.Made {
	in := instanceOf(pieces, pile)
	m := in.grid(t.Context(), func() bool { return true })
	if m != nil {
		requireMade(t, in, m)
	}
	return m
}

// A strip holds a panel that is 110 mm wide, and 357 mm beside it. So four strips hold a piece in
// four panels, and of three the ends of two hold the fourth panel in two parts. Two have too
// little area.
func TestPartsOfAPieceLieBesideEachOther(t *testing.T) {
	t.Parallel()
	for strips, seams := range map[int]int{2: -1, 3: 4, 4: 3, 5: 3} {
		strip := sheet("strip", 130, 1000)
		strip.Count = strips
		m := gridOf(t, []*piece.Piece{rectangle(t, "back", 400, 600)}, []piece.Scrap{strip})
		if seams < 0 {
			require.Nil(t, m, "%d strips", strips)
			continue
		}
		require.NotNil(t, m, "%d strips", strips)
		require.Len(t, m.Seams, seams, "%d strips", strips)
	}
}

// Of a pile with room enough no part has to be cut again to lie beside another.
func TestEachPartHasABinOfItsOwnWhereThatTakesNoMoreSeams(t *testing.T) {
	t.Parallel()
	strip := sheet("strip", 130, 1300)
	strip.Count = 6
	m := gridOf(t, []*piece.Piece{rectangle(t, "back", 300, 600)}, []piece.Scrap{strip})
	require.NotNil(t, m)
	require.Len(t, m.Seams, 2)
	on := map[int]bool{}
	for _, leaf := range m.Plan.Trees[0].Leaves() {
		on[leaf.Scrap] = true
	}
	require.Len(t, on, 3)
}

// That takes long for pieces that backtracking is quick with, so it comes once all else has found
// nothing for a while.
func TestPartsLieBesideEachOtherOnceAllElseFindsNothing(t *testing.T) {
	t.Parallel()
	strip := sheet("strip", 130, 1000)
	strip.Count = 3
	d, err := newDriver([]*piece.Piece{rectangle(t, "back", 400, 600)}, []piece.Scrap{strip}, Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2}.withDefaults())
	require.NoError(t, err)
	g := d.growing(t.Context(), true)
	defer g.stop()
	d.table.work.Add(coverStart / 2)
	require.Nil(t, g.next(t.Context(), nil))
	d.table.work.Add(coverStart / 2)
	m := g.next(t.Context(), nil)
	require.NotNil(t, m)
	require.Len(t, m.Seams, 4)
}
