package fit

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
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
	pk := newPacker(c, items, gapMM, seed)
	if !pk.run(ctx, effort) {
		return nil, false
	}
	return placements(items, pk.adj.poses), true
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

func newPacker(c *Cloth, items []Item, gapMM float64, seed uint64) *packer {
	parts := roughs(items, gapMM)
	pk := &packer{layout: newLayout(c, items, parts), adj: newAdjuster(c, items, gapMM), rng: rand.New(rand.NewPCG(seed, 1))}
	for _, r := range parts {
		pk.big = max(pk.big, r.diam)
	}
	return pk
}

func (pk *packer) run(ctx context.Context, effort int) bool {
	for {
		pk.level()
		pk.build()
		if pk.settle(ctx, effort) {
			return true
		}
		if pk.worked >= effort || ctx.Err() != nil {
			return false
		}
	}
}

// build lays the items one after the other, the largest first, each where it
// costs least among those that lie already.
func (pk *packer) build() {
	order := make([]int, len(pk.items))
	for i := range order {
		order[i] = i
		pk.lies[i].fat = pk.lies[i].fat[:0]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(pk.parts[b].weight, pk.parts[a].weight) })
	for _, i := range order {
		pk.put(i, pk.anywhere(pk.rng, i))
		if p, c := pk.better(pk.rng, i, search{anywhere: 60}); c < pk.at(i) {
			pk.put(i, p)
		}
	}
}

// settle runs the guided search from where the items lie, and the exact
// adjustment whenever little is missing.
func (pk *packer) settle(ctx context.Context, effort int) bool {
	s := search{anywhere: 30, nearby: 20}
	best, tried := math.Inf(1), math.Inf(1)
	for idle := 0; idle < 40 && ctx.Err() == nil; idle++ {
		t := pk.total()
		if t < best*0.98 {
			best = t
			idle = 0
		}
		if idle == 0 && t < tried*0.7 || idle%8 == 7 || t == 0 {
			tried = t
			if pk.exact(pk.big*0.02, 7) {
				return true
			}
		}
		if t == 0 || pk.worked >= effort {
			// Clear but for what the rough outlines do not show, or enough.
			return false
		}
		pk.learn()
		pk.sweep(pk.rng, s)
	}
	return false
}

// exactCost is what the exact adjustment costs an item, in poses weighed.
const exactCost = 10

// exact moves all items at once until the layout is exact.
func (pk *packer) exact(step float64, rounds int) bool {
	ok := pk.adj.spread(pk.poses(nil), step, rounds)
	pk.worked += exactCost * pk.adj.worked
	pk.adj.worked = 0
	return ok
}
