package search

import (
	"context"
	"sort"

	"eke/split"
)

// sliding is a cut that may move: what one of its sides gives up the other
// takes, between levels that are known bounds.
type sliding struct {
	tree *split.Tree
	turn int // the copy's place in the order of dealing
	room split.Span
	// The levels at which it may run.
	spans []split.Span
	// Whether the rest of the piece is cut again.
	bite  bool
	limit float64 // where it was dealt
}

// trade is scraps that depend on each other: pieces are cut between them.
type trade struct {
	scraps []int
	cuts   []sliding
	turns  []int // of the copies that have parts here
}

// trades groups the scraps in use, those first whose parts were dealt
// earliest, for what is wrong with them rules out the most.
func (d *dealing) trades() []*trade {
	of := make([]int, len(d.content)) // scraps point to a scrap of their group
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
	home := make([]int, len(d.order)) // a scrap of each copy
	for t := range home {
		home[t] = -1
	}
	for s, parts := range d.content {
		for _, l := range parts {
			if home[l.turn] < 0 {
				home[l.turn] = s
			}
			a, b := root(s), root(home[l.turn])
			of[max(a, b)] = min(a, b)
		}
	}
	groups := map[int]*trade{}
	var out []*trade
	for t, s := range home {
		if s < 0 {
			continue // not dealt yet
		}
		g := groups[root(s)]
		if g == nil {
			g = &trade{}
			groups[root(s)] = g
			out = append(out, g)
		}
		g.turns = append(g.turns, t)
	}
	for s, parts := range d.content {
		if len(parts) > 0 {
			g := groups[root(s)]
			g.scraps = append(g.scraps, s)
		}
	}
	for _, c := range d.cuts {
		g := groups[root(home[c.turn])]
		g.cuts = append(g.cuts, c)
	}
	sort.SliceStable(out, func(a, b int) bool {
		x, y := out[a].turns, out[b].turns
		return x[len(x)-1] < y[len(y)-1]
	})
	return out
}

// settle finds levels and places for everything dealt. It sets the leaves'
// placements and gives nil, or the turns of the copies that had a say in the
// failure.
func (d *dealing) settle(ctx context.Context) []int {
	for _, g := range d.trades() {
		if ctx.Err() != nil || !d.settleTrade(ctx, g) {
			return g.turns
		}
	}
	return nil
}

func (d *dealing) settleTrade(ctx context.Context, g *trade) bool {
	if len(g.cuts) == 0 {
		return d.packWhole(ctx, g.scraps[0])
	}
	if d.allAlone(ctx, g) {
		return true
	}
	if d.exclusive {
		return false
	}
	w := d.weigh(ctx, g)
	if w == nil {
		return false
	}
	key := d.tradeKey(g)
	if !d.asked[key] {
		d.asked[key] = true
		d.work += attemptWork * int64(d.attempts)
		if d.spend(trialTries) {
			return false
		}
	}
	return d.slideAndPack(ctx, g, w, key)
}

// attemptWork is about how many tries take as long as one attempt at a trade's
// levels. Of a task's own tries a trade takes fewer: there are few trades that
// come so far, and the right one may be the last.
const (
	attemptWork = 800
	trialTries  = 200
)

// weigh is the areas of a trade, or nil when they or the least that its parts
// can be are too much for some scrap.
func (d *dealing) weigh(ctx context.Context, g *trade) *weighing {
	if d.tooMuch(g) {
		return nil
	}
	w := newWeighing(d, g)
	if w.exceeds() {
		return nil
	}
	least := d.leastParts(g)
	if d.overfull(g, least) {
		return nil
	}
	w.balance(sharedFills[0])
	if w.tooFull() || !d.leastFit(ctx, g, least) {
		return nil
	}
	return w
}

// tooMuch reports whether a trade's pieces have more area than its scraps may
// have taken.
func (d *dealing) tooMuch(g *trade) bool {
	pieces, cloth := 0.0, 0.0
	for _, t := range g.turns {
		pieces += d.job.blanks[d.order[t]].area
	}
	for _, s := range g.scraps {
		cloth += d.table.sites[s].area
		if len(d.content[s]) > 1 {
			cloth -= (1 - d.evenFill(s)) * d.table.sites[s].area
		}
	}
	return pieces > cloth
}

// promises reports whether what has been dealt so far may come to something:
// the scraps of the copy dealt last are not too full already.
func (d *dealing) promises(ctx context.Context) bool {
	if d.exclusive {
		return true
	}
	if d.forced(d.dealt + 1) {
		return true // there is nothing to choose before that lies too
	}
	putOff := d.forced(d.dealt)
	for _, g := range d.trades() {
		if g.turns[len(g.turns)-1] != d.dealt && !putOff {
			continue
		}
		if len(g.cuts) > 0 {
			return d.weigh(ctx, g) != nil
		}
		if !d.packWhole(ctx, g.scraps[0]) {
			return false
		}
	}
	return true
}

// forced reports whether the copy at that place in the order stays whole and
// fits one scrap only. Such copies are dealt first, and packed when all are.
func (d *dealing) forced(turn int) bool {
	k := d.order[turn]
	return d.ks[k] == 0 && d.job.homes[k] == 1
}

// packWhole packs whole pieces on a scrap.
func (d *dealing) packWhole(ctx context.Context, s int) bool {
	if len(d.content[s]) > 1 && d.spend(max(1, d.poses/300)) {
		return false
	}
	at, ok := d.table.together(ctx, d.with(s), &d.table.sites[s], d.poses)
	if !ok {
		_, key := packKey(d.with(s), &d.table.sites[s], d.poses)
		d.failed[key] = true
		return false
	}
	for i, l := range d.content[s] {
		l.leaf.Placement = at[i]
	}
	return true
}

// allAlone reports whether every part of a trade has its scrap for itself, and
// lies on it as it was dealt.
func (d *dealing) allAlone(ctx context.Context, g *trade) bool {
	for _, s := range g.scraps {
		if len(d.content[s]) > 1 {
			return false
		}
	}
	for _, s := range g.scraps {
		l := d.content[s][0]
		at, ok := d.table.fitsOn(ctx, l.part, &d.table.sites[s])
		if !ok {
			return false
		}
		l.leaf.Placement = at
	}
	return true
}
