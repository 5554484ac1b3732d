// Package optional cuts the pieces that would be nice to have, a pocket bag or a
// facing, from what a plan of all the others leaves.
//
// In goes a plan that is made, and the copies that may be cut beside it; out
// comes the same plan with as many of them as found room. They are cut whole.
// Nothing that the plan had is moved: the parts that are there are taken out of
// their scraps with the gap round them, and the copies are laid, by the search
// for any pattern, on the bits that remain. Room is a matter of packing, so that
// more would go is never ruled out.
package optional

import (
	"context"
	"fmt"
	"slices"
	"sort"
	"time"

	"eke/allowance"
	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/remnant"
	"eke/split/search"
	"eke/split/wish"
)

// Add gives a record of one plan with the copies that found room among its
// pieces. The record's own plan is not changed. o is what the plan was searched
// with.
func Add(ctx context.Context, r split.Record, extras []*piece.Piece, o search.Options) (split.Record, error) {
	a := &adder{o: whole(o), record: r, wishes: o.Wishes}
	if rules := a.looksBeside(); len(rules) > 0 {
		if o.Rules == nil {
			o.Rules = []piece.Rule{piece.FabricRule{}, piece.KindRule{}, piece.UseRule{}}
		}
		a.o.Rules = slices.Concat(o.Rules, rules)
	}
	if err := a.look(); err != nil {
		return r, err
	}
	if a.allAtOnce(ctx, extras) {
		return a.with(extras)
	}
	in, failed := []*piece.Piece{}, map[string]bool{}
	for _, p := range smallestFirst(extras) {
		key := fmt.Sprint(p.Name, p.Flipped)
		if failed[key] || ctx.Err() != nil {
			continue // one like it found no room
		}
		if next := append(slices.Clone(in), p); a.together(ctx, next) {
			in = next
		} else {
			failed[key] = true
		}
	}
	return a.with(in)
}

// allAtOnce lays all of some copies together. That takes no more than a third of
// the time, for where it fails they are laid one by one.
func (a *adder) allAtOnce(ctx context.Context, copies []*piece.Piece) bool {
	if end, ok := ctx.Deadline(); ok {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, time.Until(end)/3)
		defer cancel()
	}
	return a.together(ctx, copies)
}

// whole is a search of what was asked that adds no seam and ends with the first
// plan, and soon where there is none.
func whole(o search.Options) search.Options {
	o.MaxSeams, o.Keep, o.First, o.Budgets, o.Progress = 0, 1, true, 2, nil
	o.Wishes = slices.DeleteFunc(slices.Clone(o.Wishes), func(w wish.Wish) bool {
		switch w.(type) {
		case wish.MixKinds, wish.OnlyFor, wish.Alike, wish.Like, wish.Unlike:
			return false
		}
		return true
	})
	return o
}

// smallestFirst is the copies by their area, for as many as go.
func smallestFirst(copies []*piece.Piece) []*piece.Piece {
	out := slices.Clone(copies)
	area := func(p *piece.Piece) float64 {
		cut, err := allowance.CutLine(p.Outline)
		if err != nil {
			cut = p.Outline.Ring()
		}
		return plane.Area(cut)
	}
	sort.SliceStable(out, func(i, j int) bool { return area(out[i]) < area(out[j])-1e-6 })
	return out
}

// adder lays copies on what a plan leaves.
type adder struct {
	o      search.Options
	wishes []wish.Wish // all of them
	record split.Record
	free   []piece.Scrap // bits that are clear of the plan's parts
	of     []int         // which of the record's scraps each is of
	placed map[*piece.Piece]*split.Tree
}

// look finds the bits that are free.
func (a *adder) look() error {
	bits, err := remnant.Free(a.record.Document(), 0, a.o.GapMM)
	if err != nil {
		return fmt.Errorf("what the plan leaves: %w", err)
	}
	a.free, a.of = remnant.Scraps(bits, a.record.Scraps)
	return nil
}

// together lays all of some copies on the free bits, and remembers where.
func (a *adder) together(ctx context.Context, copies []*piece.Piece) bool {
	asked, ok := a.kindsKept(copies)
	if !ok || len(a.free) == 0 || ctx.Err() != nil {
		return false
	}
	res, err := search.RunCopies(ctx, asked, a.free, a.o)
	if err != nil || len(res.Plans) == 0 {
		return false
	}
	was := a.placed
	a.placed = map[*piece.Piece]*split.Tree{}
	for i, t := range res.Plans[0].Plan.Trees {
		leaf := t.Clone()
		leaf.Scrap = a.of[leaf.Scrap]
		a.placed[copies[i]] = leaf
	}
	if !a.keepsWishes(copies) {
		a.placed = was
		return false
	}
	return true
}

// keepsWishes reports whether every wish that the plan keeps is kept with the
// copies too, where they were laid last, and every one that is to be kept and names
// them.
func (a *adder) keepsWishes(copies []*piece.Piece) bool {
	if len(a.wishes) == 0 {
		return true
	}
	more, err := a.with(copies)
	if err != nil {
		return false
	}
	before, after := a.record.Document(), more.Document()
	for _, w := range a.wishes {
		if kept, _ := w.Kept(before, &before.Options[0]); !kept && !names(w, copies) {
			continue
		}
		if kept, _ := w.Kept(after, &after.Options[0]); !kept {
			return false
		}
	}
	return true
}

// kindsKept are the copies, each held to the kind of cloth that what it is sewn
// to is cut from. It fails where that is two kinds, or not the copy's own.
func (a *adder) kindsKept(copies []*piece.Piece) ([]*piece.Piece, bool) {
	if wish.Has[wish.MixKinds](a.o.Wishes) {
		return copies, true
	}
	main := a.record.Plans[0]
	all := slices.Concat(a.record.Drawn, copies, a.record.Ready)
	group := piece.SewnTogether(all)
	kind := map[int]string{}
	for _, part := range main.Parts {
		g := group[part.Piece]
		switch k := a.record.Scraps[part.Leaf.Scrap].Kind; {
		case k == "":
		case kind[g] == "":
			kind[g] = k
		case kind[g] != k:
			return nil, false
		}
	}
	out := slices.Clone(copies)
	for i, p := range copies {
		k := kind[group[len(a.record.Drawn)+i]]
		if k == "" || p.Kind == k {
			continue
		}
		if p.Kind != "" {
			return nil, false
		}
		held := *p
		held.Kind = k
		out[i] = &held
	}
	return out, true
}

// with is the record with those copies cut too, where they were laid last.
func (a *adder) with(copies []*piece.Piece) (split.Record, error) {
	r := a.record
	if len(copies) == 0 {
		return r, nil
	}
	main := r.Plans[0]
	p := *main.Plan
	p.Pieces, p.Trees = slices.Clone(p.Pieces), slices.Clone(p.Trees)
	r.Drawn = slices.Clone(r.Drawn)
	for _, c := range copies {
		p.Pieces, p.Trees = append(p.Pieces, c), append(p.Trees, a.placed[c])
		r.Drawn = append(r.Drawn, c)
	}
	made, err := split.Make(&p, a.o.AllowanceMM)
	if err != nil {
		return a.record, fmt.Errorf("with the optional pieces: %w", err)
	}
	r.Plans = []*split.Made{made}
	return r, nil
}
