package search

import (
	"context"

	"eke/split"
)

// emitPlan packs every bin as assigned, with the cuts slid where that helps, and
// makes a plan of it. True means stop. Where a component cannot be packed, the
// search jumps back to the last copy that has a part in it.
func (a *assignment) emitPlan(ctx context.Context) bool {
	undo := a.saveLevels()
	defer undo()
	if failed := a.solveComponents(ctx); failed != nil {
		a.incomplete = true // too full, as far as packing can tell
		if !a.exclusive && a.stands == nil && ctx.Err() == nil {
			a.noteNearMiss(failed)
		}
		a.backjumping, a.backjumpTo = true, 0
		for _, depth := range failed.depths {
			a.backjumpTo = max(a.backjumpTo, depth)
		}
		return ctx.Err() != nil || a.tries < 0
	}
	if a.stands != nil {
		return a.emitTrees()
	}
	m, err := split.Make(a.instance.plan(a.trees), a.table.options.AllowanceMM)
	if err == nil {
		m = a.table.splitAlike(ctx, m)
	}
	if err != nil || m == nil {
		a.incomplete = true
		return false
	}
	if s := exactSignature(m); !a.seen[s] {
		a.seen[s] = true
		a.plans = append(a.plans, m)
	}
	return len(a.plans) >= a.enough
}

// saveLevels remembers the levels of all cuts, and returns the call that restores
// them.
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

// promising reports whether no heuristic bound speaks against what is assigned so
// far. Only the component of the copy assigned last is asked, for the others have
// not changed.
func (a *assignment) promising(ctx context.Context) bool {
	if a.exclusive {
		return true
	}
	if a.forced(a.depth + 1) {
		return true // there is no choice until that one has its bin, too
	}
	putOff := a.forced(a.depth)
	for _, comp := range a.components() {
		if comp.depths[len(comp.depths)-1] != a.depth && !putOff {
			continue
		}
		if len(comp.cuts) > 0 {
			return a.relax(ctx, comp) != nil
		}
		if !a.packBin(ctx, comp.bins[0]) {
			return false
		}
	}
	return true
}

// forced reports whether the copy at that depth stays whole and fits one bin only.
// Such copies come first, and are packed when all of them have their bin.
func (a *assignment) forced(depth int) bool {
	k := a.order[depth]
	return a.cuts[k] == 0 && a.instance.wholeBins[k] == 1
}

// solveComponents finds levels and places for all that is assigned. It sets the
// placements of the leaves and returns nil, or else the component that failed: the
// depths of its copies are the conflict set.
func (a *assignment) solveComponents(ctx context.Context) *component {
	for _, comp := range a.components() {
		if ctx.Err() != nil || !a.solveComponent(ctx, comp) {
			return comp
		}
	}
	return nil
}
