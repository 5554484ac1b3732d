package fit

import (
	"context"
	"math"
	"math/rand/v2"
	"sync"
	"sync/atomic"
)

// Item is one part to be packed and the turns it may take.
type Item struct {
	Shape *Shape
	Turns []Turn
}

// Pack places all items on one cloth, gapMM apart from each other (the rim and
// the holes keep no gap), or gives up. effort bounds the work: about so many
// poses of an item are weighed; 30,000 take a tenth of a second or so and find
// nearly all that three or four parts on a scrap have. The same arguments give
// the same result. Only a part that fits nowhere even alone, or too little area,
// makes a no certain.
func Pack(ctx context.Context, c *Cloth, items []Item, gapMM float64, effort int, seed uint64) ([]Placement, bool) {
	var sum float64
	for _, it := range items {
		if len(it.Shape.ring) == 0 || len(it.Turns) == 0 {
			return nil, false
		}
		sum += it.Shape.area
	}
	if len(c.rings) == 0 || sum > c.area*(1+1e-9) {
		return nil, false
	}
	var only Placement
	for _, it := range items {
		p, ok := Place(ctx, c, it.Shape, it.Turns)
		if !ok {
			return nil, false
		}
		only = p
	}
	if len(items) == 1 {
		return []Placement{only}, true
	}
	poses := packInParallel(ctx, c, items, gapMM, effort, seed)
	if poses == nil {
		return nil, false
	}
	return placements(items, poses), true
}

// From an effort of manyPoses on, so many lanes share it.
const (
	parallelEffort   = 100_000
	parallelSearches = 2
)

// packInParallel packs with random sources of their own on two cores at once if much
// is to be done. What they find depends on the work done only: of two packings
// the one found with less of it counts, so a lane goes on until it has worked as
// hard as the one that is through.
func packInParallel(ctx context.Context, c *Cloth, items []Item, gapMM float64, effort int, seed uint64) []pose {
	n := 1
	if effort >= parallelEffort {
		n = parallelSearches
	}
	var least atomic.Int64
	least.Store(int64(effort / n))
	pks, ok := make([]*packer, n), make([]bool, n)
	var all sync.WaitGroup
	for k := range n {
		pk := newPacker(c, items, gapMM, fineSimplifyShare, seed*parallelSearches+uint64(k))
		pks[k] = pk
		all.Go(func() {
			ok[k] = pk.run(func() bool { return int64(pk.evaluations) < least.Load() && ctx.Err() == nil })
			for ok[k] {
				l := least.Load()
				if int64(pk.evaluations) >= l || least.CompareAndSwap(l, int64(pk.evaluations)) {
					break
				}
			}
		})
	}
	all.Wait()
	var best *packer
	for k, pk := range pks {
		if ok[k] && (best == nil || pk.evaluations < best.evaluations) {
			best = pk
		}
	}
	if best == nil {
		return nil
	}
	return best.sep.poses
}

func placements(items []Item, poses []pose) []Placement {
	out := make([]Placement, len(items))
	for i, p := range poses {
		out[i] = items[i].Shape.placement(p)
	}
	return out
}

type packer struct {
	*layout
	sep       *separator
	rng       *rand.Rand
	largestMM float64
}

func newPacker(c *Cloth, items []Item, gapMM, share float64, seed uint64) *packer {
	parts := simplifyItems(items, gapMM, share)
	pk := &packer{layout: newLayout(c, items, parts), sep: newSeparator(c, items, gapMM), rng: rand.New(rand.NewPCG(seed, 1))}
	for _, r := range parts {
		pk.largestMM = max(pk.largestMM, r.diameter)
	}
	return pk
}

// manyItems items are not laid anew after a failure: that loses too much.
const manyItems = 8

// run searches until it has found a packing or more says stop.
func (pk *packer) run(more func() bool) bool {
	for {
		pk.resetWeights()
		pk.construct()
		if pk.searchFromHere(more) {
			return true
		}
		if !more() {
			return false
		}
		if len(pk.items) >= manyItems {
			return pk.perturb(more)
		}
	}
}

// construct lays the items one after the other, the largest first, each where it
// costs least among those that lie already.
func (pk *packer) construct() {
	pk.removeAll()
	for _, i := range pk.byWeight() {
		pk.put(i, pk.randomPose(pk.rng, i))
		if p, c := pk.bestMove(pk.rng, i, sampleCounts{anywhere: 60}); c < pk.weightedCost(i) {
			pk.put(i, p)
		}
	}
}

// searchFromHere runs the guided search from where the items lie, and the exact
// adjustment whenever little is missing.
func (pk *packer) searchFromHere(more func() bool) bool {
	s := sampleCounts{anywhere: 30, nearby: 20}
	best, tried := math.Inf(1), math.Inf(1)
	for idle := 0; idle < 40; idle++ {
		t := pk.totalOverlap()
		if t < best*0.98 {
			best = t
			idle = 0
		}
		if idle == 0 && t < tried*0.7 || idle%8 == 7 || t == 0 {
			tried = t
			if pk.makeExact(7) {
				return true
			}
		}
		if t == 0 || !more() {
			// Clear but for what the rough outlines do not show, or enough.
			return false
		}
		pk.updateWeights()
		pk.moveOverlapping(pk.rng, s)
	}
	return false
}

// perturb goes on from layouts that would not separate, with two items changing
// places.
func (pk *packer) perturb(more func() bool) bool {
	var failed infeasible
	for {
		failed.add(pk.layout)
		pk.restore(failed.draw(pk.rng))
		pk.swapLargest()
		pk.resetWeights()
		pk.minimiseOverlap(pk.rng, more)
		if pk.makeExact(14) {
			return true
		}
		if !more() {
			return false
		}
	}
}

// evaluationsPerMove is what the exact adjustment costs an item, in poses weighed.
const evaluationsPerMove = 10

// makeExact moves all items at once, so many times at most, until the layout is
// exact.
func (pk *packer) makeExact(rounds int) bool {
	ok := pk.sep.separate(pk.poses(nil), pk.largestMM*0.02, rounds)
	pk.evaluations += evaluationsPerMove * pk.sep.itemsMoved
	pk.sep.itemsMoved = 0
	return ok
}
