package job

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"time"

	"eke/allowance"
	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/split/replan"
	"eke/split/search"
	"eke/split/shortfall"
	"eke/split/wish"
)

// GoOn searches for plans in which something stays as it is, for cloth was cut by it
// or a maker has laid it by hand, and proves them. failed and err are as those of
// Find.
func (f *Plan) GoOn(ctx context.Context, args []string, pieces []*piece.Piece, st *replan.State, wishes []wish.Wish) (d *plan.Document, failed, err error) {
	end := time.Now().Add(f.Time)
	laid := end.Add(-f.Afterwards(pieces))
	copies, err := CopiesOf(pieces)
	if err != nil {
		return nil, nil, err
	}
	searched, cancel := context.WithDeadline(ctx, laid.Add(-copies.ForOptional(f.Time)-f.ToTellWhatIsMissing()))
	defer cancel()
	o := st.Options(search.Options{
		Keep: f.Keep, Kinds: f.Kinds, MaxSeams: f.MaxSeams, Seed: f.Seed, Workers: runtime.GOMAXPROCS(0), Wishes: wishes, Rules: piece.Rules(st.Cloth()),
	})
	if f.Found != nil || f.Best != nil {
		o.Progress = func(p search.Progress) {
			if f.Found != nil {
				f.Found(p)
			}
			if f.Best != nil {
				r := split.Record{Settings: o.Settings(), Drawn: copies.Main, Ready: copies.Ready, Scraps: st.Scraps(), Plans: []*split.Made{p.Plan}}
				f.Best(r.Document())
			}
		}
	}
	found, err := st.Plans(searched, o)
	if err != nil {
		return nil, nil, err
	}
	var records []split.Record
	for i := range found {
		records = append(records, found[i].Record)
	}
	lay, cancelLay := context.WithDeadline(ctx, laid)
	defer cancelLay()
	if d, err = f.documentOf(lay, args, pieces, copies, st.Scraps(), records, o); err != nil {
		return nil, nil, err
	}
	if !st.Settled() {
		d.Notes = append(d.Notes, "the search was stopped before it was done; more --time may find better plans")
	}
	if len(found) == 0 {
		end := end
		if soon := time.Now().Add(f.ToTellWhatIsMissing()); end.Before(soon) {
			end = soon
		}
		if d.Unkept = f.withoutWishes(ctx, end, args, pieces, copies, st, o); d.Unkept != nil {
			return proved(d, args)
		}
		const share = 0.4
		short, cancelShort := context.WithTimeout(ctx, time.Duration(share*float64(time.Until(end))))
		defer cancelShort()
		if d.Short, d.FitAlone, err = st.Short(short, o); err != nil {
			return nil, nil, err
		}
		d.FitAlone = d.FitAlone && len(d.Short) == 0
		if err := f.clothToMend(ctx, end, d, args, pieces, copies, st, o); err != nil {
			return nil, nil, err
		}
	}
	return proved(d, args)
}

// clothToMend adds what cloth to look for, until a time: with which what is spoilt is cut
// anew, and all else as it lies; with no seam more than before, where that can be.
func (f *Plan) clothToMend(ctx context.Context, end time.Time, d *plan.Document, args []string, pieces []*piece.Piece, copies Copies, st *replan.State, o search.Options) error {
	was, k := st.After()
	if was == nil {
		return nil // what a maker has drawn by hand is not cut
	}
	left, err := st.Rests(o)
	if err != nil || len(left) == 0 {
		return err
	}
	ctx, cancel := context.WithDeadline(ctx, end)
	defer cancel()
	o = shortfall.Quick(o)
	o.Keep, o.Progress = 1, nil
	copies.Extras = nil // what is optional has no say
	held := st.Cloth()
	look := func(most int) []plan.Wanted {
		o := o
		o.MaxSeams = most
		return shortfall.WouldDo(ctx, left, held, o, func(ctx context.Context, scraps []piece.Scrap) *plan.Document {
			with := st.WithCloth(scraps[len(held):])
			r, ok := with.Mended(ctx, o)
			if !ok {
				return nil
			}
			d, err := f.documentOf(ctx, args, pieces, copies, with.Scraps(), []split.Record{r}, o)
			if err != nil || len(check.Option(d, 0)) > 0 || len(check.After(was, k, d, 0, with.Pile()...)) > 0 {
				return nil
			}
			return d
		})
	}
	asBefore := was.Options[k].Seams
	if o.MaxSeams < 0 || asBefore < o.MaxSeams {
		d.WouldDo = look(asBefore)
	}
	if len(d.WouldDo) == 0 {
		d.WouldDo = look(o.MaxSeams)
	}
	if len(d.WouldDo) > 0 {
		d.Notes = append(d.Notes, "with the cloth to look for there is a plan in which all that is not spoilt is cut as it lies in the plan that you go on from; add that cloth to the scraps and give the same command again")
	}
	return nil
}

// withoutWishes are the wishes that stand in the way of going on, each of which may be
// one of the plan that is gone on from, and what plan there is without them. It takes
// most of the time until the end, for if one does cloth is not what is missing.
func (f *Plan) withoutWishes(ctx context.Context, end time.Time, args []string, pieces []*piece.Piece, copies Copies, st *replan.State, o search.Options) []plan.Unkept {
	musts, _ := wish.OfLooks(o.Wishes)
	musts = slices.DeleteFunc(musts, replan.BeforeCutting)
	if len(musts) == 0 {
		return nil
	}
	const share = 0.75
	ctx, cancel := context.WithTimeout(ctx, time.Duration(share*float64(time.Until(end))))
	defer cancel()
	was, k := st.After()
	return shortfall.Without(ctx, o.Wishes, musts, st.WhyNot, func(ctx context.Context, wishes []wish.Wish) *plan.Seams {
		o := o
		o.Wishes, o.Keep, o.First, o.Progress = wishes, 1, true, nil
		found, err := st.Plans(ctx, o)
		if err != nil || len(found) == 0 {
			return nil
		}
		d, err := f.documentOf(ctx, args, pieces, copies, st.Scraps(), []split.Record{found[0].Record}, o)
		if err != nil || len(check.Option(d, 0)) > 0 || was != nil && len(check.After(was, k, d, 0, st.Pile()...)) > 0 {
			return nil
		}
		return &plan.Seams{Allowed: o.MaxSeams, Seams: d.Options[0].Seams, LengthMM: d.Options[0].SeamLengthMM}
	})
}

// Whole is the document of a plan that a maker has made by hand, proved, as those of
// Find are. The record is of that plan alone.
func (f *Plan) Whole(ctx context.Context, args []string, pieces []*piece.Piece, r split.Record, o search.Options) (d *plan.Document, failed, err error) {
	copies, err := CopiesOf(pieces)
	if err != nil {
		return nil, nil, err
	}
	lay, cancel := context.WithTimeout(ctx, max(time.Second, copies.ForOptional(f.Time)))
	defer cancel()
	if d, err = f.documentOf(lay, args, pieces, copies, r.Scraps, []split.Record{r}, o); err != nil {
		return nil, nil, err
	}
	d.FewestReason = "the seams were drawn and the parts laid by hand"
	return proved(d, args)
}

// documentOf is plans as plan.json has them, each with the optional pieces that find
// room beside it.
func (f *Plan) documentOf(ctx context.Context, args []string, pieces []*piece.Piece, copies Copies, scraps []*piece.Scrap, found []split.Record, o search.Options) (*plan.Document, error) {
	whole := split.Record{Settings: o.Settings(), Drawn: copies.All, Scraps: scraps}
	d := whole.Document()
	for _, r := range found {
		one := r.Document().Options[0]
		extras := slices.DeleteFunc(slices.Clone(copies.Extras), func(p *piece.Piece) bool {
			return slices.ContainsFunc(r.Drawn, func(q *piece.Piece) bool { return q.Name == p.Name && q.Copy == p.Copy })
		})
		if len(extras) > 0 {
			var err error
			if one, err = WithExtras(ctx, r, one, extras, o); err != nil {
				return nil, err
			}
		}
		d.Options = append(d.Options, one)
	}
	var cloth []piece.Scrap
	for _, s := range scraps {
		cloth = append(cloth, *s)
	}
	d.Pattern, d.ScrapFiles = args[0], args[1:]
	d.Warnings, d.Notes = allowance.Warnings(pieces), NotesOn(pieces, cloth, o)
	f.InOrder(d)
	for i := range d.Options {
		d.Options[i].Rank = i + 1
		d.Options[i].Wishes = wish.Told(o.Wishes, d, &d.Options[i])
	}
	return d, nil
}

// proved is a document with the options that are proved, and what is left after each.
func proved(d *plan.Document, args []string) (_ *plan.Document, failed, err error) {
	unproved := KeepProved(d, args)
	if unproved != nil && len(d.Options) == 0 {
		return nil, nil, unproved
	}
	if err := errors.Join(remnant.Tell(d), TellGives(d)); err != nil {
		return nil, nil, Fault{err}
	}
	if failed = unproved; failed == nil && len(d.Options) == 0 {
		failed = ErrNothing
	}
	return d, failed, nil
}
