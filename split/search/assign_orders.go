package search

import (
	"cmp"
	"context"
	"iter"
	"math"
	"slices"
)

// Of the copies that are cut that with the fewest seams comes first, and then the largest.
// For one composition it may take a hundred times as long as if the largest came first, and
// for the next the other way round, and nothing tells beforehand. So both orders work in
// turns, as algorithms in a portfolio do (B. Huberman, R. Lukose, T. Hogg, "An economics
// approach to hard computational problems", 1997): the one that is through first ends both,
// for either looks through all assignments. That takes twice the tries of the better one,
// and a turn.

// turnTries is how many tries each order has in its turn.
const turnTries = 2000

// otherOrder is the search for plans of the same composition in the other order.
type otherOrder struct {
	*assignment
	resume func() (struct{}, bool)
	stop   func()
	turn   int64 // the work of the first order at which it has its turn next
	done   bool
}

// besides is that search, before it has begun. It is nil where the orders are the same, and
// where all plans are wanted, for then the first order goes on to its end in any case.
func (a *assignment) besides(ctx context.Context) *otherOrder {
	first := slices.IndexFunc(a.order, func(k int) bool { return a.cuts[k] > 0 })
	if a.enough > 1 || first < 0 {
		return nil
	}
	b := newAssignment(a.instance, a.cuts, a.exclusive, a.budget, a.enough)
	blanks := a.instance.blanks
	slices.SortStableFunc(b.order[first:], func(x, y int) int { return cmp.Compare(blanks[y].area, blanks[x].area) })
	if slices.Equal(a.order, b.order) {
		return nil
	}
	b.ordered()
	b.mirroring, b.only, b.welcome = a.mirroring, a.only, a.welcome
	b.tries = math.MaxInt // those of the first count for both
	o := &otherOrder{assignment: b, turn: a.work + turnTries}
	o.resume, o.stop = iter.Pull(func(yield func(struct{}) bool) {
		b.pause = func() bool { return yield(struct{}{}) }
		b.assignFrom(ctx, 0)
	})
	return o
}

// takeTurn lets it work, and counts that as work of the first order.
func (a *assignment) takeTurn() {
	o := a.other
	begun := o.work
	o.until = begun + min(turnTries, int64(a.tries))
	_, more := o.resume()
	o.done = !more
	n := o.work - begun
	a.tries -= int(n)
	a.work += n
	o.turn = a.work + turnTries
	if o.done {
		a.tries = -1
	}
}

// inTurns looks for plans in both orders.
func (a *assignment) inTurns(ctx context.Context) {
	a.other = a.besides(ctx)
	if a.other == nil {
		a.assignFrom(ctx, 0)
		return
	}
	o, incomplete := a.other, a.incomplete
	a.assignFrom(ctx, 0)
	o.stop()
	a.other = nil
	if o.done {
		a.incomplete = incomplete || o.incomplete
		a.plans = append(a.plans, o.plans...)
	}
	a.nearMisses = nearest(append(a.nearMisses, o.nearMisses...))
}
