package search

import (
	"context"
	"math"
	"sort"

	"eke/split"
)

// assignment is a depth-first search over which bin every part comes from, for one
// composition.
type assignment struct {
	instance  *instance
	table     *table
	cuts      []int       // seams of each copy
	order     []int       // in which copies are assigned
	depthOf   []int       // of each copy
	anyCuts   bool        // whether there are seams in the composition
	exclusive bool        // one part a bin
	mirroring             // of copies that are cut alike
	only      [][]bool    // for each copy the bins that it may be cut from; nil for all
	welcome   []bool      // whether each copy is cut where that is welcome, and nowhere else; nil for none
	budget                // tries are those that are left
	work      int64       // charged so far, in tries, for its time slices
	until     int64       // the work at which it pauses
	pause     func() bool // false stops it
	halted    bool        // whether it was
	shuffled  order
	other     *otherOrder // takes turns with this one; nil for none
	enough    int
	stands    []*split.Tree // of the first copies, which lie there if they lie nowhere else; their trees are asked for, and no plan

	on         [][]placed
	looks      [][]int     // of each piece that wishes bind, the parts of each look
	kinds      []kindCount // of each group of copies that is cut from one kind of cloth
	freeArea   []float64   // left on each bin
	areaToCome []float64   // of the copies still to come, by depth
	trees      []*split.Tree
	sliding    []slidingCut

	depth       int  // of the copy that is being assigned
	backjumping bool // back to backjumpTo
	backjumpTo  int

	plans       []*split.Made
	made        []*split.Tree // the trees of a plan, where only these are asked for
	seen        map[string]bool
	nearMisses  []nearMiss
	asked       map[componentQuestion]bool // components
	failedPacks map[packQuestion]bool      // packings of whole pieces
	incomplete  bool                       // tries ran out, or a heuristic bound dropped something
}

// placed is a part on a bin and the leaf of the tree of cuts that stands for it.
type placed struct {
	part  *blank
	leaf  *split.Tree
	depth int // of its copy
	// The area that it takes at least, wherever its cuts slide.
	minArea float64
}

func newAssignment(in *instance, cuts []int, exclusive bool, budget budget, enough int) *assignment {
	a := &assignment{
		instance: in, table: in.table, cuts: cuts, exclusive: exclusive, budget: budget, enough: enough, until: math.MaxInt64,
		on: make([][]placed, len(in.table.bins)), kinds: make([]kindCount, len(in.group)),
		trees: make([]*split.Tree, len(in.blanks)), seen: map[string]bool{}, asked: map[componentQuestion]bool{}, failedPacks: map[packQuestion]bool{},
	}
	if in.bonds != nil {
		for range in.bonds.same {
			a.looks = append(a.looks, make([]int, len(in.table.looks)))
		}
	}
	for i := range in.table.bins {
		a.freeArea = append(a.freeArea, in.table.bins[i].area)
	}
	for i := range in.blanks {
		a.order = append(a.order, i)
	}
	// Whole pieces first, of these the ones that fit the fewest bins, then the
	// large ones. After them the pieces to split.
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
	a.ordered()
	return a
}

// ordered notes what depends on the order of the copies.
func (a *assignment) ordered() {
	a.depthOf = make([]int, len(a.order))
	for i, k := range a.order {
		a.depthOf[k] = i
		a.anyCuts = a.anyCuts || a.cuts[k] > 0
	}
	a.areaToCome = make([]float64, len(a.order)+1)
	for i := len(a.order) - 1; i >= 0; i-- {
		a.areaToCome[i] = a.areaToCome[i+1] + a.instance.blanks[a.order[i]].area
	}
}

// assignFrom assigns the copies from depth i on. True means stop altogether.
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
		if a.symmetric(k) || a.outOfTurn(k) {
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

// assign finds bins for the parts of a blank that is cut by k seams. It calls cont
// with each tree of cuts while the parts lie on their bins. True means stop
// altogether.
func (a *assignment) assign(ctx context.Context, b *blank, k int, cont func(*split.Tree) bool) bool {
	if w := a.table.options.blockOf(b.piece); w != nil {
		return a.assignBlock(ctx, b, w, k, cont)
	}
	switch k {
	case 0:
		return a.assignWhole(ctx, b, cont)
	case 1:
		return a.assignPair(ctx, b, cont)
	}
	for _, w := range a.ways() {
		if !w.Traits().Plain || b.cutBefore(w) {
			continue
		}
		for _, near := range []bool{true, false} {
			for _, s := range a.binsFor(0) {
				for _, room := range a.firstCutRanges(ctx, b, w, near, s) {
					if a.try() || ctx.Err() != nil {
						return true
					}
					if a.firstCut(ctx, b, w, room, near, s, k, cont) {
						return true
					}
					if a.backjumping {
						return false
					}
				}
			}
		}
	}
	return false
}

// assignWhole is assign for a blank that is not cut.
func (a *assignment) assignWhole(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	for _, s := range a.binsFor(b.area) {
		if a.try() || ctx.Err() != nil {
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

// try counts one try. True means that no more are wanted.
func (a *assignment) try() bool {
	a.table.work.Add(1)
	return a.spend(1)
}

// spend takes tries away, and pauses at the end of a time slice. True means that the
// tries have run out, or that no more are wanted.
func (a *assignment) spend(n int) bool {
	a.tries -= n
	a.work += int64(n)
	if a.other != nil && a.tries >= 0 && a.work >= a.other.turn {
		a.takeTurn()
	}
	if a.tries >= 0 && a.work >= a.until && !a.pause() {
		a.tries, a.halted = -1, true
	}
	if a.tries < 0 {
		a.incomplete = true
	}
	return a.tries < 0
}

// push lays a part on a bin beside what lies there. Whether several parts can lie
// together is asked later, when all have a bin, unless the answer is known.
func (a *assignment) push(ctx context.Context, s int, b *blank, leaf *split.Tree, minArea float64) bool {
	if a.clashes(a.order[a.depth], s) {
		return false
	}
	if a.exclusive || b.parent == nil { // else its level is a bound, or slides
		if _, ok := a.table.fitsOn(ctx, b, &a.table.bins[s]); !ok {
			return false
		}
	}
	if len(a.on[s]) > 0 {
		if minArea > a.heuristicSpare(s) {
			a.incomplete = a.incomplete || minArea <= a.freeArea[s]
			return false
		}
		if a.packingUnlikely(s, b) {
			a.incomplete = true
			return false
		}
	}
	a.put(s, placed{b, leaf, a.depth, minArea})
	return true
}

// put notes that a part lies on a bin.
func (a *assignment) put(s int, p placed) {
	a.on[s] = append(a.on[s], p)
	a.freeArea[s] -= p.minArea
	a.countKind(a.order[p.depth], s, 1)
	a.countLook(a.order[p.depth], s, 1)
}

// pop takes away the part that was pushed on a bin last.
func (a *assignment) pop(s int) {
	n := len(a.on[s]) - 1
	a.freeArea[s] += a.on[s][n].minArea
	a.countKind(a.order[a.on[s][n].depth], s, -1)
	a.countLook(a.order[a.on[s][n].depth], s, -1)
	a.on[s] = a.on[s][:n]
}

// with is the parts on a bin and some more.
func (a *assignment) with(s int, more ...*blank) []*blank {
	var parts []*blank
	for _, l := range a.on[s] {
		parts = append(parts, l.part)
	}
	return append(parts, more...)
}

// areaLeft is the area of all bins that may still take a part.
func (a *assignment) areaLeft() float64 {
	var sum float64
	for s, f := range a.freeArea {
		if !a.exclusive || len(a.on[s]) == 0 {
			sum += f
		}
	}
	return sum
}

// forwardCheck reports whether every whole piece still to come has a bin with
// enough area left. That one has none is certain.
func (a *assignment) forwardCheck(ctx context.Context, i int) bool {
	for _, k := range a.order[i:] {
		if a.cuts[k] > 0 {
			break
		}
		b, ok := a.instance.blanks[k], false
		for s := range a.table.bins {
			if a.exclusive && len(a.on[s]) > 0 || a.freeArea[s] < b.area || a.clashes(k, s) {
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

// packingUnlikely is a heuristic bound: this search has failed to pack a part with
// all that lies on a bin, or with one part of it. What other tasks have found out
// does not count, for it depends on which of them is ahead.
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
