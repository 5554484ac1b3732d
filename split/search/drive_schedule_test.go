package search

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestScheduleIteratesWhereItTakesLeast(t *testing.T) {
	s := newSchedule(1, 3, len(budgets))
	ask := func(best, wantSeams, wantTier int) {
		t.Helper()
		seams, tier, ok := s.next(best)
		require.True(t, ok)
		require.Equal(t, [2]int{wantSeams, wantTier}, [2]int{seams, tier})
	}
	ask(4, 1, 0)
	s.record(1, 10_000, false)
	ask(4, 1, 1) // 30,000 tries against 80,000 for the first budget at two seams
	s.record(1, 90_000, false)
	ask(4, 2, 0)
	s.record(2, 500_000, false)
	ask(4, 1, 2)
	s.record(1, 100, true) // there is nothing with one seam
	ask(4, 2, 1)
	_, _, ok := s.next(2) // and two are no longer of interest
	require.False(t, ok)
}

// What is open gets all its budgets, fewest seams first where work is alike, and
// then there is nothing more to do.
func TestScheduleEnds(t *testing.T) {
	s := newSchedule(0, 2, len(budgets))
	tiersAt := map[int]int{}
	for {
		seams, tier, ok := s.next(3)
		if !ok {
			break
		}
		require.Equal(t, tiersAt[seams], tier)
		tiersAt[seams]++
		s.record(seams, 0, false)
	}
	require.Equal(t, map[int]int{0: len(budgets), 1: len(budgets), 2: len(budgets)}, tiersAt)
	_, _, ok := newSchedule(3, 2, len(budgets)).next(9)
	require.False(t, ok)
}
