package search

import (
	"slices"
	"sort"
)

// symmetric reports whether the copy k and its twin, with their trees swapped, give
// an assignment that is searched anyway. Of the two orders only the one is kept in
// which the bins of the twin are of no later class. Where no copy is cut the search
// may prove that there is no plan, so then the two must have the very same line.
func (a *assignment) symmetric(k int) bool {
	l := a.instance.twin[k]
	if l < 0 || a.cuts[l] != a.cuts[k] || a.depthOf[l] > a.depthOf[k] || !a.anyCuts && a.instance.blanks[l].key != a.instance.blanks[k].key {
		return false
	}
	mine, its := a.trees[k].Leaves(), a.trees[l].Leaves()
	for i := range mine {
		a, b := a.table.bins[mine[i].Scrap].class, a.table.bins[its[i].Scrap].class
		if a != b {
			return a < b
		}
	}
	return false
}

// binsFor is the bins that may still hold an area, those with the least left first, or
// with the most (best fit and worst fit: D. S. Johnson, "Near-optimal bin packing
// algorithms", 1973). Of the empty bins of one class there is only one, to break the
// symmetry.
func (a *assignment) binsFor(area float64) []int {
	var out []int
	empty := map[string]bool{}
	for s := range a.table.bins {
		if a.freeArea[s] < area || a.exclusive && len(a.on[s]) > 0 || a.only != nil && !a.only[a.order[a.depth]][s] {
			continue
		}
		if len(a.on[s]) == 0 {
			if empty[a.table.bins[s].class] {
				continue
			}
			empty[a.table.bins[s].class] = true
		}
		out = append(out, s)
	}
	sort.SliceStable(out, func(i, k int) bool {
		if a.emptiestFirst != a.shuffled.turned {
			i, k = k, i
		}
		return a.orderedArea(out[i]) < a.orderedArea(out[k])
	})
	return out
}

// farBins is the bins that may take the far part once near goes to s. Where s was
// empty, the next empty bin of its class is among them.
func (a *assignment) farBins(bins []int, s int) []int {
	if len(a.on[s]) > 0 {
		return bins
	}
	for r := s + 1; r < len(a.on); r++ {
		if a.table.bins[r].class == a.table.bins[s].class && len(a.on[r]) == 0 {
			at := slices.Index(bins, s) + 1 // as large, so as tight
			return slices.Insert(slices.Clone(bins), at, r)
		}
	}
	return bins
}
