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

// task is an assignment search that stops at the end of a time slice, so that
// others go on.
type task struct {
	*assignment
	rank   int // plans of a lower rank count before those of a higher one
	index  int // among those that have begun
	resume func() (struct{}, bool)
	stop   func()
	done   bool
	took   time.Duration // the last slice
}

func newTask(ctx context.Context, a *assignment) *task {
	t := &task{assignment: a}
	a.until = 0
	t.resume, t.stop = iter.Pull(func(yield func(struct{}) bool) {
		a.pause = func() bool { return yield(struct{}{}) }
		a.search(ctx)
	})
	return t
}

// outcome is what a task came to. It is kept when the task, which takes far more memory,
// is done.
type outcome struct {
	instance   *instance
	rank       int
	exclusive  bool
	plans      []*split.Made
	nearMisses []nearMiss
	incomplete bool
}

func (t *task) outcome() outcome {
	return outcome{t.instance, t.rank, t.exclusive, t.plans, t.nearMisses, t.incomplete}
}

// These must not depend on the number of cores, or the answer would.
const (
	// mostBeside is how many tasks of one rank run side by side in time slices.
	mostBeside = 16
	// fewBeside is how many run side by side when those of one rank come to their end,
	// and the next ones begin. Each of them holds up the others, and fewer keep no two
	// cores busy.
	fewBeside = 4
	// firstSlice is the work of a task's first time slice. Each further slice is half
	// of what the task that has done least has done until then.
	firstSlice = 2000
)

// runInSlices lets tasks work in time slices, so that one with many assignments does
// not hold up the one that has the plan. Where one is done another begins. It ends when
// they have plans enough, or when goOn says at the end of a slice that there is to be no
// other; it is told whether there is a plan, and only lower ranks are looked through. What it returns are the outcomes of those that have begun, in their order, but
// for plans that do not count: where there are enough of lower ranks.
//
// Where more than one plan is asked for, there is one slice without end, for whoever
// chooses among plans wants all of them. The task that took longest begins first, so that
// no worker waits long for the last one (R. Graham, "Bounds on multiprocessing timing
// anomalies", 1969); what comes of it does not depend on that order.
func runInSlices(ctx context.Context, tasks iter.Seq[*task], workers, enough int, goOn func(found bool) bool) (outcomes []outcome) {
	next, stop := iter.Pull(tasks)
	defer stop()
	waiting, more := next()
	var working []*task
	defer func() {
		if more {
			working = append(working, waiting)
		}
		for _, t := range working {
			t.stop()
		}
	}()
	last := math.MaxInt // rank of which plans count
	for {
		for ; more && last == math.MaxInt && begins(waiting, working, enough); waiting, more = next() {
			waiting.index = len(outcomes)
			outcomes = append(outcomes, outcome{})
			working = append(working, waiting)
		}
		if len(working) == 0 {
			return upTo(last, outcomes)
		}
		runSlice(working, workers, enough)
		for _, t := range working {
			outcomes[t.index] = t.outcome()
		}
		if r, found := lastNeeded(outcomes, enough); found {
			last = r
		}
		working = slices.DeleteFunc(working, func(t *task) bool {
			if t.rank >= last {
				t.stop()
			}
			return t.done || t.rank >= last
		})
		if len(working) > 0 && (!goOn(last < math.MaxInt) || ctx.Err() != nil) {
			return upTo(last, outcomes)
		}
	}
}

// begins says whether a task begins beside those that work.
func begins(t *task, working []*task, enough int) bool {
	if len(working) == 0 {
		return true
	}
	if working[0].rank == t.rank {
		return len(working) < mostBeside
	}
	return enough == 1 && len(working) < fewBeside
}

// runSlice gives each task a slice.
func runSlice(tasks []*task, workers, enough int) {
	slice := int64(math.MaxInt64)
	for _, t := range tasks {
		switch {
		case enough > 1:
		case t.until == 0:
			slice = min(slice, firstSlice)
		default:
			slice = min(slice, t.until/2)
		}
	}
	g := new(errgroup.Group)
	g.SetLimit(workers)
	longestFirst := slices.SortedStableFunc(slices.Values(tasks), func(a, b *task) int { return cmp.Compare(b.took, a.took) })
	for _, t := range longestFirst {
		g.Go(func() error {
			begun := time.Now()
			t.until += slice
			_, more := t.resume()
			t.took, t.done = time.Since(begun), !more
			return nil
		})
	}
	_ = g.Wait()
}

// lastNeeded is the lowest rank up to which there are plans enough.
func lastNeeded(outcomes []outcome, enough int) (rank int, found bool) {
	plans := 0
	for i, o := range outcomes {
		plans += len(o.plans)
		if plans >= enough && (i+1 == len(outcomes) || outcomes[i+1].rank > o.rank) {
			return o.rank, true
		}
	}
	return 0, false
}

// upTo leaves out the plans of higher ranks.
func upTo(rank int, outcomes []outcome) []outcome {
	for i := range outcomes {
		if outcomes[i].rank > rank {
			outcomes[i].plans = nil
		}
	}
	return outcomes
}
