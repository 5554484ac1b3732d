package search

import (
	"context"
	"slices"
	"sort"
	"strings"

	"eke/split/fit"
)

// packTogether places several parts on one bin, and remembers.
func (t *table) packTogether(ctx context.Context, parts []*blank, s *bin, poses int) ([]fit.Placement, bool) {
	if len(parts) == 1 {
		at, ok := t.fitsOn(ctx, parts[0], s)
		return []fit.Placement{at}, ok
	}
	order, question := packQuestionOf(parts, s, poses)
	r, known := t.packs.get(question)
	if !known {
		sorted := make([]*blank, len(parts))
		for i, k := range order {
			sorted[i] = parts[k]
		}
		r.at, r.ok = t.pack(ctx, sorted, s, poses)
		if (ctx.Err() == nil || r.ok) && t.packs.set(question, r) {
			t.work.Add(packWork(poses*(len(parts)-1), r.ok))
		}
	}
	if !r.ok {
		return nil, false
	}
	out := make([]fit.Placement, len(parts))
	for i, k := range order {
		out[k] = r.at[i]
	}
	return out, true
}

// packQuestionOf is the same for the parts in any order. Order is the one in which
// they are packed, for packing depends on it.
func packQuestionOf(parts []*blank, s *bin, poses int) (order []int, question packQuestion) {
	order = make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return parts[order[i]].key < parts[order[j]].key })
	keys := make([]string, len(parts))
	for i, k := range order {
		keys[i] = parts[k].key
	}
	return order, packQuestion{parts: strings.Join(keys, "&"), class: s.class, poses: poses}
}

// pack is packTogether without remembering.
func (t *table) pack(ctx context.Context, parts []*blank, s *bin, poses int) ([]fit.Placement, bool) {
	if len(parts) == 1 {
		at, ok := t.place(ctx, parts[0], s)
		return []fit.Placement{at}, ok
	}
	return t.packWithin(ctx, parts, s, poses, slices.Repeat([]float64{t.options.GrainToleranceDeg}, len(parts)))
}

// packWithin packs parts with the grain of each turned by no more than a tolerance.
func (t *table) packWithin(ctx context.Context, parts []*blank, s *bin, poses int, tolerancesDeg []float64) ([]fit.Placement, bool) {
	area := 0.0
	items := make([]fit.Item, len(parts))
	for i, b := range parts {
		area += b.area
		items[i] = fit.Item{Shape: b.shape, Turns: rotations(b.piece, s.scrap, tolerancesDeg[i])}
	}
	if area > s.area {
		return nil, false
	}
	poses *= len(parts) - 1 // the more of them, the more there is to try
	return fit.Pack(ctx, s.cloth, items, t.options.GapMM, poses, t.options.Seed)
}

// packQuestion names some blanks, a class of bins and how hard they are packed,
// packResult where they lie there.
type packQuestion struct {
	parts string // the blanks' keys, in order
	class string
	poses int
}

type packResult struct {
	at []fit.Placement
	ok bool
}
