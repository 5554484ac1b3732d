package search

import (
	"math"
	"slices"
	"testing"

	"eke/piece"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// ofPuzzle is the instance of a planted puzzle.
func ofPuzzle(t *testing.T, seed uint64) *instance {
	p, err := puzzle.New(seed, puzzle.Rules{
		Garment: []string{"t-shirt", "raglan", "vest"}[seed%3], Seams: 1 + int(seed%4),
		SlackMM: 10, Share: 0.4, Decoys: 3, GapMM: 3, TurnDeg: 2,
	})
	require.NoError(t, err)
	var copies []*piece.Piece
	for _, q := range p.Pieces {
		copies = append(copies, q.Copies()...)
	}
	in := newInstanceOfKinds(newTable(p.Scraps, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1}.withDefaults()), copies, nil, nil)
	in.measure(t.Context())
	return in
}

// Where one of the orders is through soon, or has a plan soon, both end, whichever it is, and
// with what that one came to.
func TestOrdersTakeTurns(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		seed  uint64
		cuts  []int
		plans int
	}{
		"the first is through":  {10, []int{1, 2, 0, 0}, 0},
		"the other is through":  {1791, []int{0, 2, 1, 1}, 0},
		"the other finds plans": {6, []int{0, 2, 0, 1}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b := budgets[1]
			b.restarts = 0
			begin := func() *assignment {
				a := newAssignment(ofPuzzle(t, c.seed), c.cuts, false, b, 1)
				a.until = math.MaxInt64
				return a
			}
			first, both := begin(), begin()
			first.tries = 10_000
			other := begin().besides(t.Context())
			require.NotNil(t, other)
			require.NotEqual(t, first.order, other.order)
			require.ElementsMatch(t, first.order, other.order)
			other.until = math.MaxInt64
			first.assignFrom(t.Context(), 0)
			other.assignFrom(t.Context(), 0)
			both.search(t.Context())
			require.LessOrEqual(t, both.work, 2*min(first.work, other.work)+turnTries+200)
			require.Len(t, both.plans, c.plans)
			if first.work > other.work {
				require.Equal(t, other.incomplete, both.incomplete)
				require.Len(t, other.plans, c.plans)
			}
		})
	}
}

// There is one order where both are the same, and where all plans are wanted, and no more
// tries than a search is given.
func TestOneOrderIsEnough(t *testing.T) {
	t.Parallel()
	in := ofPuzzle(t, 18)
	cuts := []int{1, 2, 0, 0}
	require.Nil(t, newAssignment(in, []int{0, 1, 0, 0}, false, budgets[1], 1).besides(t.Context()))
	require.Nil(t, newAssignment(in, cuts, false, budgets[1], 2).besides(t.Context()))

	b := budgets[1]
	b.restarts, b.tries = 0, turnTries+100
	in = ofPuzzle(t, 1791)
	a := newAssignment(in, []int{2, 0, 1, 1}, false, b, 1)
	a.until = math.MaxInt64
	a.search(t.Context())
	require.LessOrEqual(t, a.work, int64(turnTries+300))
	require.Nil(t, a.other)
	require.False(t, slices.ContainsFunc(a.on, func(on []placed) bool { return len(on) > 0 }))
}
