package search

// schedule says which look is next: which pass at which number of seams. That is
// the one that promises to take the least work, for as far as anybody knows a
// plan may turn up in any of them; fewer seams are somewhat preferred.
type schedule struct {
	first  int
	looks  []look // by the seams above first
	passes int    // that each number of seams gets
}

// look is the next pass at a number of seams.
type look struct {
	pass int
	work float64 // that it may take
	open bool
}

const (
	// How much more work the next pass at the same number of seams takes than
	// the last, and the first pass at one seam more than that at one fewer.
	passGrowth, seamGrowth = 3, 8
	// And how much more the first pass that tries more than plain cuts.
	fancyGrowth = 12
	// How much more work a look at one seam more must save to be preferred.
	seamBias  = 1.5
	leastWork = 2000
)

func newSchedule(first, most, passes int) *schedule {
	t := &schedule{first: first, passes: passes}
	for seams := first; seams <= most; seams++ {
		t.looks = append(t.looks, look{})
	}
	if len(t.looks) > 0 {
		t.looks[0].open = true
	}
	return t
}

// next is the look that is worth its while among those with fewer seams than
// best, if there is any.
func (t *schedule) next(best int) (seams, pass int, ok bool) {
	least, bias := 0.0, 1.0
	for k, l := range t.looks {
		if w := l.work * bias; l.open && t.first+k < best && (!ok || w < least) {
			seams, pass, ok, least = t.first+k, l.pass, true, w
		}
		bias *= seamBias
	}
	return seams, pass, ok
}

// took tells how much work the last look at a number of seams took, and whether
// it left nothing to be found there.
func (t *schedule) took(seams int, work int64, complete bool) {
	k := seams - t.first
	l := &t.looks[k]
	done := float64(max(work, leastWork))
	if l.pass == 0 && k+1 < len(t.looks) {
		t.looks[k+1].open, t.looks[k+1].work = true, seamGrowth*done
	}
	l.pass++
	l.work = passGrowth * done
	if l.pass < t.passes && passes[l.pass].fancy && !passes[l.pass-1].fancy {
		l.work *= fancyGrowth
	}
	l.open = l.open && !complete && l.pass < t.passes
}
