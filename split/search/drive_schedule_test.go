package search

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestScheduleIteratesWhereItTakesLeast(t *testing.T) {
	s := newSchedule(1, 3, len(budgets))
	ask := func(best, wantSeams, wantTier int) turn {
		t.Helper()
		next, ok := s.next(best, false)
		require.True(t, ok)
		require.Equal(t, turn{seams: wantSeams, tier: wantTier}, next)
		return next
	}
	s.record(ask(4, 1, 0), 10_000, false)
	// 20,000 tries against 45,000 for the first budget at two seams
	s.record(ask(4, 1, 1), 200_000, false)
	// 100,000 for the third budget against that
	s.record(ask(4, 2, 0), 500_000, false)
	s.record(ask(4, 1, 2), 100, true) // there is nothing with one seam
	ask(4, 2, 1)
	_, ok := s.next(2, true) // and two are no longer of interest
	require.False(t, ok)
}

// As long as no iteration has found a plan, more seams are tried before much work goes
// into fewer; then they are not.
func TestScheduleProbesMoreSeams(t *testing.T) {
	s := newSchedule(1, 3, len(budgets))
	s.record(turn{seams: 1}, 100_000, false)
	s.record(turn{seams: 1, tier: 1}, 600_000, false)
	// The third budget promises 300,000, and the first at two seams as much, and half as
	// much again for the seam.
	next, ok := s.next(4, false)
	require.True(t, ok)
	require.Equal(t, turn{seams: 2}, next)
	next, ok = s.next(3, false) // one of three seams is there, and not by an iteration
	require.True(t, ok)
	require.Equal(t, turn{seams: 2}, next)
	next, ok = s.next(3, true)
	require.True(t, ok)
	require.Equal(t, turn{seams: 1, tier: 2}, next)
}

// An iteration that takes far more than it promised makes way for what promises less by
// then, and goes on later.
func TestScheduleGoesOnWithWhatIsPaused(t *testing.T) {
	s := newSchedule(1, 3, len(budgets))
	s.record(turn{seams: 1}, 100_000, false)
	s.record(turn{seams: 1, tier: 1}, 400_000, false)
	s.record(turn{seams: 2}, 600_000, false)
	third := turn{seams: 1, tier: 2}
	next, ok := s.next(4, true)
	require.True(t, ok)
	require.Equal(t, third, next)
	require.EqualValues(t, 100_000, s.may(third)) // twice a quarter of half of 400,000
	s.paused(third, 200_000)                      // as much again, against 300,000 at two seams
	next, _ = s.next(4, true)
	require.Equal(t, third, next)
	require.EqualValues(t, 400_000, s.may(third))
	s.paused(third, 700_000) // and that is more
	second := turn{seams: 2, tier: 1}
	next, _ = s.next(4, true)
	require.Equal(t, second, next)
	s.record(second, 1_000_000, true)
	next, _ = s.next(4, true)
	require.Equal(t, third, next)
	s.record(third, 100_000, false) // a million in all
	require.EqualValues(t, 2*2*1_000_000/4, s.may(turn{seams: 1, tier: 3}))
}

// What has had all its budgets stays closed, however often the first budget at one seam
// fewer pauses.
func TestScheduleOpensNothingTwice(t *testing.T) {
	for tiers := 1; tiers <= len(budgets); tiers++ {
		s := newSchedule(1, 4, tiers)
		seen := map[turn]bool{}
		for pauses := 0; ; {
			next, ok := s.next(5, false)
			if !ok {
				break
			}
			require.Less(t, next.tier, len(next.lane.budgets()))
			if next.lane == usual {
				require.Less(t, next.tier, tiers)
			}
			if first := next == (turn{seams: 1}); first && pauses < 25 {
				pauses++
				s.paused(next, 50_000)
				continue
			}
			require.False(t, seen[next], "%v", next)
			seen[next] = true
			s.record(next, 1000, false)
		}
	}
}

// What is open gets all its budgets, fewest seams first where work is alike, and
// then there is nothing more to do.
func TestScheduleEnds(t *testing.T) {
	s := newSchedule(0, 2, len(budgets))
	s.pairs = true
	tiers := map[turn]int{}
	for {
		next, ok := s.next(3, false)
		if !ok {
			break
		}
		which := turn{seams: next.seams, lane: next.lane}
		require.Equal(t, tiers[which], next.tier)
		if next.tier == 0 {
			require.GreaterOrEqual(t, tiers[turn{seams: next.seams}], map[lane]int{wide: wideAfter, paired: pairedAfter, deep: deepAfter}[next.lane])
		}
		tiers[which]++
		s.record(next, 0, false)
	}
	require.Len(t, tiers, 3+3+2) // with no seam there is no pair
	for which, n := range tiers {
		require.Equal(t, len(which.lane.budgets()), n, "%v", which)
	}
	_, ok := newSchedule(3, 2, len(budgets)).next(9, false)
	require.False(t, ok)
}

// With one seam a curve comes before two seams have had their second budget; with
// more, and in the first two budgets, seams are straight.
func TestOneSeamSoonNeedNotBeStraight(t *testing.T) {
	require.True(t, turn{seams: 1, tier: 2}.budget().nonStraight)
	require.False(t, turn{seams: 1, tier: 1}.budget().nonStraight)
	require.False(t, turn{seams: 2, tier: 2}.budget().nonStraight)
}

// By how much seams must be moved for pairs of bins is asked late, for it is dear, and once.
func TestScheduleAsksForPairsLate(t *testing.T) {
	for work, before := range map[float64]int{0: 3, 60_000: 11} {
		s := newSchedule(1, 3, len(budgets))
		s.pairs, s.pairWork = true, work
		turns := 0
		for {
			next, ok := s.next(4, true)
			require.True(t, ok)
			if next.lane == paired {
				require.Equal(t, turn{seams: 1, lane: paired}, next)
				break
			}
			turns++
			s.record(next, 10_000, false)
		}
		require.Equal(t, before, turns)
		s.record(turn{seams: 1, lane: paired}, 0, false)
		require.Zero(t, s.pairWork)
	}
}

// More cuts of one copy come beside the later budgets, where there are seams enough.
func TestScheduleCutsOneCopyOften(t *testing.T) {
	s := newSchedule(2, 4, len(budgets))
	var deepened []turn
	for range 30 {
		next, ok := s.next(5, true)
		if !ok {
			break
		}
		if next.lane == deep {
			require.Greater(t, s.at(next.seams, usual).tier, 2)
			deepened = append(deepened, next)
		}
		s.record(next, 10_000, false)
	}
	require.Contains(t, deepened, turn{seams: 3, lane: deep})
	require.Contains(t, deepened, turn{seams: 4, lane: deep})
	require.NotContains(t, deepened, turn{seams: 2, lane: deep})
}
