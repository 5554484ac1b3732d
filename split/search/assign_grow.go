package search

import (
	"cmp"
	"context"
	"slices"

	"eke/split"
)

// Where many pieces share a pile, backtracking over all of them may end with nothing
// though a plan with some seams more is easily made. Growth is the constructive answer:
// one copy after the other gets the fewest seams that its bins and those of the copies
// before it allow (greedy insertion, as for schedules and routes: M. Solomon, "Algorithms
// for the vehicle routing and scheduling problems with time window constraints", 1987).
// What is cut stays on its bins, and may be moved about there. Where a copy finds no room
// one that has some is taken out, and both are assigned together. A copy that finds none
// even where nothing else is cut may need more seams than backtracking gives it: such ones
// are covered by the grid, from bins that are empty.

// growBudget is for each number of seams of each copy, growWork about how much work that
// may be, and growCopy for one copy.
var growBudget = budget{tries: 3000, poses: 6000, attempts: 2, lowerPoses: fewLowerPoses, fillMargin: 1, ranges: 6}

const (
	growWork = 60_000
	growCopy = 300_000
)

// growth makes a plan of an instance.
type growth struct {
	*instance
	pause func() bool // called now and then; false stops it

	covered map[string]bool // pieces that the grid covers, by their names
}

// grow is a plan, or nil. The largest copies come first; where one finds no room, it comes
// before all others the next time, as often as there are copies (D. Joslin, D. Clements,
// "Squeaky wheel optimization", 1999).
func (g *growth) grow(ctx context.Context) *split.Made {
	g.measure(ctx)
	if g.unsound || ctx.Err() != nil || g.area > g.table.cloth {
		return nil
	}
	order := make([]int, len(g.blanks))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(x, y int) int { return cmp.Compare(g.blanks[y].area, g.blanks[x].area) })
	g.covered = map[string]bool{}
	for tries := len(order); tries > 0; tries-- {
		trees, failed := g.growIn(ctx, order)
		if trees != nil {
			m, err := split.Make(g.plan(trees), g.table.options.AllowanceMM)
			if err != nil {
				return nil
			}
			return g.table.splitAlike(ctx, m)
		}
		if failed < 0 {
			return nil
		}
		k := order[failed]
		if failed == 0 {
			if name := g.pieces[k].Name; !g.covered[name] {
				g.covered[name] = true
				tries = len(order) + 1 // anew
				continue
			}
			return nil
		}
		order = slices.Insert(slices.Delete(order, failed, failed+1), 0, k)
	}
	return nil
}

// growIn is trees of cuts of all copies, assigned in an order, or else where in it the
// copy is that finds no room; negative where it is stopped.
func (g *growth) growIn(ctx context.Context, order []int) (trees []*split.Tree, failed int) {
	trees = make([]*split.Tree, len(g.blanks))
	for i, k := range order {
		if !g.pause() || ctx.Err() != nil {
			return nil, -1
		}
		grown := g.grownBy
		if g.covered[g.pieces[k].Name] {
			grown = g.coveredBy
		}
		if trees = grown(ctx, trees, k); trees == nil {
			return nil, i
		}
	}
	return trees, 0
}

// mostMakeWay is how many copies are asked to make way for another, by how many seams
// more that would be than the copies need at least.
var mostMakeWay = []int{8, 6, 4, 4, 4}

// grownBy is some trees of cuts and one more, of the copy k, with as few seams as
// growth finds for it; nil where it finds none. What is cut is looked for on empty bins
// first.
func (g *growth) grownBy(ctx context.Context, trees []*split.Tree, k int) []*split.Tree {
	others := g.makesWay(trees, k)
	all := slices.Repeat([]bool{true}, len(g.table.bins))
	empty := g.emptyBins(trees)
	spent := int64(0)
	try := func(copies, seams []int, bins []bool) []*split.Tree {
		if spent > growCopy || !g.pause() {
			return nil
		}
		before := g.table.work.Load()
		defer func() { spent += g.table.work.Load() - before }()
		return g.anew(ctx, trees, copies, seams, bins)
	}
	for more, most := range mostMakeWay {
		if g.minCuts[k]+more <= maxCuts {
			for _, bins := range [][]bool{empty, all} {
				if t := try([]int{k}, []int{g.minCuts[k] + more}, bins); t != nil {
					return t
				}
			}
		}
		for _, other := range others[:min(len(others), most)] {
			bins := slices.Clone(empty)
			for _, leaf := range trees[other].Leaves() {
				bins[leaf.Scrap] = true
			}
			sum := trees[other].Seams() + g.minCuts[k] + more
			for its := g.minCuts[other]; its <= sum-g.minCuts[k]; its++ {
				if max(its, sum-its) > maxCuts {
					continue
				}
				if t := try([]int{k, other}, []int{sum - its, its}, bins); t != nil {
					return t
				}
			}
		}
	}
	return nil
}

// coveredBy is some trees of cuts and one more, of the copy k, as the grid covers it; nil
// where it does not.
func (g *growth) coveredBy(ctx context.Context, trees []*split.Tree, k int) []*split.Tree {
	out := make([]*split.Tree, len(trees))
	on := &grid{assignment: newAssignment(g.instance, g.minCuts, true, budget{poses: gridPoses}, 1)}
	for i, t := range trees {
		if t == nil {
			continue
		}
		t = t.Clone()
		out[i] = t
		parts := g.table.leavesOf(g.blanks[i], t)
		if parts == nil {
			return nil
		}
		for n, leaf := range t.Leaves() {
			on.put(leaf.Scrap, placed{parts[n], leaf, on.depthOf[i], parts[n].area})
		}
	}
	on.depth = on.depthOf[k]
	for _, c := range on.covers(ctx, k, false) {
		on.lay(on.depth, c)
		if !slices.ContainsFunc(c.parts, func(p gridPart) bool { return !on.placeOn(ctx, p.bin) }) {
			out[k] = c.tree
			return out
		}
		on.lift(on.depth)
	}
	return nil
}

// emptyBins says of each bin whether nothing lies on it.
func (in *instance) emptyBins(trees []*split.Tree) []bool {
	empty := slices.Repeat([]bool{true}, len(in.table.bins))
	for _, t := range trees {
		if t == nil {
			continue
		}
		for _, leaf := range t.Leaves() {
			empty[leaf.Scrap] = false
		}
	}
	return empty
}

// makesWay are the copies that may make way for the copy k, those that are cut first,
// and then the smallest.
func (in *instance) makesWay(trees []*split.Tree, k int) (out []int) {
	for i, t := range trees {
		if t != nil && slices.ContainsFunc(t.Leaves(), func(leaf *split.Tree) bool {
			return in.table.allowed(in.blanks[k].piece, in.table.bins[leaf.Scrap].scrap)
		}) {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(x, y int) int {
		return cmp.Or(cmp.Compare(trees[y].Seams(), trees[x].Seams()), cmp.Compare(in.blanks[x].area, in.blanks[y].area))
	})
	return out
}
