package search

import (
	"context"
	"math"
	"math/rand/v2"

	"eke/split"
)

// A depth-first search that goes wrong early stays there until its tries run out. How long
// it takes has a heavy tail, and restarts in another order cut that off (C. Gomes,
// B. Selman, N. Crato, H. Kautz, "Heavy-tailed phenomena in satisfiability and constraint
// satisfaction problems", 2000). So an assignment begins with a few short searches, in
// which each copy has its ways of cutting and its bins in an order by chance. What one of
// them has asked the others need not ask again.

const (
	// restartTries is what each of them may do: where a plan is found soon, it is found in
	// some hundreds of tries.
	restartTries = 1000
	// restartSpread is by what factor, up or down, the areas of bins seem to be other than
	// they are: by e. Bins that are much larger still come later.
	restartSpread = 1
)

// search looks for plans: in its restarts first, then in order.
func (a *assignment) search(ctx context.Context) {
	all, left := a.tries, a.tries
	for k := range a.restarts {
		if left < all/2+restartTries { // the order by rule gets as many
			break
		}
		incomplete := a.incomplete
		a.tries = restartTries
		a.shuffled = a.shuffle(k)
		stopped := a.assignFrom(ctx, 0)
		a.backjumping = false
		if !stopped || a.halted || len(a.plans) >= a.enough || ctx.Err() != nil {
			return // no other order finds more
		}
		a.incomplete = incomplete // what was left out comes again
		left -= restartTries - a.tries
	}
	a.tries = left
	a.shuffled = order{}
	a.inTurns(ctx)
}

// order is in which ways of cutting and bins are tried. The zero value has ways as they
// are listed, and bins by the area that is left on them.
type order struct {
	turned bool          // whether bins that come first otherwise come last
	ways   [][]split.Way // of the copy at each depth
	factor [][]float64   // of the area of each bin, at each depth
}

// shuffle is the order of the k-th restart.
func (a *assignment) shuffle(k int) order {
	rng := rand.New(rand.NewPCG(a.table.options.Seed, uint64(k)))
	o := order{turned: k%2 == 1}
	for range a.order {
		ways := append([]split.Way{}, a.table.ways...)
		rng.Shuffle(len(ways), func(i, j int) { ways[i], ways[j] = ways[j], ways[i] })
		factors := make([]float64, len(a.table.bins))
		for s := range factors {
			factors[s] = math.Exp(restartSpread * (2*rng.Float64() - 1))
		}
		o.ways, o.factor = append(o.ways, ways), append(o.factor, factors)
	}
	return o
}

// ways are those of cutting the copy that is being assigned, in order.
func (a *assignment) ways() []split.Way {
	if a.shuffled.ways == nil {
		return a.table.ways
	}
	return a.shuffled.ways[a.depth]
}

// orderedArea is by what a bin has its place among others.
func (a *assignment) orderedArea(s int) float64 {
	if a.shuffled.factor == nil {
		return a.freeArea[s]
	}
	return a.freeArea[s] * a.shuffled.factor[a.depth][s]
}
