package search

import (
	"context"
	"math"
	"slices"

	"eke/split"
)

// firstCutLevel is the level at which a first part is cut off a piece that is to be
// cut again: as far as the scrap allows, so that the least remains.
func (a *assignment) firstCutLevel(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	limit, ok := a.levelBound(ctx, b, w, near, s)
	if !ok {
		return 0, false
	}
	if near {
		return split.Down(b.spansOf(w), limit)
	}
	return split.Up(b.spansOf(w), limit)
}

func (a *assignment) firstCut(ctx context.Context, b *blank, w split.Way, level float64, near bool, s, k int, cont func(*split.Tree) bool) bool {
	part, rest := a.table.cutAt(b, w, level)
	if !near {
		part, rest = rest, part
	}
	tree := &split.Tree{Way: w, LevelMM: level}
	leaf := &split.Tree{Scrap: s}
	spans := b.spansOf(w)
	end := spans[0].Lo
	if !near {
		end = spans[len(spans)-1].Hi
	}
	if part == nil || !a.push(ctx, s, part, leaf, lowerBoundArea(b, w, end, near)) {
		return false
	}
	defer a.pop(s)
	room := split.Span{Lo: spans[0].Lo, Hi: level}
	if !near {
		room = split.Span{Lo: level, Hi: spans[len(spans)-1].Hi}
	}
	defer a.addSliding(b, tree, room, true)()
	return a.assign(ctx, rest, k-1, func(t *split.Tree) bool {
		tree.Near, tree.Far = leaf, t
		if !near {
			tree.Near, tree.Far = t, leaf
		}
		return cont(tree)
	})
}

// assignPair cuts a blank once: near goes to one scrap, far to another. Where
// one of the two lies there alone, its critical level leaves the least for
// the other, so one packing settles the pair.
func (a *assignment) assignPair(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	bins := a.binsFor(0)
	for _, w := range a.table.ways {
		if !w.Traits().Plain && !a.nonStraight || b.cutBefore(w) {
			continue
		}
		spans := b.spansOf(w)
		for _, s := range bins {
			hi, ok := a.levelBound(ctx, b, w, true, s)
			if !ok {
				continue
			}
			for _, r := range a.farBins(bins, s) {
				if s == r && a.exclusive {
					continue
				}
				lo, ok := a.levelBound(ctx, b, w, false, r)
				if !ok {
					continue
				}
				low, ok1 := split.Up(spans, lo)
				high, ok2 := split.Down(spans, hi)
				if !ok1 || !ok2 || low > high {
					continue
				}
				if a.spend(1) || ctx.Err() != nil {
					return true
				}
				if a.tryPair(ctx, b, w, split.Span{Lo: low, Hi: high}, s, r, cont) {
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

// farBins is the scraps that may take the far part once near goes to s: those
// that may take near, and where s is empty the next empty one like it.
func (a *assignment) farBins(bins []int, s int) []int {
	if len(a.on[s]) > 0 {
		return bins
	}
	for r := s + 1; r < len(a.on); r++ {
		if a.table.bins[r].class == a.table.bins[s].class && len(a.on[r]) == 0 {
			at := slices.Index(bins, s) + 1 // as large, so as tight
			return slices.Insert(slices.Clone(bins), at, r)
		}
	}
	return bins
}

// startLevel is the level at which a pair is dealt: where the seam is welcome, or
// else in the middle of where both parts lie on their scraps alone. What
// shares a scrap slides on from there.
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

func (a *assignment) tryPair(ctx context.Context, b *blank, w split.Way, room split.Span, s, r int, cont func(*split.Tree) bool) bool {
	if !a.narrowFirstCut(ctx, b, w, room, s) {
		return false
	}
	level := a.startLevel(b, w, room)
	near, far := a.table.cutAt(b, w, level)
	if near == nil {
		return false
	}
	tree := &split.Tree{Way: w, LevelMM: level, Near: &split.Tree{Scrap: s}, Far: &split.Tree{Scrap: r}}
	if !a.push(ctx, s, near, tree.Near, lowerBoundArea(b, w, room.Lo, true)) {
		return false
	}
	defer a.pop(s)
	if !a.push(ctx, r, far, tree.Far, lowerBoundArea(b, w, room.Hi, false)) {
		return false
	}
	defer a.pop(r)
	defer a.addSliding(b, tree, room, false)()
	return cont(tree)
}

// narrowFirstCut takes from the room of the cut before this one what the middle
// part does not reach: it lies between the two cuts, on scrap s, and this
// one's room says how far it must come at least. It reports false when no room
// is left. The room is as it was once the bite is dealt anew.
func (a *assignment) narrowFirstCut(ctx context.Context, b *blank, w split.Way, room split.Span, s int) bool {
	if a.exclusive || b.parent == nil || b.by != w || len(a.sliding) == 0 {
		return true
	}
	c := &a.sliding[len(a.sliding)-1]
	if !c.first || c.depth != a.depth {
		return true
	}
	l, ok := a.table.middleReach(ctx, b.parent, w, room.Lo, &a.table.bins[s])
	c.room = split.Span{Lo: l, Hi: c.limit}
	return ok && l <= c.limit
}

// addSliding notes that a cut may slide, and gives the call that forgets it.
func (a *assignment) addSliding(b *blank, tree *split.Tree, room split.Span, first bool) func() {
	a.sliding = append(a.sliding, slidingCut{tree, a.depth, room, b.spansOf(tree.Way), first, tree.LevelMM})
	return func() { a.sliding = a.sliding[:len(a.sliding)-1] }
}

// levelBound is how far a part can go on a scrap at most: alone, and by the area
// that is left there. It is rough where parts may share scraps, for they slide
// to their levels later.
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
	bad, good := level, b.spansOf(w)[0].Lo
	if !near {
		good = b.spansOf(w)[len(b.spansOf(w))-1].Hi
	}
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

// lowerBoundArea is the area of a part of a cut without the allowance of the new edge.
func lowerBoundArea(b *blank, w split.Way, level float64, near bool) float64 {
	return split.HalfArea(b.cut, w.Line(b.Body, level), near)
}
