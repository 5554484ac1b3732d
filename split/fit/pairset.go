package fit

import (
	"iter"
	"math/bits"
)

// pairSet is a set of pairs of items: of each item a bit set of the others.
type pairSet struct {
	words int // of an item
	bits  []uint64
}

func newPairSet(items int) pairSet {
	w := (items + 63) / 64
	return pairSet{w, make([]uint64, w*items)}
}

func (s *pairSet) add(i, j int) {
	s.bits[i*s.words+j/64] |= 1 << (j % 64)
	s.bits[j*s.words+i/64] |= 1 << (i % 64)
}

func (s *pairSet) remove(i, j int) {
	s.bits[i*s.words+j/64] &^= 1 << (j % 64)
	s.bits[j*s.words+i/64] &^= 1 << (i % 64)
}

// of is a bit set of the items that are in a pair with item i.
func (s *pairSet) of(i int) []uint64 { return s.bits[i*s.words : (i+1)*s.words] }

// bitsOf runs through a bit set, the lowest first. What has been passed may be
// removed meanwhile.
func bitsOf(set []uint64) iter.Seq[int] {
	return func(yield func(int) bool) {
		for k, w := range set {
			for ; w != 0; w &= w - 1 {
				if !yield(k*64 + bits.TrailingZeros64(w)) {
					return
				}
			}
		}
	}
}
