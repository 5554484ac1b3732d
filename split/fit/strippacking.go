package fit

import (
	"context"
	"fmt"
	"math"
	"sync"

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
	length, best := packStripsInParallel(stripTask{width: width, items: items, gapMM: gapMM, seed: seed, workers: workers, method: fullMethod,
		more: func(int) bool { return ctx.Err() == nil }})
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
	method  stripMethod
	more    func(evaluations int) bool // whether a worker goes on that has evaluated so many poses
	told    func(length float64)       // hears of each shorter strip; may be nil
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
		if st.champion != nil && (best == nil || st.shortest < length) {
			length, best = st.shortest, st.champion
		}
	}
	return length, best
}

func stripOutline(length, width float64) (orb.Ring, []orb.Ring) {
	return orb.Ring{{0, 0}, {length, 0}, {length, width}, {0, width}}, nil
}
