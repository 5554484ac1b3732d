package search

import (
	"context"

	"eke/split"

	"golang.org/x/sync/errgroup"
)

// solve looks for plans with exactly that many added seams. Each way to spread
// the seams over the pieces is a task of its own with its own tries; tasks
// run on all workers, and their plans are taken in the tasks' order. Complete
// says that none was missed, and is said of proof alone: by bounds, or for
// whole pieces by placing them.
func (j *job) solve(ctx context.Context, seams int, work effort, enough int) (plans []*split.Made, complete bool) {
	if j.unsound {
		return nil, true
	}
	least := j.leastSeams(ctx)
	if ctx.Err() != nil {
		return nil, false
	}
	if least > seams || j.area > j.table.cloth {
		return nil, true
	}
	mostShares := 60 * (1 + work.tries/passes[0].tries)
	shares := j.shares(seams, work.each, mostShares)
	if len(shares) == 0 {
		shares = j.shares(seams, mostCuts, mostShares)
	}
	complete = seams == 0 && len(shares) < mostShares
	for _, exclusive := range []bool{true, false} {
		if exclusive && (work.shared || len(j.blanks)+seams > len(j.table.sites)) {
			continue
		}
		found := make([][]*split.Made, len(shares))
		whole := make([]bool, len(shares))
		wave := 2 * maxWorkers
		for start := 0; start < len(shares); start += wave {
			g := new(errgroup.Group)
			g.SetLimit(j.table.options.Workers)
			for k := start; k < min(start+wave, len(shares)); k++ {
				g.Go(func() error {
					d := newDealing(j, shares[k], exclusive, work, enough)
					d.next(ctx, 0)
					j.table.work.Add(d.work)
					found[k], whole[k] = d.plans, !d.gaveUp
					return nil
				})
			}
			_ = g.Wait()
			for k := start; k < min(start+wave, len(shares)); k++ {
				plans = append(plans, found[k]...)
				complete = complete && (exclusive || whole[k])
			}
			if len(plans) >= enough || ctx.Err() != nil {
				return plans, false
			}
		}
	}
	return plans, complete
}

// maxWorkers sets the size of a wave of tasks. It is not the number of cores,
// for the answer must not depend on that.
const maxWorkers = 8
