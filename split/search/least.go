package search

import (
	"context"
	"fmt"
	"math"
	"sort"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// leastParts are the cores of a trade's parts when every cut gives each the
// least that it may.
func (d *dealing) leastParts(g *trade) map[*split.Tree]leastPart {
	cuts := map[*split.Tree]*sliding{}
	for i := range g.cuts {
		cuts[g.cuts[i].tree] = &g.cuts[i]
	}
	least := map[*split.Tree]leastPart{}
	for _, t := range g.turns {
		b := d.job.blanks[d.order[t]]
		d.leastOf(b, d.trees[d.order[t]], cuts, leastPart{b.key, b.coarse}, least)
	}
	return least
}

// coarseFill is about how much more an outline with few vertices may fill.
const coarseFill = 0.02

// overfull reports whether a scrap has not the area for the least of its parts.
func (d *dealing) overfull(g *trade, least map[*split.Tree]leastPart) bool {
	for _, s := range g.scraps {
		sum := 0.0
		for _, l := range d.content[s] {
			sum += math.Abs(piece.Area(least[l.leaf].ring))
		}
		if len(d.content[s]) > 1 && sum > (d.mostFill(s)+coarseFill)*d.table.sites[s].area {
			return true
		}
	}
	return false
}

// leastPoses is how hard two parts are packed at least to see whether a scrap
// holds them.
const leastPoses = 4000

// leastFit reports whether each scrap of a trade holds the least of its parts.
func (d *dealing) leastFit(ctx context.Context, g *trade, least map[*split.Tree]leastPart) bool {
	for _, s := range g.scraps {
		if len(d.content[s]) < 2 {
			continue
		}
		var parts []leastPart
		var of []*blank
		for _, l := range d.content[s] {
			parts = append(parts, least[l.leaf])
			of = append(of, l.part)
		}
		if !d.table.holds(ctx, parts, of, &d.table.sites[s], max(leastPoses, d.poses/8)) {
			return false
		}
	}
	return true
}

// leastPart is the core of a part, and its name.
type leastPart struct {
	key  string
	ring orb.Ring
}

func (d *dealing) leastOf(b *blank, t *split.Tree, cuts map[*split.Tree]*sliding, p leastPart, out map[*split.Tree]leastPart) {
	c := cuts[t]
	if c == nil {
		out[t] = p
		return
	}
	// To a whole millimetre, rather less, so that many deals ask the same.
	side := func(level float64, near bool) leastPart {
		if level = math.Floor(level); !near {
			level++
		}
		end := b.core(t.Way, near, level, d.table.options.AllowanceMM/2)
		return leastPart{fmt.Sprintf("%s|%s%t%.0f", p.key, id(t.Way), near, level), split.Half(p.ring, t.Way.Line(b.Body, end), near)}
	}
	d.leastOf(b, t.Near, cuts, side(c.room.Lo, true), out)
	d.leastOf(b, t.Far, cuts, side(c.room.Hi, false), out)
}

// holds reports whether a scrap holds some cores, as far as a quick packing
// of two by so many poses can tell, and of more by more. It remembers.
func (t *table) holds(ctx context.Context, parts []leastPart, of []*blank, s *site, poses int) bool {
	type cored struct {
		key  string
		item fit.Item
	}
	var cores []cored
	for i, p := range parts {
		if len(p.ring) < 3 {
			continue
		}
		cores = append(cores, cored{p.key, fit.Item{Shape: fit.NewShape(p.ring), Turns: turns(of[i].piece, s.scrap, t.options.GrainToleranceDeg)}})
	}
	if len(cores) == 0 {
		return true
	}
	// In one order whoever asks first, for packing depends on it.
	sort.SliceStable(cores, func(a, b int) bool { return cores[a].key < cores[b].key })
	keys, items := make([]string, len(cores)), make([]fit.Item, len(cores))
	for i, c := range cores {
		keys[i], items[i] = c.key, c.item
	}
	key := strings.Join(keys, "&") + "#" + s.class
	t.mu.Lock()
	was := t.held[key]
	t.mu.Unlock()
	if was.ok || was.poses >= poses {
		return was.ok
	}
	_, ok := fit.Pack(ctx, s.cloth, items, t.options.GapMM, poses*len(items)*len(items)/4, t.options.Seed)
	if ctx.Err() == nil {
		t.mu.Lock()
		if !t.held[key].ok {
			t.held[key] = held{ok, max(poses, t.held[key].poses)}
		}
		t.mu.Unlock()
	}
	return ok
}

// held is whether a scrap held some cores, and the poses that were weighed.
type held struct {
	ok    bool
	poses int
}
