package search

import (
	"sort"
)

// compositions lists the ways to share out that many seams among the copies, the
// likeliest first, and no more than most of them. Each copy gets at least the
// seams that it needs. It gets no more than each of them, except that one more
// than it needs is always allowed. Of two twins the earlier gets at least as many
// extra seams, to break the symmetry.
func (in *instance) compositions(seams, each, most int) [][]int {
	left := seams
	for _, k := range in.minCuts {
		left -= k
	}
	if left < 0 {
		return nil
	}
	var out [][]int
	cuts := append([]int(nil), in.minCuts...)
	var fill func(i, left int)
	fill = func(i, left int) {
		if len(out) >= most {
			return
		}
		if i == len(cuts) {
			if left == 0 && in.cutAlike(cuts) {
				out = append(out, append([]int(nil), cuts...))
			}
			return
		}
		for extra := 0; extra <= left; extra++ {
			cuts[i] = in.minCuts[i] + extra
			if cuts[i] > in.mostCuts(i, each) {
				break
			}
			if l := in.twin[i]; l >= 0 && extra > cuts[l]-in.minCuts[l] {
				break
			}
			fill(i+1, left-extra)
		}
		cuts[i] = in.minCuts[i]
	}
	fill(0, left)
	// A piece that many bins hold whole is the last to be split.
	weight := func(cuts []int) (w int) {
		for i, k := range cuts {
			if k > in.minCuts[i] {
				w += (1 + in.wholeBins[i]) * (k - in.minCuts[i])
			}
		}
		return w
	}
	sort.SliceStable(out, func(a, b int) bool { return weight(out[a]) < weight(out[b]) })
	return out
}

// mostCuts is how many seams the i-th copy may get, where each gets no more than so many.
func (in *instance) mostCuts(i, each int) int { return min(maxCuts, max(each, in.minCuts[i]+1)) }

// deep reports whether a composition gives some copy more seams than the usual budgets do.
func (in *instance) deep(cuts []int) bool {
	for i, n := range cuts {
		if n > in.mostCuts(i, budgets[0].perCopy) {
			return true
		}
	}
	return false
}
