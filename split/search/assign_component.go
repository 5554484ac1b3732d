package search

import (
	"context"
	"slices"
	"sort"

	"eke/split/fit"
)

// component is bins that are coupled: pieces are cut between them.
type component struct {
	bins   []int
	cuts   []slidingCut
	depths []int // of the copies that have parts here
}

// wide reports whether some cut slides back with the cut before it.
func (c *component) wide() bool {
	return slices.ContainsFunc(c.cuts, func(c slidingCut) bool { return c.wide })
}

// components groups the bins in use, in the order of the depth of their last copy:
// a failure in the first of them rules out the most.
func (a *assignment) components() []*component {
	of := make([]int, len(a.on)) // union-find: bins point to a bin of their group
	for s := range of {
		of[s] = s
	}
	var root func(int) int
	root = func(s int) int {
		if of[s] != s {
			of[s] = root(of[s])
		}
		return of[s]
	}
	home := make([]int, len(a.order)) // a bin of each copy
	for i := range home {
		home[i] = -1
	}
	for s, parts := range a.on {
		for _, l := range parts {
			if home[l.depth] < 0 {
				home[l.depth] = s
			}
			a, b := root(s), root(home[l.depth])
			of[max(a, b)] = min(a, b)
		}
	}
	groups := map[int]*component{}
	var out []*component
	for i, s := range home {
		if s < 0 {
			continue // not assigned yet
		}
		comp := groups[root(s)]
		if comp == nil {
			comp = &component{}
			groups[root(s)] = comp
			out = append(out, comp)
		}
		comp.depths = append(comp.depths, i)
	}
	for s, parts := range a.on {
		if len(parts) > 0 {
			comp := groups[root(s)]
			comp.bins = append(comp.bins, s)
		}
	}
	for _, c := range a.sliding {
		comp := groups[root(home[c.depth])]
		comp.cuts = append(comp.cuts, c)
	}
	sort.SliceStable(out, func(a, b int) bool {
		x, y := out[a].depths, out[b].depths
		return x[len(x)-1] < y[len(y)-1]
	})
	return out
}

// solveComponent finds levels and places for the parts of a component.
func (a *assignment) solveComponent(ctx context.Context, comp *component) bool {
	if len(comp.cuts) == 0 {
		return a.packBin(ctx, comp.bins[0])
	}
	if a.separate(ctx, comp) {
		return true
	}
	if a.exclusive {
		return false
	}
	r := a.relax(ctx, comp)
	if r == nil {
		return false
	}
	question := a.componentQuestion(comp)
	if !a.asked[question] {
		a.asked[question] = true
		a.work += attemptCharge * int64(a.attempts)
		if a.spend(componentTries) {
			return false
		}
	}
	return a.solveLevels(ctx, comp, r, question)
}

// What a component is charged to its task: work for each attempt at its levels, and
// tries. Both are less than it takes, for few components come so far, and the right
// one may be the last.
const (
	attemptCharge  = 800
	componentTries = 200
)

// relax is the area relaxation of a component, or nil where a heuristic bound
// speaks against it.
func (a *assignment) relax(ctx context.Context, comp *component) *relaxation {
	if a.areaUnlikely(comp) {
		return nil
	}
	r := newRelaxation(a, comp)
	if r.totalUnlikely() {
		return nil
	}
	least := a.lowerParts(comp)
	if a.lowerAreaUnlikely(comp, least) {
		return nil
	}
	r.balance(sharedFills[0])
	if r.fillUnlikely() || a.lowerPackUnlikely(ctx, comp, least) {
		return nil
	}
	return r
}

// areaUnlikely is a heuristic bound: the pieces of a component have more area than
// its bins may be filled with.
func (a *assignment) areaUnlikely(comp *component) bool {
	pieces, cloth := 0.0, 0.0
	for _, i := range comp.depths {
		pieces += a.instance.blanks[a.order[i]].area
	}
	for _, s := range comp.bins {
		cloth += a.table.bins[s].area
		if len(a.on[s]) > 1 {
			cloth -= (1 - a.evenFill(s)) * a.table.bins[s].area
		}
	}
	return pieces > cloth
}

// packBin packs whole pieces on a bin.
func (a *assignment) packBin(ctx context.Context, s int) bool {
	if at := a.standing(s); at != nil {
		a.lay(s, at)
		return true
	}
	if len(a.on[s]) > 1 && a.spend(max(1, a.poses/300)) {
		return false
	}
	at, ok := a.table.packTogether(ctx, a.with(s), &a.table.bins[s], a.poses)
	if !ok {
		_, question := packQuestionOf(a.with(s), &a.table.bins[s], a.poses)
		a.failedPacks[question] = true
		return false
	}
	a.lay(s, at)
	return true
}

// lay notes where the parts on a bin lie.
func (a *assignment) lay(s int, at []fit.Placement) {
	for i, l := range a.on[s] {
		l.leaf.Placement = at[i]
	}
}

// separate reports whether every part of a component has its bin for itself, and
// fits it as it was cut.
func (a *assignment) separate(ctx context.Context, comp *component) bool {
	for _, s := range comp.bins {
		if len(a.on[s]) > 1 {
			return false
		}
	}
	for _, s := range comp.bins {
		l := a.on[s][0]
		at, ok := a.table.fitsOn(ctx, l.part, &a.table.bins[s])
		if !ok {
			return false
		}
		l.leaf.Placement = at
	}
	return true
}
