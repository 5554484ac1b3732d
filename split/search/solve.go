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
func (in *instance) solve(ctx context.Context, seams int, budget budget, enough int) (plans []*split.Made, complete bool) {
	if in.unsound {
		return nil, true
	}
	least := in.minSeams(ctx)
	if ctx.Err() != nil {
		return nil, false
	}
	if least > seams || in.area > in.table.cloth {
		return nil, true
	}
	maxCompositions := 60 * (1 + budget.tries/budgets[0].tries)
	compositions := in.compositions(seams, budget.perCopy, maxCompositions)
	if len(compositions) == 0 {
		compositions = in.compositions(seams, maxCuts, maxCompositions)
	}
	complete = seams == 0 && len(compositions) < maxCompositions
	for _, exclusive := range []bool{true, false} {
		if exclusive && (budget.sharedOnly || len(in.blanks)+seams > len(in.table.bins)) {
			continue
		}
		for start := 0; start < len(compositions); start += batchSize {
			var tasks []*task
			for _, cuts := range compositions[start:min(start+batchSize, len(compositions))] {
				tasks = append(tasks, newTask(ctx, newAssignment(in, cuts, exclusive, budget, enough)))
			}
			runInSlices(ctx, tasks, in.table.options.Workers, enough)
			for _, t := range tasks {
				in.table.work.Add(t.work)
				plans = append(plans, t.plans...)
				complete = complete && (exclusive || !t.incomplete)
			}
			if len(plans) >= enough || ctx.Err() != nil {
				return plans, false
			}
		}
	}
	return plans, complete
}

// batchSize is how many tasks take turns. It does not hang on the number of cores,
// nor may the answer.
const batchSize = 16

// task is a dealing that stops after some work to let others go on.
type task struct {
	*assignment
	resume func() (struct{}, bool)
	stop   func()
	done   bool
}

func newTask(ctx context.Context, a *assignment) *task {
	t := &task{assignment: a}
	t.resume, t.stop = iter.Pull(func(yield func(struct{}) bool) {
		a.pause = func() bool { return yield(struct{}{}) }
		a.assignFrom(ctx, 0)
	})
	return t
}

// firstSlice is the work that a task does before others go on; each turn adds
// half of what it has done until then.
const firstSlice = 2000

// runInSlices lets tasks work by turns until they have plans enough, so that one
// of many deals does not hold up the one that has the plan. Who is to choose
// among plans gets all that there are.
func runInSlices(ctx context.Context, tasks []*task, workers, enough int) {
	until := int64(firstSlice)
	if enough > 1 {
		until = math.MaxInt64
	}
	for {
		g := new(errgroup.Group)
		g.SetLimit(workers)
		for _, t := range tasks {
			if t.done {
				continue
			}
			g.Go(func() error {
				t.until = until
				_, more := t.resume()
				t.done = !more
				return nil
			})
		}
		_ = g.Wait()
		plans, working := 0, false
		for _, t := range tasks {
			plans += len(t.plans)
			working = working || !t.done
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
