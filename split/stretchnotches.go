package split

import (
	"math"
	"slices"
	"sort"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
)

// stops are where along a seam others end on it: those that cut its near side,
// and those that cut its far side, in order. Between two stops of one side lies
// the stretch of the seam that one part has.
type stops [2][]float64

func (s stops) count() int { return len(s[0]) + len(s[1]) }

// tidy puts the stops in order, one for all that end at one place: no part lies
// between those.
func (s *stops) tidy() {
	for i, side := range s {
		sort.Float64s(side)
		s[i] = slices.CompactFunc(side, func(a, b float64) bool { return math.Abs(a-b) < sameStopMM })
	}
}

const (
	// sameStopMM is how near to each other, or to an end of the seam, two
	// stops are one place; a bit shorter than that never gets a notch.
	sameStopMM = 1
	// leastNotchedMM is the shortest bit of a seam, between the ends of two
	// others, that gets a notch as a rule. Shorter ones get one only where the
	// parts could not be told apart without.
	leastNotchedMM = 5
	// tellMM is how far the notches of a part's stretch must differ from
	// their mirror image, or a tenth of the stretch if that is less.
	tellMM = 4
)

// notchStretches gives a seam its notches, bit by bit between the ends of
// other seams on it, numbered from index so that no two bits of a piece are
// alike. The stretch that a part has may be several bits that end on the
// other side, and a notch well off the middle of a bit may be in the middle
// of the stretch; so a bit takes other places than its first ones where that
// is needed for both parts' stretches to tell one end from the other. Notches
// keep out of the mouths of darts, where they would be folded away, if they can.
// Notches that the seam had before, on cloth that is cut, stay where they are:
// others join them where a stretch cannot be told without. It gives false where
// no places do.
func notchStretches(line curve.Path, s stops, mouths []Span, index int, kept []piece.Notch) ([]piece.Notch, bool) {
	length := line.Length()
	bounds := append(append([]float64{0}, s[0]...), s[1]...)
	sort.Float64s(bounds)
	bounds = append(bounds, length)
	var place func(bit int, before []piece.Notch) ([]piece.Notch, bool)
	place = func(bit int, before []piece.Notch) ([]piece.Notch, bool) {
		if bit == len(bounds) {
			return before, true
		}
		from, to := bounds[bit-1], bounds[bit]
		places := notchPlaces(line.Between(from, to), index+bit-1)
		if len(mouths) > 0 {
			var out [][]piece.Notch
			for _, own := range places {
				out = append(out, outOf(mouths, own, from, to))
			}
			places = append(out, places...)
		}
		for _, own := range places {
			for i := range own {
				own[i].AtMM += from
			}
		}
		if kept != nil {
			places = beside(kept, places, from, to)
		}
		for _, own := range places {
			all := append(before[:len(before):len(before)], own...)
			if !s.tell(all, to, length) {
				continue
			}
			if found, ok := place(bit+1, all); ok {
				return found, true
			}
		}
		return nil, false
	}
	return place(1, nil)
}

// beside are the places of notches on a bit of a seam that has some already:
// those alone, or each of the others with them, as far as there is room.
func beside(kept []piece.Notch, places [][]piece.Notch, fromMM, toMM float64) [][]piece.Notch {
	const apartMM = 12.0 // a double notch is 6 wide; these are told from it
	var own []piece.Notch
	for _, n := range kept {
		if n.AtMM >= fromMM && n.AtMM < toMM {
			own = append(own, n)
		}
	}
	out := [][]piece.Notch{own}
	for _, place := range places {
		all := slices.Clone(own)
		for _, n := range place {
			if !slices.ContainsFunc(kept, func(k piece.Notch) bool { return math.Abs(k.AtMM-n.AtMM) < apartMM }) {
				all = append(all, n)
			}
		}
		if len(all) > len(own) {
			sort.SliceStable(all, func(i, j int) bool { return all[i].AtMM < all[j].AtMM })
			out = append(out, all)
		}
	}
	return out
}

// outOf moves the notches of a bit of a seam out of the mouths of darts, to the
// nearer side that has room for them.
func outOf(mouths []Span, own []piece.Notch, fromMM, toMM float64) []piece.Notch {
	const (
		clearMM = 8.0  // from a leg, with room for a double notch
		apartMM = 16.0 // from the next notch
	)
	own = slices.Clone(own)
	free := func(k int, mm float64) bool {
		if mm < clearMM || mm > toMM-fromMM-clearMM {
			return false
		}
		for i, n := range own {
			if i != k && math.Abs(n.AtMM-mm) < apartMM {
				return false
			}
		}
		for _, m := range mouths {
			if mm+fromMM > m.Lo-clearMM && mm+fromMM < m.Hi+clearMM {
				return false
			}
		}
		return true
	}
	for k := range own {
		for _, m := range mouths {
			lo, hi := m.Lo-clearMM-fromMM, m.Hi+clearMM-fromMM
			if own[k].AtMM <= lo || own[k].AtMM >= hi {
				continue
			}
			if own[k].AtMM-lo > hi-own[k].AtMM {
				lo, hi = hi, lo
			}
			if free(k, lo) {
				own[k].AtMM = lo
			} else if free(k, hi) {
				own[k].AtMM = hi
			}
			break
		}
	}
	sort.SliceStable(own, func(i, j int) bool { return own[i].AtMM < own[j].AtMM })
	return own
}

// notchPlaces are the ways to notch a bit of a seam, the best first.
func notchPlaces(bit curve.Path, index int) [][]piece.Notch {
	length := bit.Length()
	first := allowance.CurveNotches(bit, index)
	if len(first) == 0 || length < sameStopMM {
		return [][]piece.Notch{nil}
	}
	out := [][]piece.Notch{first, turnedNotches(first, length)}
	if len(first) == 1 {
		quarter := []piece.Notch{{AtMM: length / 4, Count: first[0].Count}}
		out = append(out, quarter, turnedNotches(quarter, length))
	}
	if length < leastNotchedMM {
		out = append([][]piece.Notch{nil}, out...)
	}
	return out
}

// turnedNotches are the notches of a line of that length seen from its other
// end.
func turnedNotches(notches []piece.Notch, lengthMM float64) []piece.Notch {
	out := make([]piece.Notch, len(notches))
	for i, n := range notches {
		n.AtMM = lengthMM - n.AtMM
		out[len(out)-1-i] = n
	}
	return out
}

// tell reports whether the notches differ from their mirror image on each
// stretch that ends at that place of a seam.
func (s stops) tell(notches []piece.Notch, endMM, lengthMM float64) bool {
	for _, side := range s {
		k := sort.SearchFloat64s(side, endMM)
		if endMM < lengthMM && (k == len(side) || side[k] != endMM) {
			continue // the part on this side has more of the seam
		}
		from := 0.0
		if k > 0 {
			from = side[k-1]
		}
		var own []piece.Notch
		for _, n := range notches {
			if n.AtMM > from && n.AtMM < endMM {
				n.AtMM -= from
				own = append(own, n)
			}
		}
		if sameTurned(own, endMM-from) {
			return false
		}
	}
	return true
}

// sameTurned reports whether the notches of a stretch are the same from both
// of its ends.
func sameTurned(notches []piece.Notch, lengthMM float64) bool {
	tell := math.Min(tellMM, lengthMM/10)
	for i, n := range turnedNotches(notches, lengthMM) {
		if n.Count != notches[i].Count || math.Abs(n.AtMM-notches[i].AtMM) > tell {
			return false
		}
	}
	return true
}
