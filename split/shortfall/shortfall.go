// Package shortfall says, where no plan was found, what is missing and what
// would help: by how much each piece misses the scraps, how much cloth is
// needed and held, with how many seams more there is a plan, what a plan for
// some of the pieces holds, and which rectangle of cloth beside the scraps
// makes a plan for all of them.
//
// Tell asks all that and writes the answers into the plan document: Cloth,
// Short, MoreSeams, Partial and WouldDo. What there is no time for is left empty
// or marked as not checked.
//
// Nothing is told that was not seen to be so. A plan counts when the search
// has found it and split/check has proved it. That no plan was found is never
// told as there being none. Each question is a run of split/search with its
// first budgets only. As long as such runs end by themselves, and not because
// the time is up, the answers are the same on any machine.
package shortfall

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"
	"eke/split/wish"
)

// Shares of the time that is left, in the order of their worth to a maker.
// What ends early leaves more to the others. (From trials with the samples.)
const (
	tableShare   = 0.6
	seamsShare   = 1. / 3
	partialShare = 0.6
	growthShare  = 0.7 // of the partial plan's
	withoutShare = 0.5
)

// inquiry is a pattern and scraps for which no plan was found.
type inquiry struct {
	doc     *plan.Document
	copies  []*piece.Piece
	scraps  []piece.Scrap
	options search.Options
	ask     func(context.Context, []piece.Scrap) *plan.Document // for a plan from other scraps; nil for one of these copies
	fault   error                                               // the first plan that failed its proof
}

// Tell adds to the document of a search that found no plan what is missing. It
// shares out the time that ctx leaves. Settled says that the search had ended by
// itself. An error means that a plan found here failed its proof, which is a
// fault of eke's own; that plan is not told of.
func Tell(ctx context.Context, d *plan.Document, pieces []*piece.Piece, scraps []piece.Scrap, o search.Options, settled bool) error {
	o.Progress = nil
	q := &inquiry{doc: d, scraps: scraps, options: o, copies: split.Copies(pieces)}
	if musts, others := wish.OfLooks(o.Wishes); len(musts) > 0 {
		found := false
		within(ctx, withoutShare, func(ctx context.Context) { found = q.without(ctx, musts) })
		if found {
			return q.fault // for the rest, cloth is not what is missing
		}
		d.Notes = append(d.Notes, withoutNote(musts))
		q.options.Wishes, o.Wishes = others, others
	}
	d.Cloth = cloth(pieces, scraps, o)
	within(ctx, tableShare, func(ctx context.Context) {
		d.Short, d.FitAlone = search.Short(ctx, pieces, scraps, o)
		d.FitAlone = d.FitAlone && len(d.Short) == 0
	})
	if o.MaxSeams >= 0 {
		within(ctx, seamsShare, func(ctx context.Context) { d.MoreSeams = q.moreSeams(ctx) })
	}
	left := q.copies
	within(ctx, partialShare, func(ctx context.Context) {
		d.Partial, left = q.partial(ctx)
	})
	within(ctx, 1, func(ctx context.Context) { d.WouldDo = q.wouldDo(ctx, pieces, left) })
	return q.fault
}

// withoutNote says that what is told is told without wishes.
func withoutNote(wishes []wish.Wish) string {
	var names []string
	for _, w := range wishes {
		names = append(names, fmt.Sprintf("%q", w.String()))
	}
	which, with := "wish", "it"
	if len(names) > 1 {
		which, with = "wishes", "them"
	}
	return fmt.Sprintf("what is missing, and what would do, is told without the %s %s; with %s more may be needed", which, plan.And(names), with)
}

// within does a thing in a share of the time that is left.
func within(ctx context.Context, share float64, do func(context.Context)) {
	end, ok := ctx.Deadline()
	if !ok {
		do(ctx)
		return
	}
	ctx, cancel := context.WithTimeout(ctx, time.Duration(share*float64(time.Until(end))))
	defer cancel()
	do(ctx)
}

// budgets is how many budgets of the search each question gets.
const budgets = 2

// proved is a plan that was found and proved, and the document it was proved
// in: the copies and scraps it is for, and it as the only option.
func (q *inquiry) proved(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o search.Options) *plan.Document {
	_, d := q.found(ctx, copies, scraps, o)
	return d
}

// found is such a plan, and its record too.
func (q *inquiry) found(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o search.Options) (*split.Record, *plan.Document) {
	if ctx.Err() != nil {
		return nil, nil
	}
	o.Keep = 1
	res, err := search.RunCopies(ctx, copies, scraps, o)
	if err != nil || len(res.Plans) == 0 {
		return nil, nil
	}
	r := &split.Record{Settings: q.doc.Settings, Drawn: res.Drawn, Scraps: split.ScrapCopies(scraps), Plans: res.Plans[:1]}
	return r, q.prove(r, o)
}

// prove is the document of a record of one plan, or nil where that fails its
// proof.
func (q *inquiry) prove(r *split.Record, o search.Options) *plan.Document {
	d := r.Document()
	d.Options[0].Wishes = wish.Told(o.Wishes, d, &d.Options[0])
	if faults := check.Document(d); len(faults) > 0 {
		if q.fault == nil {
			q.fault = fmt.Errorf("a plan that shows what would help failed its proof, and nothing of it is told: %w", faults[0])
		}
		return nil
	}
	return d
}

// quick are the options of a search that stops at the first plan.
func (q *inquiry) quick() search.Options {
	return Quick(q.options)
}

// moreSeams looks for a plan with more seams than were allowed.
func (q *inquiry) moreSeams(ctx context.Context) *plan.Seams {
	o := q.options
	allowed := o.MaxSeams
	o.MaxSeams, o.Budgets = -1, budgets
	d := q.proved(ctx, q.copies, q.scraps, o)
	if d == nil || d.Options[0].Seams <= allowed {
		return nil
	}
	return &plan.Seams{Allowed: allowed, Seams: d.Options[0].Seams, LengthMM: d.Options[0].SeamLengthMM}
}

// without looks for a plan without one of the wishes, or else without all of them,
// and tells which wish stands in the way.
func (q *inquiry) without(ctx context.Context, musts []wish.Wish) bool {
	known := q.doc.Unkept // what the search itself said
	why := func(w wish.Wish) string {
		for _, u := range known {
			if u.Text == w.String() && u.Why != "" {
				return u.Why
			}
		}
		return q.lacks(w)
	}
	unkept := Without(ctx, q.options.Wishes, musts, why, func(ctx context.Context, wishes []wish.Wish) *plan.Seams {
		o := q.options
		o.Wishes = wishes
		d := q.proved(ctx, q.copies, q.scraps, o)
		if d == nil {
			return nil
		}
		return &plan.Seams{Allowed: o.MaxSeams, Seams: d.Options[0].Seams, LengthMM: d.Options[0].SeamLengthMM}
	})
	if unkept != nil {
		q.doc.Unkept = unkept
	}
	return unkept != nil
}

// Without asks for a plan without one of the musts among some wishes, or else
// without all of them, and gives those that stand in its way; none where no plan is
// found without them either. Why says what is known of a wish, and ask looks for a
// plan that keeps others.
func Without(ctx context.Context, wishes, musts []wish.Wish, why func(wish.Wish) string, ask func(context.Context, []wish.Wish) *plan.Seams) []plan.Unkept {
	left := func(w ...wish.Wish) []wish.Wish {
		return slices.DeleteFunc(slices.Clone(wishes), func(other wish.Wish) bool { return slices.Contains(w, other) })
	}
	questions := len(musts)
	if questions > 1 {
		questions++ // all at once
	}
	for k, w := range musts {
		var found *plan.Seams
		within(ctx, 1/float64(questions-k), func(ctx context.Context) { found = ask(ctx, left(w)) })
		if found != nil {
			return []plan.Unkept{{Text: w.String(), Why: why(w), Without: found}}
		}
	}
	if len(musts) < 2 {
		return nil
	}
	found := ask(ctx, left(musts...))
	if found == nil {
		return nil
	}
	var all []plan.Unkept
	for _, w := range musts {
		all = append(all, plan.Unkept{Text: w.String(), Why: why(w)})
	}
	all[len(all)-1].Without = found
	return all
}

// lacks says by areas why a wish cannot be kept; nothing where they leave it open.
func (q *inquiry) lacks(w wish.Wish) string {
	held := map[string]float64{}
	var looks []string
	for i := range q.scraps {
		s := &q.scraps[i]
		l := strings.ToLower(s.TheLook())
		if _, ok := held[l]; !ok {
			looks = append(looks, l)
		}
		held[l] += s.AreaMM2() * float64(max(1, s.Count))
	}
	need := func(names ...string) float64 {
		sum := 0.0
		for _, p := range q.copies {
			if slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, p.Name) }) {
				if cut, err := split.CutLine(p, p.Outline); err == nil {
					sum += plane.SignedArea(cut)
				}
			}
		}
		return sum
	}
	ofOne := func(names ...string) string {
		most, area := "", 0.0
		for _, l := range looks {
			if held[l] > area {
				most, area = l, held[l]
			}
		}
		if n := need(names...); n > area {
			verb := "needs"
			if len(names) > 1 {
				verb = "need"
			}
			return fmt.Sprintf("%s %s %.2f m² of one look, and of %s, the most, there is %.2f m²", strings.Join(names, " and "), verb, n/1e6, most, area/1e6)
		}
		return ""
	}
	switch w := w.(type) {
	case wish.Alike:
		return ofOne(w.Piece)
	case wish.Like:
		return ofOne(w.Piece, w.Other)
	case wish.Block:
		if n, h := need(w.Piece), held[strings.ToLower(w.Upper)]+held[strings.ToLower(w.Lower)]; n > h {
			return fmt.Sprintf("%s needs %.2f m², and of %s and %s together there is %.2f m²", w.Piece, n/1e6, w.Upper, w.Lower, h/1e6)
		}
	}
	return ""
}
