package search

import (
	"cmp"
	"context"
	"iter"
	"math"
	"slices"
	"time"

	"eke/split"

	"golang.org/x/sync/errgroup"
)

// solve looks for plans with exactly that many added seams. Each composition, or half
// of one, is a task of its own with its own tries. Tasks run on all workers, and their
// plans are taken in the tasks' order. Complete says that no plan was missed. It is
// said only where that is proved: by certain bounds, or for whole pieces by placing
// them.
func (in *instance) solve(ctx context.Context, seams int, budget budget, enough int) (plans []*split.Made, complete bool) {
	in.nearMisses = nil
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
		for batch := range slices.Chunk(in.halves(compositions, exclusive), batchSize) {
			var tasks []*task
			for _, h := range batch {
				a := newAssignment(in, h.cuts, exclusive, budget, enough)
				a.mirroring = h.mirroring
				tasks = append(tasks, newTask(ctx, a))
			}
			runInSlices(ctx, tasks, in.table.options.Workers, enough, func() bool { return true })
			for _, t := range tasks {
				in.nearMisses = nearest(append(in.nearMisses, t.nearMisses...))
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

// batchSize is how many tasks run side by side in time slices. It must not depend
// on the number of cores, or the answer would.
const batchSize = 16

// task is an assignment search that stops at the end of a time slice, so that
// others go on.
type task struct {
	*assignment
	resume func() (struct{}, bool)
	stop   func()
	done   bool
	took   time.Duration // the last slice
}

func newTask(ctx context.Context, a *assignment) *task {
	t := &task{assignment: a}
	t.resume, t.stop = iter.Pull(func(yield func(struct{}) bool) {
		a.pause = func() bool { return yield(struct{}{}) }
		a.assignFrom(ctx, 0)
	})
	return t
}

// firstSlice is the work of a task's first time slice. Each further slice is half
// of what the task has done until then.
const firstSlice = 2000

// runInSlices lets tasks work in time slices, so that one with many assignments does
// not hold up the one that has the plan. It ends when they have plans enough, or when
// more says at the end of a slice that there is to be no other. Where more than one
// plan is asked for, there is one slice without end, for whoever chooses among plans
// wants all of them. The task that took longest begins first,
// so that no worker waits long for the last one (R. Graham, "Bounds on
// multiprocessing timing anomalies", 1969); what comes of it does not depend on the
// order.
func runInSlices(ctx context.Context, tasks []*task, workers, enough int, more func() bool) {
	until := int64(firstSlice)
	if enough > 1 {
		until = math.MaxInt64
	}
	order := slices.Clone(tasks)
	for {
		g := new(errgroup.Group)
		g.SetLimit(workers)
		slices.SortStableFunc(order, func(a, b *task) int { return cmp.Compare(b.took, a.took) })
		for _, t := range order {
			if t.done {
				continue
			}
			g.Go(func() error {
				begun := time.Now()
				t.until = until
				_, more := t.resume()
				t.took, t.done = time.Since(begun), !more
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
		if plans >= enough || !more() || ctx.Err() != nil {
			break
		}
		until += until / 2
	}
	for _, t := range tasks {
		t.stop()
	}
}
