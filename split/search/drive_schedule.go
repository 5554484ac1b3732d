package search

// schedule says which iteration is next: with which budget at which number of
// seams. It is the one that promises the least work, for as far as anybody knows
// a plan may turn up in any of them. One that has done more than it promised pauses,
// and promises to take as much again as it has taken. Fewer seams are somewhat
// preferred, and the first budgets, which find most plans that are found, much. While
// they have found no plan, the first budget at one seam more has its turn once it is a
// small part of the work: a plan with a seam too many is better than none.
type schedule struct {
	first int
	lanes [lanes][]iteration // by the seams above first
	tiers int                // of the usual budgets, that each number of seams gets
	spent float64            // work of all iterations so far

	pairs    bool    // whether seams may be moved for pairs of bins
	pairWork float64 // that it takes, once, to find by how much
}

// lane is a row of iterations beside others, each with a budget of its own.
type lane int

const (
	usual  lane = iota
	wide        // with the wide budgets
	paired      // with seams moved for pairs of bins, see pairMove
	deep        // with more cuts of one copy than the usual budgets give it
	lanes
)

// budgets are the tiers of a lane.
func (l lane) budgets() []budget {
	return [lanes][]budget{budgets, wideBudgets, pairBudgets, deepBudgets}[l]
}

// iteration is the next one at a number of seams.
type iteration struct {
	tier int
	work float64 // that it may take, from now on
	done float64 // that it has taken, where it is paused
	most float64 // that one before it took
	open bool
	was  bool // whether it ever was open
}

const (
	// How much more work the first budget takes at one seam more, and how much more
	// an iteration at one seam more must save to be preferred.
	seamGrowth, seamBias = 3, 1.5
	// Beyond farSeams above the first number it must save farBias: so many are seldom
	// needed, and what grows a plan copy by copy finds those that are.
	farSeams, farBias = 3, 4
	minWork           = 2000
	// Of all work so far, what the first budget at one seam more may take to come before
	// all others while there is no plan.
	probeShare = 0.5
	// After how many others the first wide budget comes, and the first with seams moved for
	// pairs of bins.
	wideAfter, pairedAfter = 4, 2
	// After how many others more cuts of one copy come.
	deepAfter = 3
	// From which budget on one seam need not be straight.
	curvesAfter = 2
	// How many times the work that it promised an iteration may do before others have
	// their turn, but no less than minTurn.
	overrun, minTurn = 2, 20_000
	// Of the work that an iteration is expected to take, what it promises. Some take twenty
	// times as much as expected, and some a tenth: one that pauses can be tried early.
	hope = 0.25
)

func newSchedule(first, most, tiers int) *schedule {
	t := &schedule{first: first, tiers: tiers}
	for seams := first; seams <= most; seams++ {
		for l := range t.lanes {
			t.lanes[l] = append(t.lanes[l], iteration{})
		}
	}
	if len(t.lanes[usual]) > 0 {
		t.lanes[usual][0].open, t.lanes[usual][0].was = true, true
	}
	return t
}

// turn names an iteration.
type turn struct {
	seams, tier int
	lane        lane
}

// budget is what an iteration may do. With one seam there are so few assignments that
// cuts which are not straight take little: they do not wait for the last budgets, which
// come after two seams and three.
func (n turn) budget() budget {
	b := n.lane.budgets()[n.tier]
	b.nonStraight = b.nonStraight || n.seams <= 1 && n.tier >= curvesAfter
	return b
}

// next is the iteration that promises the least work, of those with fewer seams than
// best, or as long as none has found a plan one that looks whether more seams do. It is
// not ok where there is none.
func (t *schedule) next(best int, found bool) (next turn, ok bool) {
	if !found {
		if n, ok := t.probe(best); ok {
			return n, true
		}
	}
	least, bias := 0.0, 1.0
	for k := range t.lanes[usual] {
		if t.first+k >= best {
			break
		}
		for l := range lanes {
			it := t.at(t.first+k, l)
			if !it.open {
				continue
			}
			n := turn{t.first + k, it.tier, l}
			work := it.work
			if l == paired {
				work += t.pairWork
			}
			if w := work * bias * n.budget().bias; !ok || w < least {
				next, ok, least = n, true, w
			}
		}
		if k < farSeams {
			bias *= seamBias
		} else {
			bias *= farBias
		}
	}
	return next, ok
}

// probe is the first budget at more seams than have been tried, if they are fewer than
// best and it is time to see whether those do.
func (t *schedule) probe(best int) (turn, bool) {
	for k, it := range t.lanes[usual] {
		if t.first+k >= best {
			break
		}
		if k > 0 && it.open && it.tier == 0 && it.work <= probeShare*t.spent {
			return turn{seams: t.first + k}, true
		}
	}
	return turn{}, false
}

// at is the next iteration of a lane at a number of seams.
func (t *schedule) at(seams int, l lane) *iteration { return &t.lanes[l][seams-t.first] }

// may is the work that an iteration may do before it pauses.
func (t *schedule) may(n turn) int64 {
	work := max(overrun*t.at(n.seams, n.lane).work, minTurn)
	if n.lane == paired {
		work += t.pairWork
	}
	return int64(work)
}

// paused tells how much work an iteration did that is not at its end. It is expected to
// take as much again as it has taken.
func (t *schedule) paused(n turn, work int64) {
	it := t.at(n.seams, n.lane)
	t.spent += float64(work)
	it.done += float64(work)
	it.work = it.done
	if n.lane == paired {
		t.pairWork = 0
	}
	t.widen(n, it.done)
}

// widen opens the first budget at one seam more.
func (t *schedule) widen(n turn, done float64) {
	if k := n.seams + 1 - t.first; n.tier == 0 && n.lane == usual && k < len(t.lanes[usual]) && !t.lanes[usual][k].was {
		t.lanes[usual][k] = iteration{work: seamGrowth * done, open: true, was: true}
	}
}

// record tells how much work an iteration took at last, and whether it left nothing to be
// found at that number of seams.
func (t *schedule) record(n turn, work int64, complete bool) {
	it := t.at(n.seams, n.lane)
	t.spent += float64(work)
	// One that finds the answers of the one before takes little, but the next may not.
	done := max(it.done+float64(work), minWork)
	most := max(done, it.most)
	next := func(l lane, tier, tiers int) iteration {
		if tier == tiers {
			return iteration{tier: tier, was: true}
		}
		n := turn{n.seams, tier, l}
		promised := max(minWork, hope*n.budget().growth*most)
		return iteration{tier: tier, work: promised, most: most, open: !complete, was: true}
	}
	tiers := len(n.lane.budgets())
	if n.lane == usual {
		tiers = t.tiers
	}
	*it = next(n.lane, n.tier+1, tiers)
	if n.lane == paired {
		t.pairWork = 0
		return
	}
	if complete {
		for _, l := range []lane{usual, wide, deep} {
			t.at(n.seams, l).open = false
		}
	}
	if n.lane == wide || n.lane == deep {
		return
	}
	t.widen(n, done)
	if it.tier == wideAfter && it.open {
		*t.at(n.seams, wide) = next(wide, 0, len(wideBudgets))
	}
	if n.seams >= maxCuts && it.tier == deepAfter && it.open {
		*t.at(n.seams, deep) = next(deep, 0, len(deepBudgets))
	}
	// Where only a moved seam can make do with so few, there is nothing else to wait for.
	due := it.tier == pairedAfter && it.open || n.tier == 0 && complete
	if t.pairs && n.seams > 0 && due && t.tiers == len(budgets) {
		pairs := next(paired, 0, len(pairBudgets))
		pairs.open = true
		*t.at(n.seams, paired) = pairs
	}
}
