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

// Pack places all items on one cloth, gapMM apart from each other, or gives up.
// To the edge of the cloth and to its holes no gap is kept. effort bounds the
// work: it is about how many poses of an item are evaluated. 30,000 take about
// a tenth of a second, and suffice for nearly every three or four parts that
// share a scrap. The same arguments give the same result. A no is certain only
// where some part fits nowhere even alone, or the area is too small.
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

// From an effort of parallelEffort on, it is shared by so many searches.
const (
	parallelEffort   = 100_000
	parallelSearches = 2
)

// packInParallel runs searches with random sources of their own, on two cores
// at once if there is much to do. The result must not depend on which core is
// faster. So of two packings the one found with less work counts, and a search
// goes on until it has done as much work as the one that has found a packing.
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

// packer packs one cloth: guided local search until little overlap remains,
// then separation by linear programs.
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

// manyItems items or more are not packed from the beginning again after a
// failure, for that would lose too much. Their search then takes hundreds of
// iterations, and weights grow gently.
const manyItems = 8

// run searches until it has found a packing, or more says stop.
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
			pk.growth = gentleGrowth
			return pk.perturb(more)
		}
	}
}

// construct builds a first layout: it places the items one after the other, the
// largest first, each in the best pose found among those already placed.
func (pk *packer) construct() {
	pk.removeAll()
	for _, i := range pk.byWeight() {
		pk.put(i, pk.randomPose(pk.rng, i))
		if p, c := pk.bestMove(pk.rng, i, sampleCounts{anywhere: 60}); c < pk.weightedCost(i) {
			pk.put(i, p)
		}
	}
}

// searchFromHere runs the guided local search from the present layout, and the
// separation whenever little overlap remains.
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
			// Only what the simplified outlines do not show is left, or time is up.
			return false
		}
		pk.updateWeights()
		pk.moveOverlapping(pk.rng, s)
	}
	return false
}

// perturb goes on from layouts that could not be separated, with two items
// exchanged.
func (pk *packer) perturb(more func() bool) bool {
	var failed infeasible
	for {
		failed.add(pk.layout)
		pk.restore(failed.draw(pk.rng))
		pk.swapLargest()
		pk.resetWeights()
		pk.minimiseOverlap(pk.rng, more, nil)
		if pk.makeExact(14) {
			return true
		}
		if !more() {
			return false
		}
	}
}

// evaluationsPerMove is what moving one item in a separation costs, counted in
// poses evaluated.
const evaluationsPerMove = 10

// makeExact separates the layout by at most so many linear programs, and says
// whether it passes the exact test.
func (pk *packer) makeExact(rounds int) bool {
	ok := pk.sep.separate(pk.poses(nil), pk.largestMM*0.02, rounds)
	pk.evaluations += evaluationsPerMove * pk.sep.itemsMoved
	pk.sep.itemsMoved = 0
	return ok
}
