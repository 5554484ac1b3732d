package fit

import (
	"context"
	"sync"
)

// Two strippers with random sources of their own search at once, on one core in
// turn. Each time both have done an equal share of work they meet, and the one
// that is behind goes on from the shorter strip. What they find depends on the
// work done only, not on the number of cores.
const (
	lanes      = 2
	laneStride = 400_000 // poses weighed between two meetings
)

// race shortens the strip until ctx ends or each lane has weighed effort poses
// (0: no limit).
func race(ctx context.Context, width float64, items []Item, gapMM float64, seed uint64, workers, effort int) (length float64, best []pose) {
	m := &meeting{ctx: ctx, seats: make(chan struct{}, max(1, min(workers, lanes)))}
	m.turn.L = &m.mu
	stop := context.AfterFunc(ctx, func() {
		m.mu.Lock()
		defer m.mu.Unlock()
		m.turn.Broadcast()
	})
	defer stop()
	stride := laneStride
	if effort > 0 {
		stride = min(stride, effort)
	}
	var sts [lanes]*stripper
	var all sync.WaitGroup
	for k := range sts {
		st := newStripper(width, items, gapMM, seed*lanes+uint64(k))
		sts[k] = st
		next := stride
		st.more = func() bool {
			if ctx.Err() != nil || m.over {
				return false
			}
			if st.worked < next {
				return true
			}
			next += stride
			done := effort > 0 && next > effort
			return m.meet(st, done)
		}
		all.Go(func() {
			m.seats <- struct{}{}
			st.run()
			<-m.seats
		})
	}
	all.Wait()
	for _, st := range sts {
		if st.best != nil && (best == nil || st.length < length) {
			length, best = st.length, st.best
		}
	}
	return length, best
}

// meeting is where the lanes wait for each other.
type meeting struct {
	ctx   context.Context
	seats chan struct{} // as many as lanes may run at once
	mu    sync.Mutex
	turn  sync.Cond
	here  int
	round int
	over  bool // read without the lock only by lanes that have met since

	length float64
	best   []pose
}

// meet waits for the other lanes, hands st the shortest strip, and says whether
// st should go on with what it is at.
func (m *meeting) meet(st *stripper, done bool) bool {
	<-m.seats
	defer func() { m.seats <- struct{}{} }()
	m.mu.Lock()
	defer m.mu.Unlock()
	if st.best != nil && (m.best == nil || st.length < m.length) {
		m.length = st.length
		m.best = append([]pose(nil), st.best...)
	}
	m.here++
	round := m.round
	if m.here == lanes {
		m.here = 0
		m.round++
		m.over = done
		m.turn.Broadcast()
	}
	for m.round == round && m.ctx.Err() == nil {
		m.turn.Wait()
	}
	if m.over || m.ctx.Err() != nil {
		return false
	}
	if m.best != nil && (st.best == nil || m.length < st.length*(1-1e-9)) {
		st.adopt(m.length, m.best)
		return false
	}
	return true
}
