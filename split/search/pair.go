package search

import (
	"context"
	"math"
	"slices"

	"eke/split"
)

// biteAt is the level at which a first part is cut off a piece that is to be
// cut again: as far as the scrap allows, so that the least remains.
func (d *dealing) biteAt(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	limit, ok := d.bound(ctx, b, w, near, s)
	if !ok {
		return 0, false
	}
	if near {
		return split.Down(b.spansOf(w), limit)
	}
	return split.Up(b.spansOf(w), limit)
}

func (d *dealing) bite(ctx context.Context, b *blank, w split.Way, level float64, near bool, s, k int, cont func(*split.Tree) bool) bool {
	part, rest := d.table.cutAt(b, w, level)
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
	if part == nil || !d.put(ctx, s, part, leaf, coreArea(b, w, end, near)) {
		return false
	}
	defer d.take(s)
	room := split.Span{Lo: spans[0].Lo, Hi: level}
	if !near {
		room = split.Span{Lo: level, Hi: spans[len(spans)-1].Hi}
	}
	defer d.slides(b, tree, room, true)()
	return d.deal(ctx, rest, k-1, func(t *split.Tree) bool {
		tree.Near, tree.Far = leaf, t
		if !near {
			tree.Near, tree.Far = t, leaf
		}
		return cont(tree)
	})
}

// dealPair cuts a blank once: near goes to one scrap, far to another. Where
// one of the two lies there alone, its critical level leaves the least for
// the other, so one packing settles the pair.
func (d *dealing) dealPair(ctx context.Context, b *blank, cont func(*split.Tree) bool) bool {
	sites := d.sitesFor(0)
	for _, w := range d.table.ways {
		if !w.Traits().Plain && !d.fancy || b.cutBefore(w) {
			continue
		}
		spans := b.spansOf(w)
		for _, s := range sites {
			hi, ok := d.bound(ctx, b, w, true, s)
			if !ok {
				continue
			}
			for _, r := range d.partners(sites, s) {
				if s == r && d.exclusive {
					continue
				}
				lo, ok := d.bound(ctx, b, w, false, r)
				if !ok {
					continue
				}
				low, ok1 := split.Up(spans, lo)
				high, ok2 := split.Down(spans, hi)
				if !ok1 || !ok2 || low > high {
					continue
				}
				if d.spend(1) || ctx.Err() != nil {
					return true
				}
				if d.tryPair(ctx, b, w, split.Span{Lo: low, Hi: high}, s, r, cont) {
					return true
				}
				if d.jumping {
					return false
				}
			}
		}
	}
	return false
}

// partners is the scraps that may take the far part once near goes to s: those
// that may take near, and where s is empty the next empty one like it.
func (d *dealing) partners(sites []int, s int) []int {
	if len(d.content[s]) > 0 {
		return sites
	}
	for r := s + 1; r < len(d.content); r++ {
		if d.table.sites[r].class == d.table.sites[s].class && len(d.content[r]) == 0 {
			at := slices.Index(sites, s) + 1 // as large, so as tight
			return slices.Insert(slices.Clone(sites), at, r)
		}
	}
	return sites
}

// start is the level at which a pair is dealt: where the seam is welcome, or
// else in the middle of where both parts lie on their scraps alone. What
// shares a scrap slides on from there.
func (d *dealing) start(b *blank, w split.Way, room split.Span) float64 {
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

func (d *dealing) tryPair(ctx context.Context, b *blank, w split.Way, room split.Span, s, r int, cont func(*split.Tree) bool) bool {
	if !d.narrowBite(ctx, b, w, room, s) {
		return false
	}
	level := d.start(b, w, room)
	near, far := d.table.cutAt(b, w, level)
	if near == nil {
		return false
	}
	tree := &split.Tree{Way: w, LevelMM: level, Near: &split.Tree{Scrap: s}, Far: &split.Tree{Scrap: r}}
	if !d.put(ctx, s, near, tree.Near, coreArea(b, w, room.Lo, true)) {
		return false
	}
	defer d.take(s)
	if !d.put(ctx, r, far, tree.Far, coreArea(b, w, room.Hi, false)) {
		return false
	}
	defer d.take(r)
	defer d.slides(b, tree, room, false)()
	return cont(tree)
}

// narrowBite takes from the room of the cut before this one what the middle
// part does not reach: it lies between the two cuts, on scrap s, and this
// one's room says how far it must come at least. It reports false when no room
// is left. The room is as it was once the bite is dealt anew.
func (d *dealing) narrowBite(ctx context.Context, b *blank, w split.Way, room split.Span, s int) bool {
	if d.exclusive || b.parent == nil || b.by != w || len(d.cuts) == 0 {
		return true
	}
	c := &d.cuts[len(d.cuts)-1]
	if !c.bite || c.turn != d.dealt {
		return true
	}
	l, ok := d.table.least(ctx, b.parent, w, room.Lo, &d.table.sites[s])
	c.room = split.Span{Lo: l, Hi: c.limit}
	return ok && l <= c.limit
}

// slides notes that a cut may slide, and gives the call that forgets it.
func (d *dealing) slides(b *blank, tree *split.Tree, room split.Span, bite bool) func() {
	d.cuts = append(d.cuts, sliding{tree, d.dealt, room, b.spansOf(tree.Way), bite, tree.LevelMM})
	return func() { d.cuts = d.cuts[:len(d.cuts)-1] }
}

// bound is how far a part can go on a scrap at most: alone, and by the area
// that is left there. It is rough where parts may share scraps, for they slide
// to their levels later.
func (d *dealing) bound(ctx context.Context, b *blank, w split.Way, near bool, s int) (float64, bool) {
	if len(b.spansOf(w)) == 0 {
		return 0, false
	}
	ask := d.table.nearly
	if d.exclusive {
		ask = d.table.furthest
	}
	level, ok := ask(ctx, b, w, near, &d.table.sites[s])
	if !ok || len(d.content[s]) == 0 {
		return level, ok
	}
	area := func(level float64) float64 { return coreArea(b, w, level, near) }
	if area(level) <= d.spare(s) {
		return level, true
	}
	// The area falls as the level draws back.
	bad, good := level, b.spansOf(w)[0].Lo
	if !near {
		good = b.spansOf(w)[len(b.spansOf(w))-1].Hi
	}
	if area(good) > d.spare(s) {
		return 0, false
	}
	for math.Abs(good-bad) > 1 {
		if mid := (good + bad) / 2; area(mid) > d.spare(s) {
			bad = mid
		} else {
			good = mid
		}
	}
	return bad, true
}

// coreArea is the area of a part of a cut without the allowance of the new edge.
func coreArea(b *blank, w split.Way, level float64, near bool) float64 {
	return split.HalfArea(b.cut, w.Line(b.Body, level), near)
}
