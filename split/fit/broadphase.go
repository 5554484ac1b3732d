package fit

import "math/bits"

// broadPhase finds the items whose boxes may meet a given box, before any exact
// test. The cloth is divided into slabs along x and again along y. Each run of 1, 2,
// 4, … slabs keeps a bit set of the items whose boxes reach into it. So what reaches
// into any range of slabs is the union of two runs (a sparse table: M. Bender and
// M. Farach-Colton, "The LCA Problem Revisited", 2000). An item is a candidate if the
// slabs in x and the slabs in y that the box reaches into both name it.
type broadPhase struct {
	org, per      vec // where the first slab begins, and slabs a millimetre
	words         int
	x, y          []uint64 // by how many times 2 slabs the run has, the first of them, and word
	candidateBits []uint64
}

const (
	slabCount = 32
	runSizes  = 6 // of runs: from 1 slab to all
)

func newBroadPhase(b box, items int) *broadPhase {
	s := &broadPhase{words: (items + 63) / 64}
	s.x, s.y = make([]uint64, runSizes*slabCount*s.words), make([]uint64, runSizes*slabCount*s.words)
	s.candidateBits = make([]uint64, s.words)
	s.org = b.min
	s.per = vec{slabCount / b.width(), slabCount / b.height()}
	return s
}

// slabRange is the first and the last slab that the interval from lo to hi
// reaches into. What lies beyond the cloth counts to the outermost slab.
func slabRange(lo, hi, org, per float64) (int, int) {
	return slabAt((lo - org) * per), slabAt((hi - org) * per)
}

func slabAt(k float64) int {
	if !(k > 0) {
		return 0
	}
	if k >= slabCount {
		return slabCount - 1
	}
	return int(k)
}

// toggle adds the item with the given box, or removes it if it is there.
func (s *broadPhase) toggle(item int, b *box) {
	if b.empty() {
		return
	}
	first, last := slabRange(b.min.x, b.max.x, s.org.x, s.per.x)
	s.toggleRuns(s.x, item, first, last)
	first, last = slabRange(b.min.y, b.max.y, s.org.y, s.per.y)
	s.toggleRuns(s.y, item, first, last)
}

// toggleRuns toggles the item's bit in each run with one of the slabs.
func (s *broadPhase) toggleRuns(runs []uint64, item, first, last int) {
	bit := uint64(1) << (item % 64)
	for n := range runSizes {
		for k := max(0, first-1<<n+1); k <= min(last, slabCount-1<<n); k++ {
			runs[(n*slabCount+k)*s.words+item/64] ^= bit
		}
	}
}

// twoRuns is where the first words are of two runs whose union is the range of slabs.
func (s *broadPhase) twoRuns(first, last int) (int, int) {
	n := bits.Len(uint(last-first+1)) - 1
	return (n*slabCount + first) * s.words, (n*slabCount + last + 1 - 1<<n) * s.words
}

// candidates is a bit set of the items whose boxes may meet the box. It is
// valid until the next call.
func (s *broadPhase) candidates(b *box) []uint64 {
	x0, x1 := s.twoRuns(slabRange(b.min.x, b.max.x, s.org.x, s.per.x))
	y0, y1 := s.twoRuns(slabRange(b.min.y, b.max.y, s.org.y, s.per.y))
	for w := range s.candidateBits {
		s.candidateBits[w] = (s.x[x0+w] | s.x[x1+w]) & (s.y[y0+w] | s.y[y1+w])
	}
	return s.candidateBits
}
