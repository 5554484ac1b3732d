package fit

import (
	"context"
	"fmt"
	"math"
	"sync"
	"time"

	"github.com/paulmach/orb"
)

// Strip packs all items, gapMM apart, into a strip of the given width, as short
// as it can until ctx ends. The width runs along y and the length along x. Each
// of the workers searches by itself, on a core of its own. An item that is
// wider than the strip at each of its turns is an error, and so is a ctx that
// ends before the first packing is found.
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
		long := NewCloth(stripOutline(4*it.Shape.radius, width))
		if _, ok := Place(ctx, long, it.Shape, it.Turns); !ok {
			return 0, nil, fmt.Errorf("item %d is wider than the strip, %v", i, width)
		}
	}
	length, best := packStripsInParallel(stripTask{width: width, items: items, gapMM: gapMM, seed: seed, workers: workers, spent: spentTime(ctx)})
	if best == nil {
		return 0, nil, fmt.Errorf("no packing found in time: %w", context.Cause(ctx))
	}
	return length, placements(items, best), nil
}

// stripTask is what to pack, and how long.
type stripTask struct {
	width   float64
	items   []Item
	gapMM   float64
	seed    uint64
	workers int
	// spent is the share of the time, or of the effort, that a worker has used up,
	// which has evaluated so many poses. It stops at 1.
	spent func(evaluations int) float64
	told  func(length float64) // hears of each shorter strip; may be nil
}

// spentTime is the share of the time from now until ctx ends.
func spentTime(ctx context.Context) func(int) float64 {
	begun := time.Now()
	end, ends := ctx.Deadline()
	return func(int) float64 {
		switch {
		case ctx.Err() != nil:
			return 1
		case !ends:
			return 0
		}
		return time.Since(begun).Seconds() / end.Sub(begun).Seconds()
	}
}

// packStripsInParallel lets each worker shorten a strip of its own, with its
// own random source, until its time is spent. The shortest strip counts. The
// workers exchange nothing: how short a strip is half way says little about how
// short it will get, and from the same strip both would run into the same local
// minimum.
func packStripsInParallel(t stripTask) (length float64, best []pose) {
	sts := make([]*stripPacker, max(1, t.workers))
	var all sync.WaitGroup
	for k := range sts {
		st := newStripPacker(t, k)
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

func stripOutline(length, width float64) (orb.Ring, []orb.Ring) {
	return orb.Ring{{0, 0}, {length, 0}, {length, width}, {0, width}}, nil
}

const (
	firstStep = 0.02  // the share by which a strip is shortened at first,
	leastStep = 0.001 // and at least
)

// stripPacker packs a strip, shortens it, and packs again.
type stripPacker struct {
	*packer
	width      float64
	length     float64 // of the best packing
	best       []pose
	infeasible infeasible // layouts at the present length
	spent      func() float64
	told       func(length float64)
}

func newStripPacker(t stripTask, worker int) *stripPacker {
	width, items := t.width, t.items
	var sum float64
	for _, it := range items {
		sum += it.Shape.area
	}
	longest := 0.0
	for _, it := range items {
		longest = max(longest, 2*it.Shape.radius)
	}
	l := max(longest, sum/width/0.7)
	st := &stripPacker{width: width, length: l, told: t.told}
	st.packer = newPacker(NewCloth(stripOutline(l, width)), items, t.gapMM, fineSimplifyShare, t.seed+uint64(worker)<<32)
	st.spent = func() float64 { return t.spent(st.evaluations) }
	return st
}

func (st *stripPacker) more() bool { return st.spent() < 1 }

// setLength gives the strip a new length. The parts right of a random line move
// along with its end.
func (st *stripPacker) setLength(length float64) {
	old := st.cloth.region.bounds.max.x
	at := st.rng.Float64() * old
	c := NewCloth(stripOutline(length, st.width))
	st.setCloth(c)
	st.sep.cloth = c
	for i := range st.placed {
		p := st.placed[i].pose
		if p.at.x > at {
			p.at.x += length - old
		}
		st.put(i, st.clampToCloth(i, p))
	}
}

// run searches until more says stop.
func (st *stripPacker) run() {
	st.scatter()
	step := firstStep
	for st.more() {
		was := st.length
		if st.minimiseOverlap(st.rng, st.more) && st.finish(st.cloth.region.bounds.width()) {
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
			st.setLength(st.cloth.region.bounds.width() * 1.05)
		default:
			step = st.restart(step)
		}
	}
}

// restart prepares another search after one has failed, and returns the step to
// shorten by.
func (st *stripPacker) restart(step float64) float64 {
	st.infeasible.add(st.layout)
	if st.finish(st.cloth.region.bounds.width() * 1.02) {
		st.shrink(step)
		return step
	}
	if step > leastStep {
		step = max(leastStep, step/4)
		st.restore(st.best)
		st.shrink(step)
		return step
	}
	st.restore(st.infeasible.draw(st.rng))
	st.swapLargest()
	st.resetWeights()
	return step
}

// scatter places the items at random.
func (pk *packer) scatter() {
	pk.removeAll()
	for i := range pk.items {
		pk.put(i, pk.randomPose(pk.rng, i))
	}
}

// shrink sets the length a step below the best, and forgets the weights.
func (st *stripPacker) shrink(step float64) {
	st.setLength(st.length * (1 - step))
	st.resetWeights()
	st.infeasible = st.infeasible[:0]
}

// finish separates the layout on a strip of the given length, compacts it, and
// keeps it if it is shorter than the best.
func (st *stripPacker) finish(length float64) bool {
	a := st.sep
	a.cloth = NewCloth(stripOutline(length, st.width))
	defer func() { a.cloth = st.cloth }()
	if !st.makeExact(8) {
		return false
	}
	length = a.compact(st.width, length)
	st.evaluations += evaluationsPerMove * a.itemsMoved
	a.itemsMoved = 0
	if st.best != nil && length >= st.length {
		return false
	}
	st.length = length
	st.best = append(st.best[:0], a.poses...)
	st.restore(a.poses)
	if st.told != nil {
		st.told(length)
	}
	return true
}
