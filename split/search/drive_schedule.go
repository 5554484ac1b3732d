package search

// schedule says which iteration is next: with which budget at which number of
// seams. It is the one that promises the least work, for as far as anybody knows
// a plan may turn up in any of them. Fewer seams are somewhat preferred, and the
// first budgets, which find most plans that are found, much. While they have found no
// plan, the first budget at one seam more has its turn once it is a small part of the
// work: a plan with a seam too many is better than none.
type schedule struct {
	first      int
	iterations []iteration // by the seams above first
	wide       []iteration // the same, with the wide budgets
	tiers      int         // of budgets, that each number of seams gets
	spent      float64     // work of all iterations so far
}

// iteration is the next one at a number of seams.
type iteration struct {
	tier int
	work float64 // that it may take
	most float64 // that one before it took
	open bool
}

const (
	// How much more work the first budget takes at one seam more, and how much more
	// an iteration at one seam more must save to be preferred.
	seamGrowth, seamBias = 3, 1.5
	minWork              = 2000
	// Of all work so far, what the first budget at one seam more may take to come before
	// all others while there is no plan.
	probeShare = 0.5
	// After how many others the first wide budget comes.
	wideAfter = 4
	// From which budget on one seam need not be straight.
	curvesAfter = 2
)

func newSchedule(first, most, tiers int) *schedule {
	t := &schedule{first: first, tiers: tiers}
	for seams := first; seams <= most; seams++ {
		t.iterations = append(t.iterations, iteration{})
		t.wide = append(t.wide, iteration{})
	}
	if len(t.iterations) > 0 {
		t.iterations[0].open = true
	}
	return t
}

// turn names an iteration.
type turn struct {
	seams, tier int
	wide        bool
}

// budget is what an iteration may do. With one seam there are so few assignments that
// cuts which are not straight take little: they do not wait for the last budgets, which
// come after two seams and three.
func (n turn) budget() budget {
	b := budgets[n.tier]
	if n.wide {
		b = wideBudgets[n.tier]
	}
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
	for k := range t.iterations {
		if t.first+k >= best {
			break
		}
		for _, wide := range []bool{false, true} {
			it := t.at(t.first+k, wide)
			if !it.open {
				continue
			}
			n := turn{t.first + k, it.tier, wide}
			if w := it.work * bias * n.budget().bias; !ok || w < least {
				next, ok, least = n, true, w
			}
		}
		bias *= seamBias
	}
	return next, ok
}

// probe is the first budget at more seams than have been tried, if they are fewer than
// best and it is time to see whether those do.
func (t *schedule) probe(best int) (turn, bool) {
	for k := range t.iterations {
		if t.first+k >= best {
			break
		}
		if it := t.iterations[k]; k > 0 && it.open && it.tier == 0 && it.work <= probeShare*t.spent {
			return turn{seams: t.first + k}, true
		}
	}
	return turn{}, false
}

// at is the next iteration at a number of seams.
func (t *schedule) at(seams int, wide bool) *iteration {
	if wide {
		return &t.wide[seams-t.first]
	}
	return &t.iterations[seams-t.first]
}

// record tells how much work an iteration took, and whether it left nothing to be
// found at that number of seams.
func (t *schedule) record(n turn, work int64, complete bool) {
	it, tiers := t.at(n.seams, n.wide), t.tiers
	t.spent += float64(work)
	// One that finds the answers of the one before takes little, but the next may not.
	done := float64(max(work, minWork))
	most := max(done, it.most)
	next := func(n turn, tiers int) iteration {
		if n.tier == tiers {
			return iteration{tier: n.tier}
		}
		return iteration{tier: n.tier, work: n.budget().growth * most, most: most, open: !complete}
	}
	if n.wide {
		tiers = len(wideBudgets)
	}
	*it = next(turn{n.seams, n.tier + 1, n.wide}, tiers)
	if complete {
		t.at(n.seams, !n.wide).open = false
	}
	if n.wide {
		return
	}
	if k := n.seams + 1 - t.first; n.tier == 0 && k < len(t.iterations) {
		t.iterations[k].open, t.iterations[k].work = true, seamGrowth*done
	}
	if it.tier == wideAfter && it.open {
		*t.at(n.seams, true) = next(turn{n.seams, 0, true}, len(wideBudgets))
	}
}
