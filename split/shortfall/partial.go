package shortfall

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/optional"
	"eke/split/plan"
)

// partial looks for a plan that holds as much of the pattern as may be. Copies that
// share no cloth with the others are tried first, all of a kind: where it is another
// cloth that falls short, they do not wait for it. Of each kind larger
// pieces are tried first, by halves of those still open, so that few that fit
// nowhere cost few searches. Then what the plan leaves of the cloth is filled
// with copies that go there whole: of many there is no time to ask for each with
// all that is held. Left are the copies that it does not hold.
func (q *inquiry) partial(ctx context.Context) (*plan.Partial, []*piece.Piece) {
	order := slices.Clone(q.copies)
	slices.SortStableFunc(order, func(a, b *piece.Piece) int {
		return cmp.Compare(plane.SignedArea(b.Outline.Ring()), plane.SignedArea(a.Outline.Ring()))
	})
	g := &growth{inquiry: q}
	within(ctx, growthShare, func(ctx context.Context) {
		var open [][]*piece.Piece
		for _, kind := range q.byCloth(order) {
			if !g.add(ctx, kind) {
				open = append(open, kind)
			}
		}
		for _, kind := range open {
			g.halves(ctx, kind)
		}
		if ctx.Err() == nil && g.plan != nil {
			g.settle(ctx)
		}
	})
	if g.plan == nil {
		return nil, q.copies
	}
	g.fill(ctx)
	out := &plan.Partial{Option: g.plan.Options[0]}
	out.Option.SewingOrder, out.Option.Wear = nil, nil // of a garment that is not whole
	var left []*piece.Piece
	for _, p := range q.copies {
		if !slices.Contains(g.held, p) {
			left = append(left, p)
			out.LeftOver = append(out.LeftOver, plan.CopyOf{Piece: p.Name, Copy: p.Copy})
		}
	}
	return out, left
}

// byCloth are copies by the cloth that they may be cut from: no scrap serves two
// kinds. The kind with the fewest copies comes first.
func (q *inquiry) byCloth(copies []*piece.Piece) [][]*piece.Piece {
	group := make([]int, len(q.scraps)) // the first of the scraps that a scrap goes with
	for i := range group {
		group[i] = i
	}
	first := map[string]int{} // scrap that a piece may be cut from
	for _, p := range copies {
		if _, done := first[p.Name]; done {
			continue
		}
		first[p.Name] = -1
		for i := range q.scraps {
			if !q.options.MayCut(p, &q.scraps[i]) {
				continue
			}
			if first[p.Name] < 0 {
				first[p.Name] = i
			}
			from, to := group[i], group[first[p.Name]]
			for k, g := range group {
				if g == from {
					group[k] = to
				}
			}
		}
	}
	var kinds [][]*piece.Piece
	at := map[string]int{}
	for _, p := range copies {
		key := p.Name
		if i := first[p.Name]; i >= 0 {
			key = fmt.Sprint(group[i])
		}
		if _, ok := at[key]; !ok {
			at[key], kinds = len(kinds), append(kinds, nil)
		}
		kinds[at[key]] = append(kinds[at[key]], p)
	}
	slices.SortStableFunc(kinds, func(a, b []*piece.Piece) int { return cmp.Compare(len(a), len(b)) })
	return kinds
}

// growth is a plan for ever more of the pattern.
type growth struct {
	*inquiry
	held   []*piece.Piece
	record *split.Record  // of the plan for these
	plan   *plan.Document // the same
}

// halves adds as many as it can of some copies that cannot all be held. It tries
// the first half of them and then the second; a half that cannot be held as a
// whole is tried by halves in its turn.
func (g *growth) halves(ctx context.Context, copies []*piece.Piece) {
	if len(copies) < 2 {
		return
	}
	middle := (len(copies) + 1) / 2
	for _, half := range [][]*piece.Piece{copies[:middle], copies[middle:]} {
		if ctx.Err() != nil {
			return
		}
		if !g.add(ctx, half) {
			g.halves(ctx, half)
		}
	}
}

// add tries to hold more copies.
func (g *growth) add(ctx context.Context, more []*piece.Piece) bool {
	const slice = 0.25 // of the time that is left: one hard question leaves time for others
	if len(g.held)+len(more) == len(g.copies) {
		return false
	}
	held := append(slices.Clone(g.held), more...)
	var r *split.Record
	var d *plan.Document
	within(ctx, slice, func(ctx context.Context) { r, d = g.found(ctx, g.inOrder(held), g.scraps, g.quick()) })
	if d == nil {
		return false
	}
	g.held, g.record, g.plan = held, r, d
	return true
}

// settle looks for a plan for the same copies that is less intrusive, for what
// was found first need not be.
func (g *growth) settle(ctx context.Context) {
	o := g.options
	o.Budgets = budgets
	if r, d := g.found(ctx, g.inOrder(g.held), g.scraps, o); d != nil && d.Options[0].Seams <= g.plan.Options[0].Seams {
		g.record, g.plan = r, d
	}
}

// fill lays copies whole on what the plan leaves, but for those of pieces whose
// seams it moves: they are not as they were drawn.
func (g *growth) fill(ctx context.Context) {
	moved := map[string]bool{}
	for _, m := range g.record.Plans[0].Plan.Moves {
		moved[m.From.Piece], moved[m.To.Piece] = true, true
	}
	var left []*piece.Piece
	for _, p := range g.copies {
		if !moved[p.Name] && !slices.Contains(g.held, p) {
			left = append(left, p)
		}
	}
	if len(left) == 0 || ctx.Err() != nil {
		return
	}
	r, err := optional.Add(ctx, *g.record, left, g.options)
	if err != nil || len(r.Drawn) == len(g.record.Drawn) {
		return
	}
	if d := g.prove(&r, g.options); d != nil {
		g.held, g.record, g.plan = append(slices.Clone(g.held), r.Drawn[len(g.record.Drawn):]...), &r, d
	}
}

// inOrder is copies in the order of the pattern.
func (q *inquiry) inOrder(copies []*piece.Piece) []*piece.Piece {
	var out []*piece.Piece
	for _, p := range q.copies {
		if slices.Contains(copies, p) {
			out = append(out, p)
		}
	}
	return out
}
