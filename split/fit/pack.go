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
	poses := tryLanes(ctx, c, items, gapMM, effort, seed)
	if poses == nil {
		return nil, false
	}
	return placements(items, poses), true
}

// From an effort of manyPoses on, so many lanes share it.
const (
	manyPoses = 100_000
	lanes     = 2
)

// tryLanes packs with random sources of their own on two cores at once if much
// is to be done. What they find depends on the work done only: of two packings
// the one found with less of it counts, so a lane goes on until it has worked as
// hard as the one that is through.
func tryLanes(ctx context.Context, c *Cloth, items []Item, gapMM float64, effort int, seed uint64) []pose {
	n := 1
	if effort >= manyPoses {
		n = lanes
	}
	var least atomic.Int64
	least.Store(int64(effort / n))
	pks, ok := make([]*packer, n), make([]bool, n)
	var all sync.WaitGroup
	for k := range n {
		pk := newPacker(c, items, gapMM, fineShare, seed*lanes+uint64(k))
		pks[k] = pk
		all.Go(func() {
			ok[k] = pk.run(func() bool { return int64(pk.worked) < least.Load() && ctx.Err() == nil })
			for ok[k] {
				l := least.Load()
				if int64(pk.worked) >= l || least.CompareAndSwap(l, int64(pk.worked)) {
					break
				}
			}
		})
	}
	all.Wait()
	var best *packer
	for k, pk := range pks {
		if ok[k] && (best == nil || pk.worked < best.worked) {
			best = pk
		}
	}
	if best == nil {
		return nil
	}
	return best.adj.poses
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
	adj *adjuster
	rng *rand.Rand
	big float64
}

func newPacker(c *Cloth, items []Item, gapMM, share float64, seed uint64) *packer {
	parts := roughs(items, gapMM, share)
	pk := &packer{layout: newLayout(c, items, parts), adj: newAdjuster(c, items, gapMM), rng: rand.New(rand.NewPCG(seed, 1))}
	for _, r := range parts {
		pk.big = max(pk.big, r.diam)
	}
	return pk
}

// many items are not laid anew after a failure: that loses too much.
const many = 8

// run searches until it has found a packing or more says stop.
func (pk *packer) run(more func() bool) bool {
	for {
		pk.level()
		pk.build()
		if pk.settle(more) {
			return true
		}
		if !more() {
			return false
		}
		if len(pk.items) >= many {
			return pk.stir(more)
		}
	}
}

// build lays the items one after the other, the largest first, each where it
// costs least among those that lie already.
func (pk *packer) build() {
	pk.lift()
	for _, i := range pk.byWeight() {
		pk.put(i, pk.anywhere(pk.rng, i))
		if p, c := pk.better(pk.rng, i, search{anywhere: 60}); c < pk.at(i) {
			pk.put(i, p)
		}
	}
}

// settle runs the guided search from where the items lie, and the exact
// adjustment whenever little is missing.
func (pk *packer) settle(more func() bool) bool {
	s := search{anywhere: 30, nearby: 20}
	best, tried := math.Inf(1), math.Inf(1)
	for idle := 0; idle < 40; idle++ {
		t := pk.total()
		if t < best*0.98 {
			best = t
			idle = 0
		}
		if idle == 0 && t < tried*0.7 || idle%8 == 7 || t == 0 {
			tried = t
			if pk.exact(7) {
				return true
			}
		}
		if t == 0 || !more() {
			// Clear but for what the rough outlines do not show, or enough.
			return false
		}
		pk.learn()
		pk.sweep(pk.rng, s)
	}
	return false
}

// stir goes on from layouts that would not separate, with two items changing
// places.
func (pk *packer) stir(more func() bool) bool {
	var failed failures
	for {
		failed.add(pk.layout)
		pk.restore(failed.draw(pk.rng))
		pk.swap()
		pk.level()
		pk.separate(pk.rng, more)
		if pk.exact(14) {
			return true
		}
		if !more() {
			return false
		}
	}
}

// exactCost is what the exact adjustment costs an item, in poses weighed.
const exactCost = 10

// exact moves all items at once, so many times at most, until the layout is
// exact.
func (pk *packer) exact(rounds int) bool {
	ok := pk.adj.spread(pk.poses(nil), pk.big*0.02, rounds)
	pk.worked += exactCost * pk.adj.worked
	pk.adj.worked = 0
	return ok
}
