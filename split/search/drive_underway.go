package search

import (
	"context"
	"iter"

	"eke/split"
)

// iterating is an iteration that has begun. It pauses where it has done the work that it
// may, for what it promised is a guess, and others may promise less by then.
type iterating struct {
	plans    []*split.Made
	complete bool
	until    int64 // the work of all at which it pauses
	resume   func() (struct{}, bool)
	stop     func()
}

// underway are the iterations that are paused.
type underway map[turn]*iterating

// stopFrom gives up those with so many seams or more.
func (u underway) stopFrom(seams int) {
	for n, it := range u {
		if n.seams >= seams {
			it.stop()
			delete(u, n)
		}
	}
}

func (d *driver) begin(ctx context.Context, n turn) *iterating {
	it := &iterating{}
	it.resume, it.stop = iter.Pull(func(yield func(struct{}) bool) {
		goOn := func(found bool) bool { return found || d.table.work.Load() < it.until || yield(struct{}{}) }
		it.plans, it.complete = d.take(ctx, n, goOn)
	})
	return it
}

// takeTurn begins an iteration or goes on with it, until it has ended or has done more than
// it promised. Complete says that what it did not find does not exist.
func (d *driver) takeTurn(ctx context.Context, s *schedule, u underway, n turn, packs bool) (plans []*split.Made, ended, complete bool) {
	it := u[n]
	if it == nil {
		it = d.begin(ctx, n)
		u[n] = it
	}
	before := d.table.work.Load()
	it.until = before + s.may(n)
	if _, paused := it.resume(); paused {
		s.paused(n, d.table.work.Load()-before)
		return nil, false, false
	}
	delete(u, n)
	plans, complete = it.plans, it.complete
	if n.seams == 0 && n.tier == packTier && len(plans) == 0 && !complete && packs {
		plans, _ = solve(ctx, []stage{{instance: d.base, budget: packBudget(len(d.copies))}}, 1)
	}
	s.record(n, d.table.work.Load()-before, complete)
	return plans, true, complete
}
