package search

import (
	"context"
	"math"
	"sort"

	"eke/split"
)

// assignment is a depth-first search over where everything comes from, for one
// way to spread the seams.
type assignment struct {
	instance  *instance
	table     *table
	cuts      []int       // seams of each copy
	order     []int       // in which copies are dealt
	depthOf   []int       // of each copy, its place in order
	anyCuts   bool        // whether there are seams to spread
	exclusive bool        // one part a scrap
	budget                // its tries are those that are left
	work      int64       // done so far, in tries
	until     int64       // the work at which it pauses
	pause     func() bool // false stops it
	enough    int

	on         [][]placed
	kinds      []kindCount // of each group of copies that is cut from one kind of cloth
	freeArea   []float64   // area left of each scrap
	areaToCome []float64   // area of the copies still to deal, by place in order
	trees      []*split.Tree
	sliding    []slidingCut

	depth       int  // the place in order that is being dealt
	backjumping bool // back to jumpTo
	backjumpTo  int

	plans       []*split.Made
	seen        map[string]bool
	asked       map[componentQuestion]bool // trades
	failedPacks map[packQuestion]bool      // packings of whole pieces
	incomplete  bool                       // tries ran out, or a scrap was called full without proof
}

// placed is a part on a scrap and the leaf that stands for it.
type placed struct {
	part  *blank
	leaf  *split.Tree
	depth int // the copy's place in the order of dealing
	// The area that it takes at least, wherever its cuts slide.
	minArea float64
}

func newAssignment(in *instance, cuts []int, exclusive bool, budget budget, enough int) *assignment {
	a := &assignment{
		instance: in, table: in.table, cuts: cuts, exclusive: exclusive, budget: budget, enough: enough, until: math.MaxInt64,
		on: make([][]placed, len(in.table.bins)), kinds: make([]kindCount, len(in.group)),
		trees: make([]*split.Tree, len(in.blanks)), seen: map[string]bool{}, asked: map[componentQuestion]bool{}, failedPacks: map[packQuestion]bool{},
	}
	for i := range in.table.bins {
		a.freeArea = append(a.freeArea, in.table.bins[i].area)
	}
	for i := range in.blanks {
		a.order = append(a.order, i)
	}
	// Whole pieces first, those with the fewest scraps to go to before the
	// rest and large before small; then the pieces to split.
	sort.SliceStable(a.order, func(i, k int) bool {
		x, y := a.order[i], a.order[k]
		if cuts[x] != cuts[y] {
			return cuts[x] < cuts[y]
		}
		if in.wholeBins[x] != in.wholeBins[y] {
			return in.wholeBins[x] < in.wholeBins[y]
		}
		return in.blanks[x].area > in.blanks[y].area
	})
	a.depthOf = make([]int, len(a.order))
	for i, k := range a.order {
		a.depthOf[k] = i
		a.anyCuts = a.anyCuts || cuts[k] > 0
	}
	a.areaToCome = make([]float64, len(a.order)+1)
	for i := len(a.order) - 1; i >= 0; i-- {
		a.areaToCome[i] = a.areaToCome[i+1] + in.blanks[a.order[i]].area
	}
	return a
}

// assignFrom deals the copies from the i-th on; true means stop altogether.
func (a *assignment) assignFrom(ctx context.Context, i int) bool {
	if i == len(a.order) {
		return a.emitPlan(ctx)
	}
	if a.areaToCome[i] > a.areaLeft() || !a.forwardCheck(ctx, i) {
		return false
	}
	k := a.order[i]
	a.depth = i
	return a.assign(ctx, a.instance.blanks[k], a.cuts[k], func(t *split.Tree) bool {
		a.trees[k] = t
		if a.symmetric(k) {
			return false
		}
		if i+1 < len(a.order) && !a.promising(ctx) {
			a.incomplete = true
			return false
		}
		stop := a.assignFrom(ctx, i+1)
		a.depth = i
		if a.backjumping && a.backjumpTo >= i {
			a.backjumping = false
		}
		return stop
	})
}

// symmetric reports whether a copy and an earlier one like it could change places
// to give a deal that has been looked at. Where that is to be proof, only the
// very same line is like enough.
func (a *assignment) symmetric(k int) bool {
	l := a.instance.twin[k]
	if l < 0 || a.cuts[l] != a.cuts[k] || a.depthOf[l] > a.depthOf[k] || !a.anyCuts && a.instance.blanks[l].key != a.instance.blanks[k].key {
		return false
	}
	mine, its := a.trees[k].Leaves(), a.trees[l].Leaves()
	for i := range mine {
		a, b := a.table.bins[mine[i].Scrap].class, a.table.bins[its[i].Scrap].class
		if a != b {
			return a < b
		}
	}
	return false
}

// areaLeft is the area that is left for parts.
func (a *assignment) areaLeft() float64 {
	var sum float64
	for s, f := range a.freeArea {
		if !a.exclusive || len(a.on[s]) == 0 {
			sum += f
		}
	}
	return sum
}

// forwardCheck reports whether every whole piece still to deal has a scrap with
// area to spare.
func (a *assignment) forwardCheck(ctx context.Context, i int) bool {
	for _, k := range a.order[i:] {
		if a.cuts[k] > 0 {
			break
		}
		b, ok := a.instance.blanks[k], false
		for s := range a.table.bins {
			if a.exclusive && len(a.on[s]) > 0 || a.freeArea[s] < b.area || a.kindClashes(k, s) {
				continue
			}
			if _, fits := a.table.fitsOn(ctx, b, &a.table.bins[s]); fits {
				ok = true
				break
			}
		}
		if !ok {
			return false
		}
	}
	return true
}

// assign finds scraps for one blank cut by k seams, and calls cont with each
// tree while its parts lie on their scraps; true means stop altogether.
func (a *assignment) assign(ctx context.Context, b *blank, k int, cont func(*split.Tree) bool) bool {
	switch k {
	case 0:
		return a.assignWhole(ctx, b, cont)
	case 1:
		return a.assignPair(ctx, b, cont)
	}
	for _, w := range a.table.ways {
		if !w.Traits().Plain || b.cutBefore(w) {
			continue
		}
		for _, near := range []bool{true, false} {
			for _, s := range a.binsFor(0) {
				level, ok := a.firstCutLevel(ctx, b, w, near, s)
				if !ok {
					continue
				}
				if a.spend(1) || ctx.Err() != nil {
					return true
				}
				if a.firstCut(ctx, b, w, level, near, s, k, cont) {
					return true
				}
				if a.backjumping {
					return false
				}
			}
		}
	}
	return false
}

func (a *assignment) assignWhole(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	for _, s := range a.binsFor(b.area) {
		if a.spend(1) || ctx.Err() != nil {
			return true
		}
		leaf := &split.Tree{Scrap: s}
		if !a.push(ctx, s, b, leaf, b.area) {
			continue
		}
		stop := cont(leaf)
		a.pop(s)
		if stop || a.backjumping {
			return stop
		}
	}
	return false
}

// spend counts tries; true means they have run out, or that no more are wanted.
func (a *assignment) spend(n int) bool {
	a.tries -= n
	a.work += int64(n)
	if a.tries >= 0 && a.work >= a.until && !a.pause() {
		a.tries = -1
	}
	if a.tries < 0 {
		a.incomplete = true
	}
	return a.tries < 0
}

// binsFor is the scraps that may still hold an area, tightest first, and of
// like scraps that are all empty only one.
func (a *assignment) binsFor(area float64) []int {
	var out []int
	empty := map[string]bool{}
	for s := range a.table.bins {
		if a.freeArea[s] < area || a.exclusive && len(a.on[s]) > 0 {
			continue
		}
		if len(a.on[s]) == 0 {
			if empty[a.table.bins[s].class] {
				continue
			}
			empty[a.table.bins[s].class] = true
		}
		out = append(out, s)
	}
	sort.SliceStable(out, func(i, k int) bool { return a.freeArea[out[i]] < a.freeArea[out[k]] })
	return out
}

// push lays a part on a scrap beside what lies there. Whether several parts can
// lie together is asked only once everything has a place, unless the answer
// is known.
func (a *assignment) push(ctx context.Context, s int, b *blank, leaf *split.Tree, least float64) bool {
	if a.kindClashes(a.order[a.depth], s) {
		return false
	}
	if a.exclusive || b.parent == nil { // else its level is a bound, or slides
		if _, ok := a.table.fitsOn(ctx, b, &a.table.bins[s]); !ok {
			return false
		}
	}
	if len(a.on[s]) > 0 {
		if least > a.heuristicSpare(s) {
			a.incomplete = a.incomplete || least <= a.freeArea[s]
			return false
		}
		if a.packingUnlikely(s, b) {
			a.incomplete = true
			return false
		}
	}
	a.on[s] = append(a.on[s], placed{b, leaf, a.depth, least})
	a.freeArea[s] -= least
	a.countKind(a.order[a.depth], s, 1)
	return true
}

// heuristicSpare is the area that one part more may take beside others.
func (a *assignment) heuristicSpare(s int) float64 {
	return a.freeArea[s] - (1-a.maxLowerFill(s))*a.table.bins[s].area
}

// evenFill is the share of a scrap's area that several parts may take, once
// levels have slid to where all scraps are about equally full.
func (a *assignment) evenFill(s int) float64 {
	return math.Min(1+simplifiedFill, a.instance.fills[s]+a.fillMargin)
}

// maxLowerFill is the share that the least of several parts may take, which as a
// rule is less.
func (a *assignment) maxLowerFill(s int) float64 { return math.Min(1, a.evenFill(s)+0.08) }

// packingUnlikely reports whether a scrap is known not to hold one part more: with all
// that lies there, or with any one part of it. What other tasks have found out
// does not count, for that depends on which of them is ahead.
func (a *assignment) packingUnlikely(s int, b *blank) bool {
	known := func(parts ...*blank) bool {
		_, question := packQuestionOf(parts, &a.table.bins[s], a.poses)
		return a.failedPacks[question]
	}
	if known(a.with(s, b)...) {
		return true
	}
	for _, l := range a.on[s] {
		if len(a.on[s]) > 1 && known(l.part, b) {
			return true
		}
	}
	return false
}

// with is the parts on a scrap and one more.
func (a *assignment) with(s int, more ...*blank) []*blank {
	var parts []*blank
	for _, l := range a.on[s] {
		parts = append(parts, l.part)
	}
	return append(parts, more...)
}

// pop lifts the part that was put on a scrap last.
func (a *assignment) pop(s int) {
	n := len(a.on[s]) - 1
	a.freeArea[s] += a.on[s][n].minArea
	a.countKind(a.order[a.on[s][n].depth], s, -1)
	a.on[s] = a.on[s][:n]
}

// emitPlan packs every scrap as dealt, sliding the cuts where that helps, and
// makes a plan of it; true means there are enough. Where a scrap cannot hold
// its parts, dealing jumps back to the last copy that had a say in it.
func (a *assignment) emitPlan(ctx context.Context) bool {
	undo := a.saveLevels()
	defer undo()
	culprits := a.solveComponents(ctx)
	if culprits != nil {
		a.incomplete = true // full, as far as packing can tell
		a.backjumping, a.backjumpTo = true, 0
		for _, depth := range culprits {
			a.backjumpTo = max(a.backjumpTo, depth)
		}
		return ctx.Err() != nil || a.tries < 0
	}
	p := &split.Plan{Moves: a.instance.moves, Pieces: a.instance.pieces}
	for _, t := range a.trees {
		p.Trees = append(p.Trees, t.Clone())
	}
	m, err := split.Make(p, a.table.options.AllowanceMM)
	if err != nil {
		a.incomplete = true
		return false
	}
	if s := exactSignature(m); !a.seen[s] {
		a.seen[s] = true
		a.plans = append(a.plans, m)
	}
	return len(a.plans) >= a.enough
}

// saveLevels remembers the levels of all cuts, and gives the call that brings
// them back.
func (a *assignment) saveLevels() func() {
	was := make([]float64, len(a.sliding))
	for i, c := range a.sliding {
		was[i] = c.tree.LevelMM
	}
	return func() {
		for i, c := range a.sliding {
			c.tree.LevelMM = was[i]
		}
	}
}
