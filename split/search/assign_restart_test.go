package search

import (
	"math"
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

// assigning is the assignments of a copy that is cut and one that is not, to bins that do
// or do not hold them.
func assigning(t *testing.T, largestMM float64, budget budget) *assignment {
	pile := []piece.Scrap{sheet("a", 200, 200), sheet("b", 210, 180), sheet("c", 230, largestMM), sheet("d", 260, 140)}
	table := newTable(pile, Options{AllowanceMM: 10, GapMM: 3, Seed: 1}.withDefaults())
	in := newInstanceOfKinds(table, []*piece.Piece{rectangle(t, "yoke", 180, 300), rectangle(t, "front", 170, 170)}, nil, nil)
	in.measure(t.Context())
	a := newAssignment(in, []int{1, 0}, false, budget, 1)
	a.until = math.MaxInt64
	return a
}

// Each restart has all ways and all bins, in an order of its own that is always the same.
func TestRestartsShuffleWaysAndBins(t *testing.T) {
	t.Parallel()
	a := assigning(t, 120, budgets[1])
	bins, orders := a.binsFor(0), map[string]bool{}
	for k := range 8 {
		a.shuffled = a.shuffle(k)
		require.ElementsMatch(t, bins, a.binsFor(0))
		require.ElementsMatch(t, a.table.ways, a.ways())
		require.Equal(t, a.shuffled, a.shuffle(k))
		told := ""
		for _, s := range a.binsFor(0) {
			told += a.table.bins[s].scrap.Name
		}
		orders[told] = true
	}
	require.Greater(t, len(orders), 3)
}

// Restarts take their tries from those of the whole search, and where one has looked
// through all assignments there is no other.
func TestRestartsSpendNoMoreTries(t *testing.T) {
	t.Parallel()
	b := budgets[1]
	b.tries, b.restarts = 3*restartTries, 2
	once := assigning(t, 120, b)
	once.shuffled = once.shuffle(0)
	require.False(t, once.assignFrom(t.Context(), 0))
	all := assigning(t, 120, b)
	all.search(t.Context())
	require.Empty(t, all.plans)
	require.Equal(t, once.work, all.work)
	require.Positive(t, once.work)

	b.tries = 3
	few := assigning(t, 120, b)
	few.search(t.Context())
	require.LessOrEqual(t, few.work, int64(4))
	require.True(t, few.incomplete)
}

// A plan that a restart finds is enough, and one that is told to stop does.
func TestRestartsStop(t *testing.T) {
	t.Parallel()
	a := assigning(t, 400, budgets[1])
	a.search(t.Context())
	require.Len(t, a.plans, 1)
	require.NotNil(t, a.shuffled.ways, "found in the first order by chance")

	a = assigning(t, 120, budgets[1])
	a.until, a.pause = 0, func() bool { return false }
	a.search(t.Context())
	require.LessOrEqual(t, a.work, int64(2))
}
