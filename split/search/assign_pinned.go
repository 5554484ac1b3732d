package search

import (
	"context"
	"slices"

	"eke/split"
	"eke/split/fit"
)

// anew is some trees of cuts, nil for copies that have none yet, with those of some
// copies made anew, each with so many seams and from some of the bins. It is nil where
// there is no room for that.
func (in *instance) anew(ctx context.Context, trees []*split.Tree, copies, seams []int, bins []bool) []*split.Tree {
	if ctx.Err() != nil || !slices.Contains(bins, true) {
		return nil
	}
	in.table.work.Add(pinWork)
	p := in.pinned(trees, copies, bins)
	if p == nil {
		return nil
	}
	cuts := make([]int, len(p.instance.blanks))
	for i := range copies {
		cuts[len(p.leaves)+i] = seams[i]
	}
	a := newAssignment(p.instance, cuts, false, growBudget, 1)
	a.emptiestFirst = slices.Max(seams) > 0
	a.only, a.stands = p.only, append([]*split.Tree{}, p.leaves...)
	last := in.table.work.Load() + growWork
	a.until = 0
	a.pause = func() bool {
		const slice = 50
		a.until = a.work + slice
		return in.table.work.Load() < last
	}
	a.assignFrom(ctx, 0)
	if a.made == nil {
		return nil
	}
	for i, leaf := range p.leaves {
		leaf.Placement = a.made[i].Placement
	}
	for i, k := range copies {
		p.trees[k] = a.made[len(p.leaves)+i]
	}
	return p.trees
}

// pinned is an instance in which the parts of some copies stand as they are cut, each for
// the bin that it lies on, and other copies are to be assigned beside them.
type pinned struct {
	instance *instance
	only     [][]bool      // bins of each blank, see assignment
	trees    []*split.Tree // of the copies that stand
	leaves   []*split.Tree // of these, a blank of the instance each; the other copies come after them
}

// pinned is nil where a copy cannot be cut like its tree.
func (in *instance) pinned(trees []*split.Tree, free []int, bins []bool) *pinned {
	p := &pinned{instance: &instance{table: in.table, moves: in.moves, measured: true}}
	sub := p.instance
	var groups []int // of the copies, in the order of those of the instance
	add := func(k int, b *blank, only []bool, minCuts, wholeBins int) {
		sub.blanks, sub.pieces = append(sub.blanks, b), append(sub.pieces, in.pieces[k])
		sub.twin, sub.mirror = append(sub.twin, -1), append(sub.mirror, -1)
		sub.minCuts, sub.wholeBins = append(sub.minCuts, minCuts), append(sub.wholeBins, wholeBins)
		sub.area += b.area
		if in.kinds != nil {
			sub.kinds = append(sub.kinds, in.kindOf(k))
		}
		if in.group != nil {
			g := slices.Index(groups, in.group[k])
			if g < 0 {
				g, groups = len(groups), append(groups, in.group[k])
			}
			sub.group = append(sub.group, g)
		}
		p.only = append(p.only, only)
	}
	for k, t := range trees {
		if t == nil || slices.Contains(free, k) {
			p.trees = append(p.trees, nil)
			continue
		}
		t = t.Clone()
		p.trees = append(p.trees, t)
		blanks := in.table.leavesOf(in.blanks[k], t)
		if blanks == nil {
			return nil
		}
		for i, leaf := range t.Leaves() {
			only := make([]bool, len(in.table.bins))
			only[leaf.Scrap] = true
			add(k, blanks[i], only, 0, 1)
			p.leaves = append(p.leaves, leaf)
		}
	}
	for _, k := range free {
		add(k, in.blanks[k], bins, in.minCuts[k], in.wholeBins[k])
	}
	if in.bonds != nil {
		sub.bonds = bondsOf(sub.blanks, in.table.options.Wishes, in.table.options.tidy)
	}
	sub.fills = sub.evenFills()
	return p
}

// leavesOf are the parts that a tree of cuts makes of a blank, in the order of its
// leaves; nil where it cannot be cut so.
func (t *table) leavesOf(b *blank, tree *split.Tree) []*blank {
	if tree.Way == nil {
		return []*blank{b}
	}
	near, far := t.cutAt(b, tree.Way, tree.LevelMM)
	if near == nil {
		return nil
	}
	x, y := t.leavesOf(near, tree.Near), t.leavesOf(far, tree.Far)
	if x == nil || y == nil {
		return nil
	}
	return append(x, y...)
}

// standing is where the parts on a bin lie, if all of them stand there.
func (a *assignment) standing(s int) (at []fit.Placement) {
	for _, l := range a.on[s] {
		k := a.order[l.depth]
		if k >= len(a.stands) {
			return nil
		}
		at = append(at, a.stands[k].Placement)
	}
	return at
}

// emitTrees keeps the trees of what is assigned, if each can be made by itself.
func (a *assignment) emitTrees() bool {
	for k, t := range a.trees {
		one := &split.Plan{Pieces: a.instance.pieces[k : k+1], Trees: a.trees[k : k+1]}
		if t.Way == nil {
			continue
		}
		if _, err := split.Make(one, a.table.options.AllowanceMM); err != nil {
			return false
		}
	}
	a.made = split.CloneTrees(a.trees)
	return true
}
