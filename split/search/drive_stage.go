package search

import (
	"context"
	"iter"

	"eke/split"
)

// stage is the search of one instance for plans with exactly that many added seams.
type stage struct {
	instance *instance
	seams    int
	budget   budget
	welcome  []bool // of each copy, see assignment; nil for none
	// Of one copy that is cut once, the bins that its parts come from; nil for any
	// copies and bins.
	pair *pairOf
}

// solve is solveWhile without pauses.
func solve(ctx context.Context, stages []stage, enough int) (plans []*split.Made, complete bool) {
	return solveWhile(ctx, stages, enough, always)
}

func always(bool) bool { return true }

// solveWhile looks for plans in one stage after the other, until there are enough, or goOn
// says at the end of a time slice that there is to be no other. A plan of an earlier stage
// counts before one of a later stage. Complete says that no plan was missed. It is said
// only where that is proved: by certain bounds, or for whole pieces by placing them.
func solveWhile(ctx context.Context, stages []stage, enough int, goOn func(found bool) bool) (plans []*split.Made, complete bool) {
	if len(stages) == 0 {
		return nil, true
	}
	complete = true
	ended := true
	tasks := func(yield func(*task) bool) {
		for k, g := range stages {
			assignments, all := g.assignments(ctx, enough)
			complete = complete && all
			for a := range assignments {
				t := newTask(ctx, a)
				t.rank = 2 * k
				if !a.exclusive {
					t.rank++
				}
				if !yield(t) {
					return
				}
			}
		}
	}
	workers := stages[0].instance.table.options.Workers
	outcomes := runInSlices(ctx, tasks, workers, enough, func(found bool) bool {
		ended = goOn(found)
		return ended
	})
	if !ended { // given up
		return nil, false
	}
	for _, g := range stages {
		g.instance.nearMisses = nil
	}
	for _, o := range outcomes {
		plans = append(plans, o.plans...)
		in := o.instance
		in.nearMisses = nearest(append(in.nearMisses, o.nearMisses...))
		complete = complete && (o.exclusive || !o.incomplete)
	}
	return plans, complete && len(plans) < enough && ctx.Err() == nil
}

// assignments are those of each composition, or half of one, each with tries of its own:
// those with one part a bin first. All says that there are no more that could have a plan.
func (g stage) assignments(ctx context.Context, enough int) (assignments iter.Seq[*assignment], all bool) {
	none := func(func(*assignment) bool) {}
	in := g.instance
	switch least := in.minSeams(ctx); {
	case in.unsound:
		return none, true
	case ctx.Err() != nil:
		return none, false
	case least > g.seams || in.area > in.table.cloth:
		return none, true
	}
	most := 60 * (1 + g.budget.tries/budgets[0].tries)
	compositions := in.compositions(g.seams, g.budget.perCopy, most)
	if len(compositions) == 0 {
		compositions = in.compositions(g.seams, maxCuts, most)
	}
	return func(yield func(*assignment) bool) {
		for _, exclusive := range []bool{true, false} {
			if exclusive && (g.budget.sharedOnly || len(in.blanks)+g.seams > len(in.table.bins)) {
				continue
			}
			for _, h := range in.halves(compositions, exclusive) {
				if g.pair != nil && h.cuts[g.pair.copy] != 1 || g.budget.deepOnly && !in.deep(h.cuts) {
					continue
				}
				a := newAssignment(in, h.cuts, exclusive, g.budget, enough)
				a.mirroring, a.welcome, a.only = h.mirroring, g.welcome, g.pair.only(in, h.cuts)
				if !yield(a) {
					return
				}
			}
		}
	}, g.seams == 0 && len(compositions) < most
}
