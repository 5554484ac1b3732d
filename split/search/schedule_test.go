package search

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestScheduleLooksWhereItTakesLeast(t *testing.T) {
	s := newSchedule(1, 3, len(passes))
	ask := func(best, wantSeams, wantPass int) {
		t.Helper()
		seams, pass, ok := s.next(best)
		require.True(t, ok)
		require.Equal(t, [2]int{wantSeams, wantPass}, [2]int{seams, pass})
	}
	ask(4, 1, 0)
	s.took(1, 10_000, false)
	ask(4, 1, 1) // 30,000 tries against 80,000 for the first pass at two seams
	s.took(1, 90_000, false)
	ask(4, 2, 0)
	s.took(2, 500_000, false)
	ask(4, 1, 2)
	s.took(1, 100, true) // there is nothing with one seam
	ask(4, 2, 1)
	_, _, ok := s.next(2) // and two are no longer of interest
	require.False(t, ok)
}

// What is open gets all its passes, fewest seams first where work is alike, and
// then there is nothing more to do.
func TestScheduleEnds(t *testing.T) {
	s := newSchedule(0, 2, len(passes))
	passesAt := map[int]int{}
	for {
		seams, pass, ok := s.next(3)
		if !ok {
			break
		}
		require.Equal(t, passesAt[seams], pass)
		passesAt[seams]++
		s.took(seams, 0, false)
	}
	require.Equal(t, map[int]int{0: len(passes), 1: len(passes), 2: len(passes)}, passesAt)
	_, _, ok := newSchedule(3, 2, len(passes)).next(9)
	require.False(t, ok)
}
