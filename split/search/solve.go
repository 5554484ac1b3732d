package search

import (
	"context"
	"iter"
	"math"

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
		for start := 0; start < len(shares); start += wave {
			var tasks []*task
			for _, ks := range shares[start:min(start+wave, len(shares))] {
				tasks = append(tasks, newTask(ctx, newDealing(j, ks, exclusive, work, enough)))
			}
			takeTurns(ctx, tasks, j.table.options.Workers, enough)
			for _, t := range tasks {
				j.table.work.Add(t.work)
				plans = append(plans, t.plans...)
				complete = complete && (exclusive || !t.gaveUp)
			}
			if len(plans) >= enough || ctx.Err() != nil {
				return plans, false
			}
		}
	}
	return plans, complete
}

// wave is how many tasks take turns. It does not hang on the number of cores,
// nor may the answer.
const wave = 16

// task is a dealing that stops after some work to let others go on.
type task struct {
	*dealing
	goOn func() (struct{}, bool)
	stop func()
	over bool
}

func newTask(ctx context.Context, d *dealing) *task {
	t := &task{dealing: d}
	t.goOn, t.stop = iter.Pull(func(yield func(struct{}) bool) {
		d.pause = func() bool { return yield(struct{}{}) }
		d.next(ctx, 0)
	})
	return t
}

// firstTurn is the work that a task does before others go on; each turn adds
// half of what it has done until then.
const firstTurn = 2000

// takeTurns lets tasks work by turns until they have plans enough, so that one
// of many deals does not hold up the one that has the plan. Who is to choose
// among plans gets all that there are.
func takeTurns(ctx context.Context, tasks []*task, workers, enough int) {
	until := int64(firstTurn)
	if enough > 1 {
		until = math.MaxInt64
	}
	for {
		g := new(errgroup.Group)
		g.SetLimit(workers)
		for _, t := range tasks {
			if t.over {
				continue
			}
			g.Go(func() error {
				t.until = until
				_, more := t.goOn()
				t.over = !more
				return nil
			})
		}
		_ = g.Wait()
		plans, working := 0, false
		for _, t := range tasks {
			plans += len(t.plans)
			working = working || !t.over
		}
		if !working {
			return
		}
		if plans >= enough || ctx.Err() != nil {
			break
		}
		until += until / 2
	}
	for _, t := range tasks {
		t.stop()
	}
}
