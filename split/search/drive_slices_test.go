package search

import (
	"context"
	"slices"
	"testing"

	"eke/split"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// piecework is a task that has so much to do, and finds a plan when it has done so much of
// it; never for 0.
type piecework struct {
	rank         int
	work, planAt int64
}

func (p piecework) task() *task {
	t := &task{assignment: &assignment{}, rank: p.rank}
	t.stop = func() { t.done = true }
	t.resume = func() (struct{}, bool) {
		was := t.work
		t.work = min(p.work, t.until)
		if was < p.planAt && p.planAt <= t.work {
			t.plans = append(t.plans, &split.Made{})
		}
		return struct{}{}, t.work < p.work
	}
	return t
}

// planRanks are the ranks of the plans that count.
func planRanks(t require.TestingT, work []piecework, workers, enough int) (ranks []int, begun int) {
	var made []*task
	tasks := func(yield func(*task) bool) {
		for _, p := range work {
			made = append(made, p.task())
			if !yield(made[len(made)-1]) {
				return
			}
		}
	}
	outcomes := runInSlices(context.Background(), tasks, workers, enough, always)
	for _, o := range outcomes {
		for range o.plans {
			ranks = append(ranks, o.rank)
		}
	}
	for _, m := range made {
		require.True(t, m.done, "a task that was neither done nor stopped")
	}
	return ranks, len(outcomes)
}

func TestPlansOfLowerRanksCountFirst(t *testing.T) {
	late, soon, never := int64(90_000), int64(100), int64(0)
	for name, c := range map[string]struct {
		work   []piecework
		enough int
		ranks  []int
		begun  int
	}{
		"a lower rank that has it later":    {[]piecework{{0, 100_000, late}, {1, 100_000, soon}}, 1, []int{0}, 2},
		"a lower rank that has none":        {[]piecework{{0, 100_000, never}, {1, 100_000, soon}}, 1, []int{1}, 2},
		"two of one rank in the same slice": {[]piecework{{0, 100_000, soon}, {0, 100_000, 2 * soon}, {1, 100_000, soon}}, 1, []int{0, 0}, 3},
		"several asked for":                 {[]piecework{{0, 100_000, late}, {1, 100_000, late}, {2, 100_000, late}}, 2, []int{0, 1}, 2},
		"the next ones begin as one rank ends": {slices.Concat(slices.Repeat([]piecework{{0, 100_000, never}}, 3),
			slices.Repeat([]piecework{{1, 100_000, soon}}, 9)), 1, []int{1}, 4},
		"one rank side by side": {slices.Repeat([]piecework{{0, 100_000, soon}}, 40), 1, slices.Repeat([]int{0}, mostBeside), mostBeside},
		"nothing to do":         {nil, 1, nil, 0},
	} {
		t.Run(name, func(t *testing.T) {
			ranks, begun := planRanks(t, c.work, 2, c.enough)
			require.Equal(t, c.ranks, ranks)
			require.Equal(t, c.begun, begun)
		})
	}
}

// What comes of it is the same with any number of workers; it is of the lowest rank that
// has a plan at all, and there is one if any task has one.
func TestSlicesAreTheSameOnAnyWorkers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		work := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) piecework {
			w := rapid.Int64Range(1, 50_000).Draw(t, "work")
			return piecework{rapid.IntRange(0, 3).Draw(t, "rank"), w, rapid.Int64Range(-5*w, w).Draw(t, "plan")}
		}), 0, 60).Draw(t, "tasks")
		slices.SortStableFunc(work, func(a, b piecework) int { return a.rank - b.rank })
		lowest := -1
		for _, p := range work {
			if p.planAt > 0 && lowest < 0 {
				lowest = p.rank
			}
		}
		one, begun := planRanks(t, work, 1, 1)
		if lowest < 0 {
			require.Empty(t, one)
			require.Equal(t, len(work), begun)
		}
		for _, rank := range one {
			require.Equal(t, lowest, rank)
		}
		require.Equal(t, lowest >= 0, len(one) > 0)
		many, same := planRanks(t, work, 3, 1)
		require.Equal(t, one, many)
		require.Equal(t, begun, same)
	})
}
