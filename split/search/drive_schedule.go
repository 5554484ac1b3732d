package search

// schedule says which iteration is next: with which budget at which number of
// seams. It is the one that promises the least work, for as far as anybody knows
// a plan may turn up in any of them. Fewer seams are somewhat preferred.
type schedule struct {
	first      int
	iterations []iteration // by the seams above first
	tiers      int         // of budgets, that each number of seams gets
}

// iteration is the next one at a number of seams.
type iteration struct {
	tier int
	work float64 // that it may take
	open bool
}

const (
	// How much more work the next budget at the same number of seams takes than
	// the last, and the first budget at one seam more than at one fewer.
	tierGrowth, seamGrowth = 3, 8
	// And how much more the first budget with non-straight cuts.
	nonStraightGrowth = 7
	// How much more work an iteration at one seam more must save to be preferred.
	seamBias = 1.5
	minWork  = 2000
)

func newSchedule(first, most, tiers int) *schedule {
	t := &schedule{first: first, tiers: tiers}
	for seams := first; seams <= most; seams++ {
		t.iterations = append(t.iterations, iteration{})
	}
	if len(t.iterations) > 0 {
		t.iterations[0].open = true
	}
	return t
}

// next is the iteration that promises the least work, of those with fewer seams
// than best. It is not ok where there is none.
func (t *schedule) next(best int) (seams, tier int, ok bool) {
	least, bias := 0.0, 1.0
	for k, it := range t.iterations {
		if w := it.work * bias; it.open && t.first+k < best && (!ok || w < least) {
			seams, tier, ok, least = t.first+k, it.tier, true, w
		}
		bias *= seamBias
	}
	return seams, tier, ok
}

// record tells how much work the last iteration at a number of seams took, and
// whether it left nothing to be found there.
func (t *schedule) record(seams int, work int64, complete bool) {
	k := seams - t.first
	it := &t.iterations[k]
	done := float64(max(work, minWork))
	if it.tier == 0 && k+1 < len(t.iterations) {
		t.iterations[k+1].open, t.iterations[k+1].work = true, seamGrowth*done
	}
	it.tier++
	it.work = tierGrowth * done
	if it.tier < t.tiers && budgets[it.tier].nonStraight && !budgets[it.tier-1].nonStraight {
		it.work *= nonStraightGrowth
	}
	it.open = it.open && !complete && it.tier < t.tiers
}
