package fit

import (
	"context"
	"fmt"
	"math"
	"sync"

	"github.com/paulmach/orb"
)

// Strip packs all items, gapMM apart, into a strip of the given width, which
// runs along y, as short as it can until ctx ends; the length runs along x.
// Each of the workers searches for itself, on a core of its own. An item that is
// wider than the strip at each of its turns is an error, and so is an end of ctx
// before the first packing is found.
func Strip(ctx context.Context, width float64, items []Item, gapMM float64, seed uint64, workers int) (length float64, ps []Placement, err error) {
	if !(width > 0) || math.IsInf(width, 1) {
		return 0, nil, fmt.Errorf("strip of width %v: the width must be a length above 0", width)
	}
	for i, it := range items {
		if len(it.Shape.ring) == 0 {
			return 0, nil, fmt.Errorf("item %d has no area", i)
		}
		if len(it.Turns) == 0 {
			return 0, nil, fmt.Errorf("item %d may not lie in any turn", i)
		}
		long := NewCloth(rect2(4*it.Shape.radius, width))
		if _, ok := Place(ctx, long, it.Shape, it.Turns); !ok {
			return 0, nil, fmt.Errorf("item %d is wider than the strip, %v", i, width)
		}
	}
	length, best := race(ctx, width, items, gapMM, seed, workers, 0)
	if best == nil {
		return 0, nil, fmt.Errorf("no packing found in time: %w", context.Cause(ctx))
	}
	return length, placements(items, best), nil
}

// race lets each worker shorten a strip of its own, with a random source of its
// own, until ctx ends or it has weighed effort poses (0: no limit). The shortest
// counts. They do not compare notes on the way: how short a strip is half-way
// says little of how short it will get, and from one strip both would go on into
// the same corner.
func race(ctx context.Context, width float64, items []Item, gapMM float64, seed uint64, workers, effort int) (length float64, best []pose) {
	sts := make([]*stripper, max(1, workers))
	var all sync.WaitGroup
	for k := range sts {
		st := newStripper(width, items, gapMM, seed+uint64(k)<<32)
		st.more = func() bool { return ctx.Err() == nil && (effort == 0 || st.worked < effort) }
		sts[k] = st
		all.Go(st.run)
	}
	all.Wait()
	for _, st := range sts {
		if st.best != nil && (best == nil || st.length < length) {
			length, best = st.length, st.best
		}
	}
	return length, best
}

func rect2(length, width float64) (orb.Ring, []orb.Ring) {
	return orb.Ring{{0, 0}, {length, 0}, {length, width}, {0, width}}, nil
}

const (
	firstStep = 0.02  // by what share a strip is shortened first,
	leastStep = 0.001 // and when that no longer works
)

// stripper shortens a strip.
type stripper struct {
	*packer
	width  float64
	length float64 // of the best packing
	best   []pose
	failed failures // at the present length
	more   func() bool
}

func newStripper(width float64, items []Item, gapMM float64, seed uint64) *stripper {
	var sum float64
	for _, it := range items {
		sum += it.Shape.area
	}
	longest := 0.0
	for _, it := range items {
		longest = max(longest, 2*it.Shape.radius)
	}
	l := max(longest, sum/width/0.7)
	st := &stripper{width: width, length: l}
	st.packer = newPacker(NewCloth(rect2(l, width)), items, gapMM, fineShare, seed)
	return st
}

// cut makes the strip as long as said, pulling what lies beyond a random cut
// along.
func (st *stripper) cut(length float64) {
	old := st.cloth.rim.bounds.max.x
	at := st.rng.Float64() * old
	c := NewCloth(rect2(length, st.width))
	st.setCloth(c)
	st.adj.cloth = c
	for i := range st.lies {
		p := st.lies[i].pose
		if p.at.x > at {
			p.at.x += length - old
		}
		st.put(i, st.keepOn(i, p))
	}
}

// run searches until more says stop.
func (st *stripper) run() {
	st.scatter()
	step := firstStep
	for st.more() {
		was := st.length
		if st.separate(st.rng, st.more) && st.finish(st.cloth.rim.bounds.width()) {
			if st.length < was*(1-2*step) {
				step = min(firstStep, step*1.5)
			} else {
				step = max(leastStep, step*0.7)
			}
			st.shrink(step)
			continue
		}
		switch {
		case !st.more():
		case st.best == nil:
			st.cut(st.cloth.rim.bounds.width() * 1.05)
		default:
			step = st.again(step)
		}
	}
}

// again sets out anew after a search has failed, and returns the step to go on
// with.
func (st *stripper) again(step float64) float64 {
	st.failed.add(st.layout)
	if st.finish(st.cloth.rim.bounds.width() * 1.02) {
		st.shrink(step)
		return step
	}
	if step > leastStep {
		step = max(leastStep, step/4)
		st.restore(st.best)
		st.shrink(step)
		return step
	}
	st.restore(st.failed.draw(st.rng))
	st.swap()
	st.level()
	return step
}

// scatter lays the items anywhere.
func (pk *packer) scatter() {
	pk.lift()
	for i := range pk.items {
		pk.put(i, pk.anywhere(pk.rng, i))
	}
}

// shrink starts the next search a step below the best length.
func (st *stripper) shrink(step float64) {
	st.cut(st.length * (1 - step))
	st.level()
	st.failed = st.failed[:0]
}

// finish makes the layout exact, on a strip of the given length, pushes it
// together, and keeps it if it is shorter than the best.
func (st *stripper) finish(length float64) bool {
	a := st.adj
	a.cloth = NewCloth(rect2(length, st.width))
	defer func() { a.cloth = st.cloth }()
	if !st.exact(8) {
		return false
	}
	length = a.compact(st.width, length)
	st.worked += exactCost * a.worked
	a.worked = 0
	if st.best != nil && length >= st.length {
		return false
	}
	st.length = length
	st.best = append(st.best[:0], a.poses...)
	st.restore(a.poses)
	return true
}
