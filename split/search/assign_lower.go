package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"sort"
	"strings"

	"eke/piece/plane"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// lowerParts are the lower-bound parts of a component: what each has when every cut
// gives it the least that its room allows.
func (a *assignment) lowerParts(comp *component) map[*split.Tree]lowerPart {
	cuts := map[*split.Tree]*slidingCut{}
	for i := range comp.cuts {
		cuts[comp.cuts[i].tree] = &comp.cuts[i]
	}
	least := map[*split.Tree]lowerPart{}
	for _, i := range comp.depths {
		b := a.instance.blanks[a.order[i]]
		a.lowerPartsOf(b, a.trees[a.order[i]], cuts, lowerPart{b.key, b.simplified}, least)
	}
	return least
}

// simplifiedFill is about how much more of a bin simplified outlines may seem to
// fill.
const simplifiedFill = 0.02

// lowerAreaUnlikely is a heuristic bound: a shared bin has too little area for its
// lower-bound parts.
func (a *assignment) lowerAreaUnlikely(comp *component, least map[*split.Tree]lowerPart) bool {
	for _, s := range comp.bins {
		sum := 0.0
		for _, l := range a.on[s] {
			sum += math.Abs(plane.SignedArea(least[l.leaf].ring))
		}
		if len(a.on[s]) > 1 && sum > (a.maxLowerFill(s)+simplifiedFill)*a.table.bins[s].area {
			return true
		}
	}
	return false
}

// How hard two lower-bound parts are packed before a bin counts as too small. Where
// levels are found in the end, a thousand poses have nearly always done; where they have
// not, others from another start have (lowerStarts), and more from the same one have not.
const (
	fewLowerPoses  = 1500
	lowerPartPoses = 4000
	lowerStarts    = 4
	// How much of a bin they fill at most to be packed from another start with so few
	// poses: above it a failure is seldom the start's.
	looseFill = 0.8
)

// lowerPackUnlikely is a heuristic bound: a quick packing has found no place for
// the lower-bound parts on some bin.
func (a *assignment) lowerPackUnlikely(ctx context.Context, comp *component, least map[*split.Tree]lowerPart) bool {
	for _, s := range comp.bins {
		if len(a.on[s]) < 2 {
			continue
		}
		var parts []lowerPart
		var of []*blank
		for _, l := range a.on[s] {
			parts = append(parts, least[l.leaf])
			of = append(of, l.part)
		}
		if !a.table.lowerPartsPack(ctx, parts, of, &a.table.bins[s], cmp.Or(a.lowerPoses, lowerPartPoses), max(1, a.lowerStarts)) {
			return true
		}
	}
	return false
}

// lowerPart is a lower-bound part and its name.
type lowerPart struct {
	key  string
	ring orb.Ring
}

// lowerPartsOf collects the lower-bound parts of a tree of cuts.
func (a *assignment) lowerPartsOf(b *blank, t *split.Tree, cuts map[*split.Tree]*slidingCut, p lowerPart, out map[*split.Tree]lowerPart) {
	c := cuts[t]
	if c == nil {
		out[t] = p
		return
	}
	// To a whole millimetre, rather less, so that many assignments ask the same.
	side := func(level float64, near bool) lowerPart {
		if level = math.Floor(level); !near {
			level++
		}
		end := b.lowerBoundLevel(t.Way, near, level, a.table.options.AllowanceMM/2)
		return lowerPart{fmt.Sprintf("%s|%s%t%.0f", p.key, wayID(t.Way), near, level), split.Half(p.ring, t.Way.Line(b.Body, end), near)}
	}
	a.lowerPartsOf(b, t.Near, cuts, side(c.room.Lo, true), out)
	a.lowerPartsOf(b, t.Far, cuts, side(c.room.Hi, false), out)
}

// lowerPartsPack reports whether a bin holds some lower-bound parts. Two are packed
// by so many poses, more of them by more, and that from so many starts. It remembers.
func (t *table) lowerPartsPack(ctx context.Context, parts []lowerPart, of []*blank, s *bin, poses, starts int) bool {
	type keyedItem struct {
		key  string
		item fit.Item
	}
	var lower []keyedItem
	area := 0.0
	for i, p := range parts {
		area += math.Abs(plane.SignedArea(p.ring))
		if len(p.ring) < 3 {
			continue
		}
		lower = append(lower, keyedItem{p.key, fit.Item{Shape: fit.NewShape(p.ring), Turns: rotations(of[i].piece, s.scrap, t.options.GrainToleranceDeg)}})
	}
	if len(lower) == 0 {
		return true
	}
	// In one order whoever asks first, for packing depends on it.
	sort.SliceStable(lower, func(a, b int) bool { return lower[a].key < lower[b].key })
	keys, items := make([]string, len(lower)), make([]fit.Item, len(lower))
	for i, c := range lower {
		keys[i], items[i] = c.key, c.item
	}
	question := lowerPackQuestion{parts: strings.Join(keys, "&"), class: s.class}
	effort := poses * len(items) * len(items) / 4
	was, _ := t.lowerPacks.get(question)
	if !was.ok && was.poses < poses {
		_, ok := fit.Pack(ctx, s.cloth, items, t.options.GapMM, effort, t.options.Seed)
		if ctx.Err() != nil {
			return ok
		}
		was = lowerPack{ok, poses}
		t.lowerPacks.change(question, func(known lowerPack) lowerPack {
			if known.ok || known.poses >= poses {
				return known
			}
			t.work.Add(packWork(effort, ok))
			return was
		})
	}
	certain := len(items) == 1 // it is placed or it is not
	if was.ok || certain || starts == 1 || poses <= fewLowerPoses && area > looseFill*s.area {
		return was.ok
	}
	question.poses = poses
	ok, known := t.lowerRetries.get(question)
	if !known {
		for k := 1; k < starts && !ok && ctx.Err() == nil; k++ {
			_, ok = fit.Pack(ctx, s.cloth, items, t.options.GapMM, effort, t.options.Seed+uint64(k))
		}
		if ctx.Err() == nil && t.lowerRetries.set(question, ok) {
			t.work.Add(packWork((starts-1)*effort, ok))
		}
	}
	return ok
}

// lowerPackQuestion names lower-bound parts, in order, and a bin's class; and by how many
// poses they are packed, where that is from another start.
type lowerPackQuestion struct {
	parts, class string
	poses        int
}

// lowerPack is whether a bin held some lower-bound parts, and how many poses were
// weighed.
type lowerPack struct {
	ok    bool
	poses int
}
