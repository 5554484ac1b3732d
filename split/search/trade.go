package search

import (
	"context"
	"sort"

	"eke/split"
)

// slidingCut is a cut that may move: what one of its sides gives up the other
// takes, between levels that are known bounds.
type slidingCut struct {
	tree  *split.Tree
	depth int // the copy's place in the order of dealing
	room  split.Span
	// The levels at which it may run.
	spans []split.Span
	// Whether the rest of the piece is cut again.
	first bool
	limit float64 // where it was dealt
}

// component is scraps that depend on each other: pieces are cut between them.
type component struct {
	scraps []int
	cuts   []slidingCut
	depths []int // of the copies that have parts here
}

// components groups the scraps in use, those first whose parts were dealt
// earliest, for what is wrong with them rules out the most.
func (a *assignment) components() []*component {
	of := make([]int, len(a.on)) // scraps point to a scrap of their group
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
	home := make([]int, len(a.order)) // a scrap of each copy
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
			continue // not dealt yet
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
			comp.scraps = append(comp.scraps, s)
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

// solveComponents finds levels and places for everything dealt. It sets the leaves'
// placements and gives nil, or the turns of the copies that had a say in the
// failure.
func (a *assignment) solveComponents(ctx context.Context) []int {
	for _, comp := range a.components() {
		if ctx.Err() != nil || !a.solveComponent(ctx, comp) {
			return comp.depths
		}
	}
	return nil
}

func (a *assignment) solveComponent(ctx context.Context, comp *component) bool {
	if len(comp.cuts) == 0 {
		return a.packBin(ctx, comp.scraps[0])
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
		a.work += attemptWork * int64(a.attempts)
		if a.spend(componentTries) {
			return false
		}
	}
	return a.solveLevels(ctx, comp, r, question)
}

// attemptWork is about how many tries take as long as one attempt at a trade's
// levels. Of a task's own tries a trade takes fewer: there are few trades that
// come so far, and the right one may be the last.
const (
	attemptWork    = 800
	componentTries = 200
)

// relax is the areas of a trade, or nil when they or the least that its parts
// can be are too much for some scrap.
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
	if r.fillUnlikely() || !a.lowerPartsFit(ctx, comp, least) {
		return nil
	}
	return r
}

// areaUnlikely reports whether a trade's pieces have more area than its scraps may
// have taken.
func (a *assignment) areaUnlikely(comp *component) bool {
	pieces, cloth := 0.0, 0.0
	for _, i := range comp.depths {
		pieces += a.instance.blanks[a.order[i]].area
	}
	for _, s := range comp.scraps {
		cloth += a.table.bins[s].area
		if len(a.on[s]) > 1 {
			cloth -= (1 - a.evenFill(s)) * a.table.bins[s].area
		}
	}
	return pieces > cloth
}

// promising reports whether what has been dealt so far may come to something:
// the scraps of the copy dealt last are not too full already.
func (a *assignment) promising(ctx context.Context) bool {
	if a.exclusive {
		return true
	}
	if a.forced(a.depth + 1) {
		return true // there is nothing to choose before that lies too
	}
	putOff := a.forced(a.depth)
	for _, comp := range a.components() {
		if comp.depths[len(comp.depths)-1] != a.depth && !putOff {
			continue
		}
		if len(comp.cuts) > 0 {
			return a.relax(ctx, comp) != nil
		}
		if !a.packBin(ctx, comp.scraps[0]) {
			return false
		}
	}
	return true
}

// forced reports whether the copy at that place in the order stays whole and
// fits one scrap only. Such copies are dealt first, and packed when all are.
func (a *assignment) forced(depth int) bool {
	k := a.order[depth]
	return a.cuts[k] == 0 && a.instance.wholeBins[k] == 1
}

// packBin packs whole pieces on a scrap.
func (a *assignment) packBin(ctx context.Context, s int) bool {
	if len(a.on[s]) > 1 && a.spend(max(1, a.poses/300)) {
		return false
	}
	at, ok := a.table.packTogether(ctx, a.with(s), &a.table.bins[s], a.poses)
	if !ok {
		_, question := packQuestionOf(a.with(s), &a.table.bins[s], a.poses)
		a.failedPacks[question] = true
		return false
	}
	for i, l := range a.on[s] {
		l.leaf.Placement = at[i]
	}
	return true
}

// separate reports whether every part of a trade has its scrap for itself, and
// lies on it as it was dealt.
func (a *assignment) separate(ctx context.Context, comp *component) bool {
	for _, s := range comp.scraps {
		if len(a.on[s]) > 1 {
			return false
		}
	}
	for _, s := range comp.scraps {
		l := a.on[s][0]
		at, ok := a.table.fitsOn(ctx, l.part, &a.table.bins[s])
		if !ok {
			return false
		}
		l.leaf.Placement = at
	}
	return true
}
