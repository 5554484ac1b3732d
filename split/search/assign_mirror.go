package search

import "slices"

// A left and a right copy of a piece, such as the sleeves, may be nearly the same when
// one is laid on the other. A plan in which they change places is then nearly the same
// plan, and where one order has come to nothing the other seldom comes to more. So one
// order is tried first: of two such copies the earlier one gets at least as many seams,
// and where both get as many, the scraps that come first. It is the order of the search
// alone, for a millimetre may decide, and the other order is tried later.

// mirrorMM is how far apart the lines of such copies may run.
const mirrorMM = 12

// mirrorOf is the index of the last blank that is nearly the same and turned over: it is
// -1 where there is none, or where one has the very same line.
func mirrorOf(b *blank, blanks []*blank) int {
	for i := len(blanks) - 1; i >= 0; i-- {
		if o := blanks[i]; o.piece.Name == b.piece.Name && o.piece.Flipped != b.piece.Flipped {
			if b.sameLine(o) || !b.within(o, mirrorMM) || !o.within(b, mirrorMM) {
				return -1
			}
			return i
		}
	}
	return -1
}

// mirroring is in which of two orders the copies of a pair that are cut alike are
// assigned.
type mirroring int

const (
	eitherOrder mirroring = iota
	inOrder               // the earlier copy has the scraps that come first
	outOfOrder
)

// half is a composition, or one half of its assignments.
type half struct {
	cuts []int
	mirroring
}

// halves are the compositions, one order of copies that mirror each other before the
// other. Where several pairs are cut alike, or every part has its scrap for itself,
// there is no telling them apart, and the composition is tried as a whole.
func (in *instance) halves(compositions [][]int, exclusive bool) []half {
	var first, later []half
	for _, cuts := range compositions {
		swapped, alike := false, 0
		for k, l := range in.mirror {
			if !in.interchange(k, l) {
				continue
			}
			swapped = swapped || cuts[k] > cuts[l]
			if cuts[k] == cuts[l] && cuts[k] > 0 {
				alike++
			}
		}
		switch {
		case swapped:
			later = append(later, half{cuts: cuts})
		case alike == 1 && !exclusive:
			first = append(first, half{cuts, inOrder})
			later = append(later, half{cuts, outOfOrder})
		default:
			first = append(first, half{cuts: cuts})
		}
	}
	return append(first, later...)
}

// interchange reports whether a copy can take the place of the one that it mirrors, which
// is -1 where there is none: whether both need as many seams.
func (in *instance) interchange(k, l int) bool {
	return l >= 0 && in.minCuts[k] == in.minCuts[l]
}

// outOfTurn reports whether the copy k and the one that it mirrors are assigned in the
// other order than the one that is to be tried.
func (a *assignment) outOfTurn(k int) bool {
	if a.mirroring == eitherOrder {
		return false
	}
	l := a.instance.mirror[k]
	if l < 0 {
		l = slices.Index(a.instance.mirror, k)
	}
	if !a.instance.interchange(k, l) || a.cuts[l] != a.cuts[k] || a.cuts[k] == 0 || a.depthOf[l] > a.depthOf[k] {
		return false
	}
	// Near and far change places when a copy is turned over, so the order of scraps within
	// a copy says nothing.
	earlier, later := a.scrapsOf(min(k, l)), a.scrapsOf(max(k, l))
	return (slices.Compare(earlier, later) > 0) == (a.mirroring == inOrder)
}

// scrapsOf is the scraps that the parts of a copy come from, sorted.
func (a *assignment) scrapsOf(k int) []int {
	var out []int
	for _, leaf := range a.trees[k].Leaves() {
		out = append(out, leaf.Scrap)
	}
	slices.Sort(out)
	return out
}
