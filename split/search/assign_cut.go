package search

import (
	"context"
	"math"
	"slices"

	"eke/split"
)

// oneLevelMM is how long a span of levels may be, by rounding, that is one level.
const oneLevelMM = 1e-6

// firstCutRanges are where a first cut may run, so that the part beside it still lies on
// a bin: all levels up to as far as the bin allows, or these in ranges that are the
// same for every bin, but for the furthest. It comes first, for it leaves the least.
func (a *assignment) firstCutRanges(ctx context.Context, b *blank, w split.Way, near bool, s int) (out []split.Span) {
	limit, ok := a.levelBound(ctx, b, w, near, s)
	if !ok {
		return nil
	}
	if a.welcomeOnly() {
		for _, l := range welcomeLevels(b, w) {
			if near && l <= limit || !near && l >= limit {
				out = append(out, split.Span{Lo: l, Hi: l})
			}
		}
		return out
	}
	spans := b.spansOf(w)
	from, to := ends(spans, near)
	n, parts := 1.0, float64(max(1, a.ranges))
	if a.ranges > 1 && !a.exclusive && math.Abs(to-from) > oneLevelMM {
		const least = 0.3 // of a range, that the furthest has
		n = max(1, min(parts, math.Ceil(parts*(limit-from)/(to-from)-least)))
	}
	for k := n; k > 0; k-- {
		most, least := limit, from+(k-1)/parts*(to-from)
		if k < n {
			most = from + k/parts*(to-from)
		}
		most, ok = toward(spans, near, most)
		if !ok || near && most < least || !near && most > least {
			continue
		}
		out = append(out, split.Span{Lo: min(least, most), Hi: max(least, most)})
	}
	return out
}

// firstCut cuts off a part for bin s, as large as the room of the cut lets it be, and
// assigns what remains with one seam fewer.
func (a *assignment) firstCut(ctx context.Context, b *blank, w split.Way, room split.Span, near bool, s, k int, cont func(*split.Tree) bool) bool {
	level, end := room.Hi, room.Lo
	if !near {
		level, end = end, level
	}
	part, rest := a.table.cutAt(b, w, level)
	if !near {
		part, rest = rest, part
	}
	tree := &split.Tree{Way: w, LevelMM: level}
	leaf := &split.Tree{Scrap: s}
	if part == nil || !a.push(ctx, s, part, leaf, lowerBoundArea(b, w, end, near)) {
		return false
	}
	defer a.pop(s)
	defer a.addSliding(b, tree, room, true)()
	return a.assign(ctx, rest, k-1, func(t *split.Tree) bool {
		tree.Near, tree.Far = leaf, t
		if !near {
			tree.Near, tree.Far = t, leaf
		}
		return cont(tree)
	})
}

// assignPair is assign for a blank that is cut once: near goes to one bin, far to
// another. Where a part lies alone, its critical level leaves the least for the
// other one, so that one packing decides.
func (a *assignment) assignPair(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	bins := a.binsFor(0)
	for _, w := range a.ways() {
		if !w.Traits().Plain && !a.nonStraight || b.cutBefore(w) {
			continue
		}
		spans := b.spansOf(w)
		if len(spans) == 0 {
			continue
		}
		most, least := a.extents(ctx, b, w, true), a.extents(ctx, b, w, false)
		slides := a.wide && !a.exclusive && b.parent != nil && b.by == w // with the cut before it
		for _, s := range bins {
			far := a.farBins(bins, s)
			if !slides {
				far = slices.DeleteFunc(slices.Clone(far), func(r int) bool { return least[r] > most[s] })
			}
			if len(far) == 0 {
				continue
			}
			hi, ok := a.levelBound(ctx, b, w, true, s)
			if slides && !ok { // the part may lie before where the first cut was made
				hi, ok = a.table.stripReach(ctx, b.parent, w, &a.table.bins[s])
				hi = min(hi, spans[0].Lo)
			}
			if !ok {
				continue
			}
			for _, r := range far {
				if s == r && a.exclusive || least[r] > hi {
					continue
				}
				lo, ok := a.levelBound(ctx, b, w, false, r)
				if !ok || lo > hi {
					continue
				}
				low, ok1 := split.Up(spans, lo)
				high, ok2 := split.Down(spans, hi)
				if slides && ok1 && !ok2 { // cut where it can be, to slide back
					high, ok2 = low, true
				}
				if !ok1 || !ok2 || low > high {
					continue
				}
				if a.try() || ctx.Err() != nil {
					return true
				}
				room := split.Span{Lo: low, Hi: high}
				slide := room
				if slides {
					slide = split.Span{Lo: min(low, lo), Hi: max(min(high, hi), lo)}
				}
				if a.tryRoom(ctx, b, w, room, slide, s, r, cont) {
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

// tryRoom is tryPair wherever in its room the blank may be cut.
func (a *assignment) tryRoom(ctx context.Context, b *blank, w split.Way, room, slides split.Span, s, r int, cont func(*split.Tree) bool) bool {
	if !a.welcomeOnly() {
		return a.tryPair(ctx, b, w, room, slides, s, r, cont)
	}
	for _, l := range welcomeLevels(b, w) {
		if l < room.Lo || l > room.Hi {
			continue
		}
		only := split.Span{Lo: l, Hi: l}
		if stop := a.tryPair(ctx, b, w, only, only, s, r, cont); stop || a.backjumping {
			return stop
		}
	}
	return false
}

// welcomeLevels are those at which a blank can be cut and the cut is welcome.
func welcomeLevels(b *blank, w split.Way) (out []float64) {
	spans := b.spansOf(w)
	for _, l := range w.Welcome(b.Body) {
		if split.In(spans, l) && !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	return out
}

// meetMarginMM is by how much parts may miss each other by their extents, which are
// coarse on both sides.
const meetMarginMM = coarseLevelMM

// extents are how far a part may reach on each bin by its extents and its area. Of
// most pairs of bins that is enough to tell that they do not hold a blank, and no part
// need be placed.
func (a *assignment) extents(ctx context.Context, b *blank, w split.Way, near bool) []float64 {
	none, all := math.Inf(-1), math.Inf(1)
	if !near {
		none, all = all, none
	}
	out := make([]float64, len(a.table.bins))
	for s := range out {
		out[s] = all
		if a.exclusive {
			continue
		}
		if level, ok := a.table.furthestByExtent(ctx, b, w, near, &a.table.bins[s]); ok {
			out[s] = further(near, level, meetMarginMM)
		} else {
			out[s] = none
		}
	}
	return out
}

// tryPair cuts a blank once, with near on bin s and far on bin r. Room is where it may
// be cut as it is, slides how far the cut may slide when the cut before it does.
func (a *assignment) tryPair(ctx context.Context, b *blank, w split.Way, room, slides split.Span, s, r int, cont func(*split.Tree) bool) bool {
	if !a.narrowFirstCut(ctx, b, w, slides, s) {
		return false
	}
	level := a.startLevel(b, w, room)
	near, far := a.table.cutAt(b, w, level)
	if near == nil {
		return false
	}
	tree := &split.Tree{Way: w, LevelMM: level, Near: &split.Tree{Scrap: s}, Far: &split.Tree{Scrap: r}}
	if !a.push(ctx, s, near, tree.Near, lowerBoundArea(b, w, slides.Lo, true)) {
		return false
	}
	defer a.pop(s)
	if !a.push(ctx, r, far, tree.Far, lowerBoundArea(b, w, slides.Hi, false)) {
		return false
	}
	defer a.pop(r)
	defer a.addSliding(b, tree, slides, false)()
	a.sliding[len(a.sliding)-1].wide = slides != room
	return cont(tree)
}

// startLevel is the level at which a pair is cut at first: where the seam is
// welcome, or else in the middle of where both parts fit their bins alone. A cut
// in a component slides on from there.
func (a *assignment) startLevel(b *blank, w split.Way, room split.Span) float64 {
	spans := b.spansOf(w)
	for _, l := range w.Welcome(b.Body) {
		if l >= room.Lo && l <= room.Hi && split.In(spans, l) {
			return l
		}
	}
	if mid, ok := split.Down(spans, (room.Lo+room.Hi)/2); ok && mid > room.Lo {
		return mid
	}
	if mid, ok := split.Up(spans, (room.Lo+room.Hi)/2); ok && mid < room.Hi {
		return mid
	}
	return room.Lo
}

// narrowFirstCut narrows the room of the first cut that was made before this one.
// Where both are made the same way, the part between them is to lie on bin s, and it
// must reach at least to the start of this cut's room. So the first cut can run no
// lower than that bin allows. False means that no room is left. The narrowing need not
// be undone: every pair after the same first cut sets that room anew.
func (a *assignment) narrowFirstCut(ctx context.Context, b *blank, w split.Way, room split.Span, s int) bool {
	if a.exclusive || b.parent == nil || len(a.sliding) == 0 {
		return true
	}
	c := &a.sliding[len(a.sliding)-1]
	if !c.first || c.depth != a.depth {
		return true
	}
	c.room = c.reach
	if b.by != w {
		return true
	}
	l, ok := a.table.middleReach(ctx, b.parent, w, room.Lo, &a.table.bins[s])
	c.room.Lo = max(c.room.Lo, l)
	return ok && c.room.Lo <= c.room.Hi
}

// addSliding notes that a cut may slide, and returns the call that forgets it.
func (a *assignment) addSliding(b *blank, tree *split.Tree, room split.Span, first bool) func() {
	a.sliding = append(a.sliding, slidingCut{tree: tree, depth: a.depth, room: room, spans: b.spansOf(tree.Way), first: first, reach: room, fixed: a.welcomeOnly()})
	return func() { a.sliding = a.sliding[:len(a.sliding)-1] }
}

// slidingCut is a cut that may move within its room, which the bounds give. What
// one of its sides gives up the other takes.
type slidingCut struct {
	tree  *split.Tree
	depth int // of its copy
	room  split.Span
	spans []split.Span // the levels at which it may run
	first bool         // whether the rest of the piece is cut again
	reach split.Span   // its room as it was assigned
	wide  bool         // whether it slides back with the cut before it
	fixed bool         // whether its room is all that it has
}

// levelBound is how far a part can go on a bin at most: alone, and by the area that
// is left there. Where bins may be shared it is coarse and heuristic, for the cuts
// slide to their levels later.
func (a *assignment) levelBound(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	if len(b.spansOf(w)) == 0 {
		return 0, false
	}
	ask := a.table.furthestHeuristic
	if a.exclusive {
		ask = a.table.furthest
	}
	level, ok := ask(ctx, b, w, near, &a.table.bins[s])
	if !ok || len(a.on[s]) == 0 {
		return level, ok
	}
	area := func(level float64) float64 { return lowerBoundArea(b, w, level, near) }
	if area(level) <= a.heuristicSpare(s) {
		return level, true
	}
	// The area falls as the level draws back.
	bad := level
	good, _ := ends(b.spansOf(w), near)
	if area(good) > a.heuristicSpare(s) {
		return 0, false
	}
	for math.Abs(good-bad) > 1 {
		if mid := (good + bad) / 2; area(mid) > a.heuristicSpare(s) {
			bad = mid
		} else {
			good = mid
		}
	}
	return bad, true
}

// lowerBoundArea is the area of a part of a cut without the allowance of the new
// edge.
func lowerBoundArea(b *blank, w split.Way, level float64, near bool) float64 {
	return split.HalfArea(b.cut, w.Line(b.Body, level), near)
}
