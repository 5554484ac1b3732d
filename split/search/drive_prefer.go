package search

import (
	"cmp"
	"context"
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/wish"
)

// Some wishes shape the whole search: that a line is carried, that a garment is in
// stripes or in blocks, that the cloth's own stripes meet. Where one is preferred and no must, both searches are made,
// with it and without, and what they find is weighed together.

// shapes reports whether a wish needs a search of its own kind.
func shapes(w wish.Wish) bool {
	switch w.(type) {
	case wish.Carry, wish.Stripes, wish.Blocks, wish.MatchStripes:
		return true
	}
	return false
}

// preferredShape is the first preferred wish of that kind, and the options without it.
func (o Options) preferredShape() (w wish.Wish, without Options, ok bool) {
	without = o
	at := slices.IndexFunc(o.Wishes, func(w wish.Wish) bool {
		p, is := w.(wish.Prefer)
		return is && shapes(p.Wish)
	})
	if at < 0 {
		return nil, o, false
	}
	without.Wishes = slices.Delete(slices.Clone(o.Wishes), at, at+1)
	return o.Wishes[at].(wish.Prefer).Wish, without, true
}

// runPreferring searches with a preferred wish as a must and without it. What keeps
// it is among the plans where it is found at all.
func runPreferring(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o Options, w wish.Wish, without Options) (*Result, error) {
	const share = 0.5
	with := without
	with.Wishes = append(slices.DeleteFunc(slices.Clone(without.Wishes), func(other wish.Wish) bool {
		p, is := other.(wish.Prefer)
		return is && shapes(p.Wish)
	}), w)
	first, cancel := shareOf(ctx, share)
	keeping, err := RunCopies(first, copies, scraps, with)
	cancel()
	if err != nil {
		return nil, err
	}
	res, err := RunCopies(ctx, copies, scraps, without)
	if err != nil {
		return nil, err
	}
	res.Settled = res.Settled && keeping.Settled
	if len(keeping.Plans) == 0 {
		why := "no plan was found that keeps it"
		if keeping.Unkept != nil && keeping.Unkept.Why != "" {
			why = keeping.Unkept.Why
		}
		res.Foregone = append(res.Foregone, Unkept{w, why})
	}
	if len(res.Plans) == 0 && len(keeping.Plans) > 0 {
		res.Unkept, res.Drawn = nil, keeping.Drawn
	}
	plain := res.Plans
	res.Plans = slices.Concat(keeping.Plans, plain)
	for _, m := range res.Plans {
		weigh(m, o, res.Drawn, scraps)
	}
	slices.SortStableFunc(res.Plans, func(a, b *split.Made) int {
		return cmp.Or(split.Unwished(a)-split.Unwished(b), cmp.Compare(split.Intrusion(split.Cost(a)), split.Intrusion(split.Cost(b))))
	})
	if len(res.Plans) > 0 && !slices.Contains(plain, res.Plans[0]) {
		res.Fewest, res.Reason = false, cmp.Or(keeping.Reason, res.Reason)
	}
	res.Plans = withOneOf(keeping.Plans, res.Plans, o.withDefaults().Keep)
	return res, nil
}

// weigh notes which of all preferred wishes a plan does not keep.
func weigh(m *split.Made, o Options, drawn []*piece.Piece, scraps []piece.Scrap) {
	r := split.Record{Settings: o.Settings(), Drawn: drawn, Scraps: split.ScrapCopies(scraps), Plans: []*split.Made{m}, Ready: o.Ready}
	doc := r.Document()
	m.Plan.Unkept = []string{}
	for _, t := range wish.Told(wish.Preferred(o.Wishes), doc, &doc.Options[0]) {
		if !t.Kept {
			m.Plan.Unkept = append(m.Plan.Unkept, t.Text)
		}
	}
}

// withOneOf is the first keep of some plans, the last of them one of those wanted
// where no other is.
func withOneOf(wanted, plans []*split.Made, keep int) []*split.Made {
	at := slices.IndexFunc(plans, func(m *split.Made) bool { return slices.Contains(wanted, m) })
	if at < keep || keep < 2 {
		return plans[:min(len(plans), keep)]
	}
	return append(slices.Clone(plans[:keep-1]), plans[at])
}
