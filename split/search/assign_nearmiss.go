package search

import (
	"cmp"
	"context"
	"slices"

	"eke/split"
)

// Where cloth is scarce, looking for plans with one seam more takes far longer than
// with one fewer: there are many more trees of cuts, and they do not fit much better.
// But assignments are known by then that miss a plan by a millimetre or two. Such a
// near miss is mended: its copies keep their bins, and one copy of those that did not
// fit is cut once more, on those bins and on the empty ones.

// nearMiss is an assignment with a bin for every part, of which a component could not
// be packed.
type nearMiss struct {
	instance *instance
	cuts     []int
	bins     [][]int // of each copy
	copies   []int   // with parts in the component that failed
	shortMM  float64 // clearance missing there
}

// mostNearMisses is how many a task keeps, and how many are mended.
const mostNearMisses = 6

// mendBudget is for each copy of a near miss.
var mendBudget = budget{tries: 8000, poses: 6000, attempts: 3, fillMargin: 0.2, perCopy: maxCuts, nonStraight: true, sharedOnly: true}

// noteNearMiss remembers what is assigned, where the component that failed was tried
// to the end.
func (a *assignment) noteNearMiss(failed *component) {
	short, tried := a.table.missing(a.componentQuestion(failed))
	if !tried || len(a.nearMisses) == mostNearMisses && short >= a.nearMisses[mostNearMisses-1].shortMM {
		return
	}
	n := nearMiss{instance: a.instance, cuts: a.cuts, bins: make([][]int, len(a.order)), shortMM: short}
	for s, on := range a.on {
		for _, l := range on {
			k := a.order[l.depth]
			n.bins[k] = append(n.bins[k], s)
		}
	}
	if slices.ContainsFunc(a.nearMisses, n.same) { // restarts come by again
		return
	}
	for _, depth := range failed.depths {
		n.copies = append(n.copies, a.order[depth])
	}
	a.nearMisses = nearest(append(a.nearMisses, n))
}

// same reports whether another has its parts on the same bins.
func (n nearMiss) same(o nearMiss) bool {
	return slices.Equal(n.cuts, o.cuts) && slices.EqualFunc(n.bins, o.bins, slices.Equal)
}

// nearest is the near misses that miss least.
func nearest(all []nearMiss) []nearMiss {
	slices.SortStableFunc(all, func(a, b nearMiss) int { return cmp.Compare(a.shortMM, b.shortMM) })
	return all[:min(len(all), mostNearMisses)]
}

// missing is the clearance that a component has missed so far, if it was tried.
func (t *table) missing(question componentQuestion) (mm float64, tried bool) {
	st, ok := t.states.get(question)
	if !ok {
		return 0, false
	}
	st.mu.Lock()
	defer st.mu.Unlock()
	return st.trail.ShortMM, st.found == nil && st.trail.Attempts > 0
}

// mend looks for a plan with one seam more than a near miss, and near to it, until so
// much work is done in all.
func (n *nearMiss) mend(ctx context.Context, until int64) (plans []*split.Made) {
	t := n.instance.table
	only := n.neighbourhood()
	tasks := func(yield func(*task) bool) {
		for _, k := range n.copies {
			cuts := slices.Clone(n.cuts)
			if cuts[k]++; cuts[k] > maxCuts || !n.instance.cutAlike(cuts) {
				continue
			}
			a := newAssignment(n.instance, cuts, false, mendBudget, 1)
			a.only = only
			if !yield(newTask(ctx, a)) {
				return
			}
		}
	}
	for _, o := range runInSlices(ctx, tasks, t.options.Workers, 1, func(bool) bool { return t.work.Load() < until }) {
		plans = append(plans, o.plans...)
	}
	return plans
}

// neighbourhood is, for each copy, the bins that it may be cut from: its own, and
// those that are empty.
func (n *nearMiss) neighbourhood() [][]bool {
	bins := len(n.instance.table.bins)
	empty := slices.Repeat([]bool{true}, bins)
	for _, on := range n.bins {
		for _, s := range on {
			empty[s] = false
		}
	}
	out := make([][]bool, len(n.bins))
	for k, on := range n.bins {
		out[k] = slices.Clone(empty)
		for _, s := range on {
			out[k][s] = true
		}
	}
	return out
}
