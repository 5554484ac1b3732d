package search

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"

	"eke/split"
	"eke/split/fit"
)

// trial is how far the search for the levels of a trade has come.
type trial struct {
	mu    sync.Mutex
	trail fit.Trail
	found *fit.Solution
}

// slideAndPack looks for levels and places, and remembers how far it came.
func (d *dealing) slideAndPack(ctx context.Context, g *trade, w *weighing, key string) bool {
	d.table.mu.Lock()
	t := d.table.trials[key]
	if t == nil {
		t = new(trial)
		d.table.trials[key] = t
	}
	d.table.mu.Unlock()
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.found == nil && t.trail.Attempts < d.attempts {
		trail := t.trail
		found, ok := d.jointOf(g, w).Pack(ctx, &trail, d.attempts, d.table.options.Seed)
		switch {
		case ok:
			t.found = found
		case ctx.Err() == nil:
			t.trail = trail
		}
	}
	if t.found == nil {
		return false
	}
	for k, c := range g.cuts {
		c.tree.LevelMM = t.found.Levels[k]
	}
	for k, s := range g.scraps {
		for i, l := range d.content[s] {
			l.leaf.Placement = t.found.At[k][i]
		}
	}
	return true
}

// tradeKey names the question: which parts of what lie where.
func (d *dealing) tradeKey(g *trade) string {
	var b strings.Builder
	for _, t := range g.turns {
		k := d.order[t]
		fmt.Fprintf(&b, "%s:%s", d.job.blanks[k].key, shape(d.trees[k]))
		for _, leaf := range d.trees[k].Leaves() {
			fmt.Fprintf(&b, ",%d", leaf.Scrap)
		}
		b.WriteByte(';')
	}
	return b.String()
}

func (d *dealing) jointOf(g *trade, w *weighing) *fit.Joint {
	j := &fit.Joint{GapMM: d.table.options.GapMM, Start: w.start, Starts: mostStarts, Least: w.least()}
	for _, s := range g.scraps {
		j.Cloths = append(j.Cloths, d.table.sites[s].cloth)
	}
	for _, c := range g.cuts {
		r := d.reach(c)
		j.Lo, j.Hi = append(j.Lo, r.Lo), append(j.Hi, r.Hi)
	}
	k := &knife{d: d, g: g, last: map[int]carved{}}
	j.Cut = k.cut
	return j
}

// reach is where a cut may slide: its room, which is known roughly, as far as
// the piece reaches.
func (d *dealing) reach(c sliding) split.Span {
	lo, hi := c.spans[0].Lo, c.spans[len(c.spans)-1].Hi
	if whole := d.job.blanks[d.order[c.turn]].spansOf(c.tree.Way); len(whole) > 0 {
		// What is cut before it may slide too, and leave it more.
		lo, hi = math.Min(lo, whole[0].Lo), math.Max(hi, whole[len(whole)-1].Hi)
	}
	return split.Span{Lo: math.Max(lo, c.room.Lo-roughMM), Hi: math.Min(hi, c.room.Hi+roughMM)}
}
