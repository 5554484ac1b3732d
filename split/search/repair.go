package search

import (
	"context"
	"sort"

	"eke/split"
)

// sliding is a cut that may move: a packing that fails shrinks one of its
// parts and grows the other, between levels that are known bounds.
type sliding struct {
	tree *split.Tree
	turn int // the copy's place in the order of dealing
	room split.Span
	// The levels at which it may run.
	spans []split.Span
}

// leastSlideMM is the smallest move of a cut that is tried.
const leastSlideMM = 0.5

// mostSlides bounds the moves in one repair.
const mostSlides = 40

// levelsNow remembers the levels of all cuts, and gives the call that brings
// them back.
func (d *dealing) levelsNow() func() {
	was := make([]float64, len(d.cuts))
	for i, c := range d.cuts {
		was[i] = c.tree.LevelMM
	}
	return func() {
		for i, c := range d.cuts {
			c.tree.LevelMM = was[i]
		}
	}
}

// repair packs every scrap. A scrap that cannot hold its parts has one of
// them made smaller by sliding a cut, as long as one has room: what it gives
// up another scrap must take, so each cut closes in on its level from both
// sides like a bisection. It sets the leaves' placements and gives nil, or the
// turns of the copies that had a say in the failure.
func (d *dealing) repair(ctx context.Context) []int {
	content := make([][]laid, len(d.content))
	for s, parts := range d.content {
		content[s] = append([]laid(nil), parts...)
	}
	rooms := make([]split.Span, len(d.cuts))
	for i, c := range d.cuts {
		rooms[i] = c.room
	}
	var blamed []int
	for range mostSlides {
		s := d.firstFull(ctx, content)
		if s < 0 {
			return nil
		}
		for _, l := range content[s] {
			blamed = append(blamed, l.turn)
		}
		if d.tries < 0 || ctx.Err() != nil || !d.slide(content, rooms, s) {
			return blamed
		}
	}
	return blamed
}

// firstFull packs the scraps one by one, those first whose parts were dealt
// earliest, for what is wrong with them rules out the most. It gives the first
// that does not hold its parts, or -1.
func (d *dealing) firstFull(ctx context.Context, content [][]laid) int {
	var order []int
	last := make([]int, len(content))
	for s, parts := range content {
		for _, l := range parts {
			last[s] = max(last[s], l.turn)
		}
		if len(parts) > 0 {
			order = append(order, s)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return last[order[a]] < last[order[b]] })
	for _, s := range order {
		if len(content[s]) > 1 && d.spend(max(1, d.poses/300)) {
			return s
		}
		parts := make([]*blank, len(content[s]))
		for i, l := range content[s] {
			parts[i] = l.part
		}
		at, ok := d.table.together(ctx, parts, &d.table.sites[s], d.poses)
		if !ok {
			return s
		}
		for i, l := range content[s] {
			l.leaf.Placement = at[i]
		}
	}
	return -1
}

// slide shrinks one part on a scrap by the cut beside it that has the most
// room, half of the way.
func (d *dealing) slide(content [][]laid, rooms []split.Span, s int) bool {
	on := map[*split.Tree]bool{}
	for _, l := range content[s] {
		on[l.leaf] = true
	}
	best, most, down := -1, leastSlideMM, false
	for i, c := range d.cuts {
		near, far := holds(c.tree.Near, on), holds(c.tree.Far, on)
		if near == far {
			continue // neither side is here, or both
		}
		room := c.tree.LevelMM - rooms[i].Lo
		if far {
			room = rooms[i].Hi - c.tree.LevelMM
		}
		if room > most {
			best, most, down = i, room, near
		}
	}
	if best < 0 {
		return false
	}
	c, level := d.cuts[best], d.cuts[best].tree.LevelMM
	var next float64
	var ok bool
	if down {
		rooms[best].Hi = level
		next, ok = split.Down(c.spans, (rooms[best].Lo+level)/2)
		ok = ok && next >= rooms[best].Lo
	} else {
		rooms[best].Lo = level
		next, ok = split.Up(c.spans, (rooms[best].Hi+level)/2)
		ok = ok && next <= rooms[best].Hi
	}
	if !ok {
		return false
	}
	c.tree.LevelMM = next
	return d.recut(content, c.turn)
}

// holds reports whether any leaf of a tree is in the set.
func holds(t *split.Tree, on map[*split.Tree]bool) bool {
	for _, leaf := range t.Leaves() {
		if on[leaf] {
			return true
		}
	}
	return false
}

// recut cuts one copy anew by the levels of its tree.
func (d *dealing) recut(content [][]laid, turn int) bool {
	k := d.order[turn]
	parts := map[*split.Tree]*blank{}
	if !d.carve(d.job.blanks[k], d.trees[k], parts) {
		return false
	}
	for s := range content {
		for i, l := range content[s] {
			if l.turn == turn {
				content[s][i].part = parts[l.leaf]
			}
		}
	}
	return true
}

func (d *dealing) carve(b *blank, t *split.Tree, parts map[*split.Tree]*blank) bool {
	if t.Way == nil {
		parts[t] = b
		return true
	}
	if !split.In(b.spansOf(t.Way), t.LevelMM) {
		return false
	}
	near, far := d.table.cutAt(b, t.Way, t.LevelMM)
	return near != nil && d.carve(near, t.Near, parts) && d.carve(far, t.Far, parts)
}
