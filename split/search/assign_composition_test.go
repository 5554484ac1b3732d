package search

import (
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// The one sheet that holds the front whole is the back's, and what is left for the front is
// four strips: that takes a deep budget.
func TestDeepBudgetsCutOneCopyInFour(t *testing.T) {
	t.Parallel()
	strips := sheet("strip", 121, 221)
	strips.Count = 4
	pieces := []*piece.Piece{rectangle(t, "front", 400, 200), rectangle(t, "back", 400, 201)}
	d, err := newDriver(split.Copies(pieces), []piece.Scrap{sheet("whole", 421, 222), strips}, Options{MaxSeams: -1, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2}.withDefaults())
	require.NoError(t, err)
	plans := func(budget budget, seams int) int {
		plans, _ := solve(t.Context(), []stage{{instance: d.base, seams: seams, budget: budget}}, 1)
		return len(plans)
	}
	require.Positive(t, plans(deepBudgets[0], 3))
	require.Zero(t, plans(budgets[1], 3))
	require.Equal(t, []int{0, 0}, d.base.minCuts)
	require.True(t, d.base.deep([]int{3, 0}))
	require.False(t, d.base.deep([]int{2, 1}))
}
