package search

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
	"eke/split/wish"

	"golang.org/x/sync/errgroup"
)

// Where the stripes of the cloth itself are to meet, each part's place on a scrap is
// held to lines a repeat apart: it may slide along the stripes, and across them
// only by whole repeats. Which lines these are follows for all copies that hang
// together from one length, less than a repeat. As with a carried line, this is
// chosen before all else: each length worth trying is an instance of its own. Those
// come first at which the most copies have a scrap to lie on, whole and each alone.
// No seam is moved then, for that would move where stripes meet.

const (
	// mostMatched is how many places of the stripes are tried.
	mostMatched = 8
	// leastPlaceMM is how far apart the places are that are compared at first.
	leastPlaceMM = 1.0
	// mostPlaces is how many those are at most.
	mostPlaces = 64
)

// matcher looks for the places at which the cloth's stripes meet.
type matcher struct {
	table  *table
	copies []*piece.Piece
	whole  []*blank
	wishes []wish.MatchStripes
	stands wish.MatchStripes // the one that stands in the way, if no plan is found
	why    string            // why none is
}

// matchWished are the wishes that stripes of the cloth's own meet: everywhere, at some
// edges, or both.
func matchWished(wishes []wish.Wish) (out []wish.MatchStripes) {
	for _, one := range wishes {
		if m, is := one.(wish.MatchStripes); is && !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	return out
}

// edgesOf are the edges that wishes name, an empty one for all.
func edgesOf(wishes []wish.MatchStripes) (out []string) {
	for _, w := range wishes {
		out = append(out, w.At)
	}
	return out
}

// checkMatch refuses a wish that makes no sense with these pieces and scraps.
func checkMatch(copies []*piece.Piece, scraps []piece.Scrap, o Options) error {
	wishes := matchWished(o.Wishes)
	if len(wishes) == 0 {
		return nil
	}
	w := wishes[0]
	if !slices.ContainsFunc(scraps, func(s piece.Scrap) bool { return s.Striped() }) {
		return fmt.Errorf("the wish %q: no scrap says how its stripes run; give stripe_cm and first_cm in the scraps file", w)
	}
	if other := slices.IndexFunc(o.Wishes, func(o wish.Wish) bool { _, match := o.(wish.MatchStripes); return !match && shapes(o) }); other >= 0 {
		return fmt.Errorf("the wishes %q and %q: eke does one of these at a time", w, o.Wishes[other])
	}
	striped := func(p *piece.Piece) bool {
		return slices.ContainsFunc(scraps, func(s piece.Scrap) bool { return s.Striped() && o.MayCut(p, &s) })
	}
	for _, w := range wishes {
		seams := func(striped func(*piece.Piece) bool) int {
			at := []string{w.At}
			return split.NewStripeMatch(copies, false, 1, at, striped).Seams() + split.NewStripeMatch(copies, true, 1, at, striped).Seams()
		}
		switch {
		case seams(striped) > 0:
		case seams(func(*piece.Piece) bool { return true }) > 0:
			return fmt.Errorf("the wish %q: there is no seam there with striped cloth on both sides, for what the pieces may be cut from has no stripes; check their fabric, what the wishes keep only for others, and the stripe_cm of the scraps", w)
		default:
			return fmt.Errorf("the wish %q: there is no seam there at which stripes could meet; edges that are sewn together are told by joins, as in joins: back/side", w)
		}
	}
	return nil
}

func newMatcher(t *table, copies []*piece.Piece, wishes []wish.MatchStripes) (*matcher, error) {
	m := &matcher{table: t, copies: copies, wishes: wishes, stands: wishes[0]}
	m.whole = newInstanceOfKinds(t, copies, nil, nil).blanks
	if len(m.whole) < len(copies) {
		return nil, fmt.Errorf("the wish %q: a piece has no sound cutting line", m.stands)
	}
	return m, nil
}

// asking is the place of the first wish that has stripes meet where two edges are sewn
// together, whatever other seams have settled; negative where none has.
func (m *matcher) asking(edges [2]string) int {
	return slices.IndexFunc(m.wishes, func(w wish.MatchStripes) bool { return w.Musts(edges) })
}

// striped reports whether some scrap with stripes may serve a piece.
func (m *matcher) striped(p *piece.Piece) bool {
	return slices.ContainsFunc(m.table.bins, func(b bin) bool { return b.scrap.Striped() && m.table.allowed(p, b.scrap) })
}

// matchedPlace is a place of the stripes.
type matchedPlace struct {
	match  *split.StripeMatch
	choice split.StripeChoice
	// How many copies can have a scrap each, and how many have any, where the
	// stripes run there; and for how many places about this one that is so.
	each, any, wide int
}

// variants are the instances at which stripes meet. There are none where they
// cannot, and why says so.
func (m *matcher) variants(ctx context.Context) (out []*instance, why string) {
	var places []matchedPlace
	why = "the stripes of no scrap cross the seams that it names"
	for _, g := range m.cloths() {
		match := split.NewStripeMatch(m.copies, g.along, g.repeatMM, edgesOf(m.wishes), m.striped)
		if match.Seams() == 0 {
			continue
		}
		found := m.weigh(ctx, match)
		if len(found) == 0 {
			continue
		}
		if edges, off, misses := match.Misses(found[0].choice, func(edges [2]string) bool { return m.asking(edges) >= 0 }); misses {
			m.stands = m.wishes[m.asking(edges)]
			why = fmt.Sprintf("by the shape of the pieces: where the stripes meet at the other seams, they are %.0f mm off at %s to %s", off, edges[0], edges[1])
			continue
		}
		places = append(places, found...)
		if m.why == "" {
			m.why = m.lacks(match, g)
		}
	}
	if len(places) > 0 {
		m.stands = m.wishes[0] // what stands in the way is no other cloth's
	}
	slices.SortStableFunc(places, func(a, b matchedPlace) int {
		return cmp.Or(cmp.Compare(b.each, a.each), cmp.Compare(b.any, a.any), cmp.Compare(b.wide, a.wide))
	})
	for _, p := range apart(places, mostMatched) {
		if ctx.Err() == nil {
			out = append(out, m.instances(p)...)
		}
	}
	if len(out) == 0 && ctx.Err() != nil {
		why = "the time was up before it was known where the stripes may run"
	}
	return out, why
}

// stripedCloth is scraps whose stripes can meet.
type stripedCloth struct {
	along    bool
	repeatMM float64 // the widest
	mm2      float64
}

// cloths are the scraps by how their stripes run: each repeat with those that go
// into it a whole number of times. The most cloth comes first.
func (m *matcher) cloths() []stripedCloth {
	var out []stripedCloth
	for _, s := range m.table.scraps {
		c := stripedCloth{along: s.Stripe.Along, repeatMM: s.Stripe.RepeatMM}
		if !s.Striped() || slices.ContainsFunc(out, func(o stripedCloth) bool { return o.along == c.along && o.repeatMM == c.repeatMM }) {
			continue
		}
		for _, o := range m.table.scraps {
			if o.Striped() && o.Stripe.Along == c.along && piece.WholeMultiple(c.repeatMM, o.Stripe.RepeatMM) {
				c.mm2 += o.AreaMM2()
			}
		}
		out = append(out, c)
	}
	slices.SortStableFunc(out, func(a, b stripedCloth) int { return cmp.Compare(b.mm2, a.mm2) })
	return out
}

// weigh compares the places that stripes may have. Of neighbours that are alike it
// gives the one in the middle first, and then the others.
func (m *matcher) weigh(ctx context.Context, match *split.StripeMatch) []matchedPlace {
	choices := match.Choices(math.Max(leastPlaceMM, match.RepeatMM/mostPlaces))
	out := make([]matchedPlace, len(choices))
	g := new(errgroup.Group)
	g.SetLimit(m.table.options.Workers)
	for k, c := range choices {
		out[k] = matchedPlace{match: match, choice: c}
		g.Go(func() error {
			on := m.scrapsFor(ctx, match, c)
			for _, bins := range on {
				if len(bins) > 0 {
					out[k].any++
				}
			}
			out[k].each = mostPairs(on, len(m.table.bins))
			return nil
		})
	}
	_ = g.Wait()
	if ctx.Err() != nil {
		return nil
	}
	same := func(a, b int) bool {
		n := len(out)
		x, y := out[(a+n)%n], out[(b+n)%n]
		return x.each == y.each && x.any == y.any && x.choice.MiddleMM == y.choice.MiddleMM
	}
	for k := range out {
		lo, hi := 0, 0
		for lo < len(out) && same(k, k-lo-1) {
			lo++
		}
		for hi < len(out) && same(k, k+hi+1) {
			hi++
		}
		out[k].wide = min(lo, hi) // the middle of those that are alike has the most on either side
	}
	return out
}

// scrapsFor is, for each copy that hangs together with others, the bins that hold
// it whole with its stripes in their place.
func (m *matcher) scrapsFor(ctx context.Context, match *split.StripeMatch, c split.StripeChoice) [][]int {
	var out [][]int
	for i, b := range m.whole {
		if !match.Linked(i) {
			continue
		}
		p := *b.piece
		p.Stripes = match.Place(i, c)
		var bins []int
		held := map[string]bool{}
		for k := range m.table.bins {
			s := &m.table.bins[k]
			holds, known := held[s.class]
			if !known && m.table.allowed(&p, s.scrap) && !m.table.ruledOut(b, s) {
				_, holds = fit.Place(ctx, s.cloth, b.shape, rotations(&p, s.scrap, m.table.options.GrainToleranceDeg))
			}
			if held[s.class] = holds; holds {
				bins = append(bins, k)
			}
		}
		out = append(out, bins)
	}
	return out
}

// mostPairs is how many copies can have a bin each at once, of those that hold them
// (a maximum bipartite matching by augmenting paths, H. W. Kuhn, 1955).
func mostPairs(holds [][]int, bins int) int {
	of := slices.Repeat([]int{-1}, bins)
	var seen []bool
	var try func(i int) bool
	try = func(i int) bool {
		for _, s := range holds[i] {
			if seen[s] {
				continue
			}
			if seen[s] = true; of[s] < 0 || try(of[s]) {
				of[s] = i
				return true
			}
		}
		return false
	}
	n := 0
	for i := range holds {
		seen = make([]bool, bins)
		if try(i) {
			n++
		}
	}
	return n
}

// apart is the first of some places, no more than most of them, that lie a part of
// the repeat from each other.
func apart(places []matchedPlace, most int) (out []matchedPlace) {
	const share = 1. / 10
	for _, p := range places {
		if len(out) == most {
			break
		}
		if !slices.ContainsFunc(out, func(o matchedPlace) bool {
			return o.match == p.match && o.choice.MiddleMM == p.choice.MiddleMM &&
				math.Abs(math.Remainder(o.choice.MM-p.choice.MM, p.match.RepeatMM)) < share*p.match.RepeatMM
		}) {
			out = append(out, p)
		}
	}
	return out
}

// instances are the pattern with its stripes in one place, for each kind of cloth.
func (m *matcher) instances(at matchedPlace) []*instance {
	matched := &split.MatchedStripes{StripeMatch: at.match, Choice: at.choice}
	return m.table.variantsOf(m.copies, func(kinds []string) *instance {
		in := &instance{table: m.table, pieces: m.copies, kinds: slices.Clone(kinds), matched: matched}
		for i, b := range m.whole {
			p := matched.On(i, b.piece)
			key := fmt.Sprintf("%s/stripes %t %g at %.4f", b.key, at.match.Along, at.match.RepeatMM, p.Stripes.AtMM)
			if k := in.kindOf(i); k != "" {
				p, key = ofKind(p, k), key+"/"+k
			}
			if !in.add(newBlank(p, p.Outline, key)) {
				return in
			}
		}
		in.fills = in.evenFills()
		return in
	})
}

// lacks says why no plan may be found: too little of the striped cloth, or its
// stripes in the wrong places.
func (m *matcher) lacks(match *split.StripeMatch, g stripedCloth) string {
	need := 0.0
	var names []string
	for i, b := range m.whole {
		if match.Linked(i) {
			need += b.area
			if !slices.Contains(names, b.piece.Name) {
				names = append(names, b.piece.Name)
			}
		}
	}
	runs := "across the grain"
	if g.along {
		runs = "along the grain"
	}
	if need > g.mm2 {
		return fmt.Sprintf("%s need %.2f m² of cloth with one repeat, and of that with stripes %s, %.1f cm from one to the next, there is %.2f m²", strings.Join(names, ", "), need/1e6, runs, g.repeatMM/10, g.mm2/1e6)
	}
	return fmt.Sprintf("%s may each lie only where their stripes meet, %s and %.1f cm from one to the next, and no way was found to cut all of them so", strings.Join(names, ", "), runs, g.repeatMM/10)
}

// matchStripes makes the driver's instances those at which stripes meet. It says
// why there are none, if that is so.
func (d *driver) matchStripes(ctx context.Context) (why string, ok bool) {
	variants, why := d.match.variants(ctx)
	if len(variants) == 0 {
		return why, false
	}
	d.variants, d.base, d.moved = variants, variants[0], []*instance{}
	return "", true
}

// stripeLines are the lines that a part's shift is held to at a turn: those on which
// the stripes of a scrap run where they are to run on its piece.
func stripeLines(p *piece.Piece, s *piece.Scrap, halfTurned bool) fit.Lines {
	deg := s.GrainDeg
	if s.Stripe.Along {
		deg -= 90
	}
	sin, cos := math.Sincos(deg * math.Pi / 180)
	first := s.Stripe.Top(s.Outline, s.GrainDeg) + s.Stripe.FirstMM
	if across := piece.AcrossStripes(s.GrainDeg, s.Stripe.Along); across[0]*cos+across[1]*sin < 0 {
		first = -first
	}
	at := p.Stripes.AtMM
	if halfTurned {
		at = -at
	}
	return fit.Lines{Deg: deg, EveryMM: s.Stripe.RepeatMM, AtMM: first - at}
}
