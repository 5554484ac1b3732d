package fit

// broadPhase finds the items whose boxes may meet a given box, before any exact
// test. The cloth is divided into slabs along x and again along y. Each slab
// keeps a bit set of the items whose boxes reach into it. An item is a
// candidate if a slab in x and a slab in y that the box reaches into both name
// it.
type broadPhase struct {
	org, per      vec // where the first slab begins, and slabs a millimetre
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

// slabRange is the first and the last slab that the interval from lo to hi
// reaches into. What lies beyond the cloth counts to the outermost slab.
func slabRange(lo, hi, org, per float64) (int, int) {
	at := func(v float64) int {
		if k := (v - org) * per; k > 0 {
			return int(min(slabCount-1, k))
		}
		return 0
	}
	return at(lo), at(hi)
}

// toggle adds the item with the given box, or removes it if it is there.
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

// candidates is a bit set of the items whose boxes may meet the box. It is
// valid until the next call.
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
