package fit

// broadPhase tells which items may lie near a box: the cloth is divided into slabs
// along x and along y, and each knows, as bits, the items whose boxes reach into
// it. Both ways are asked, and what both name is near.
type broadPhase struct {
	org, per      vec // where the first begins, and how many there are to a millimetre
	words         int
	x, y          [slabCount][]uint64
	candidateBits []uint64
}

const slabCount = 24

func newBroadPhase(b box, items int) *broadPhase {
	s := &broadPhase{words: (items + 63) / 64}
	bits := make([]uint64, (2*slabCount+1)*s.words)
	take := func() []uint64 {
		t := bits[:s.words:s.words]
		bits = bits[s.words:]
		return t
	}
	for k := range slabCount {
		s.x[k], s.y[k] = take(), take()
	}
	s.candidateBits = take()
	s.org = b.min
	s.per = vec{slabCount / b.width(), slabCount / b.height()}
	return s
}

// slabRange is the slabs, from the first to the last, that lo to hi reaches into.
func slabRange(lo, hi, org, per float64) (int, int) {
	at := func(v float64) int {
		if k := (v - org) * per; k > 0 {
			return int(min(slabCount-1, k))
		}
		return 0
	}
	return at(lo), at(hi)
}

// toggle adds the item with the given box, or takes it away again.
func (s *broadPhase) toggle(item int, b *box) {
	if b.empty() {
		return
	}
	word, bit := item/64, uint64(1)<<(item%64)
	for k, last := slabRange(b.min.x, b.max.x, s.org.x, s.per.x); k <= last; k++ {
		s.x[k][word] ^= bit
	}
	for k, last := slabRange(b.min.y, b.max.y, s.org.y, s.per.y); k <= last; k++ {
		s.y[k][word] ^= bit
	}
}

// candidates gives the items, as bits, that may meet the box. They hold until the next
// call.
func (s *broadPhase) candidates(b *box) []uint64 {
	x0, x1 := slabRange(b.min.x, b.max.x, s.org.x, s.per.x)
	y0, y1 := slabRange(b.min.y, b.max.y, s.org.y, s.per.y)
	for w := range s.candidateBits {
		var along, across uint64
		for k := x0; k <= x1; k++ {
			along |= s.x[k][w]
		}
		for k := y0; k <= y1; k++ {
			across |= s.y[k][w]
		}
		s.candidateBits[w] = along & across
	}
	return s.candidateBits
}
