package search

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
	"eke/split/wish"
)

// Beside the plan with the fewest seams a maker wants to see the one that looks
// best, and one that keeps what she prefers. Both are found by asking again, with
// that as a must, for a seam or two more.

// looksMore is how many seams more the best-looking plan may have.
const looksMore = 2

// look looks for plans in which every piece has one look in all its copies, and
// for such as keep the preferred wishes.
func (d *driver) look(ctx context.Context, seams int) {
	if d.options.First || d.carry != nil || len(d.found) == 0 {
		return
	}
	ctx, cancel := shareOf(ctx, 1./3)
	defer cancel()
	if preferred := wish.Preferred(d.options.Wishes); len(preferred) > 0 {
		o := d.options
		o.Wishes = append(wish.Musts(o.Wishes), preferred...)
		d.keep(d.again(ctx, o, seams, 0))
	}
	d.lineUp(ctx, seams)
	// First of all pieces, which may take a seam or two more, and then of those alone that
	// do not match in the best plan.
	all, more := allNames(d.copies), looksMore
	if d.looksBest(seams+looksMore) == 0 {
		more = 0
	}
	tidy := func(pieces []string, more int) {
		if d.looksBest(seams) > 0 {
			o := d.options
			o.tidy = pieces
			d.keep(d.again(ctx, o, seams, more))
		}
	}
	tidy(all, more)
	if some := d.unmatched(d.found[0]); len(some) > 0 && len(some) < len(all) {
		tidy(some, 0)
	}
}

// tidied are plans with a seam fewer than one that was found beside the iterations and has
// pieces of several looks, in which every piece has one look in all its copies. There are so
// few of these that they may all be looked at long before the iterations get so far.
func (d *driver) tidied(ctx context.Context, m *split.Made, least int) []*split.Made {
	if len(m.Seams) <= least || len(d.unmatched(m)) == 0 {
		return nil
	}
	ctx, cancel := shareOf(ctx, 1./3)
	defer cancel()
	o := d.options
	o.tidy = allNames(d.copies)
	return d.again(ctx, o, len(m.Seams)-1, 0)
}

// lineUp looks for plans in which the lines between two looks that were wished for lie at
// one height on all copies, where they do not in the best plan.
func (d *driver) lineUp(ctx context.Context, seams int) {
	for _, name := range d.options.blocks() {
		if d.found[0].LinesApartMM(name) > 0 {
			o := d.options
			o.linedUp = true
			d.keep(d.again(ctx, o, seams, 0))
			return
		}
	}
}

// looksBest is what the best-looking plan costs for its looks, of those found with no
// more than so many seams.
func (d *driver) looksBest(seams int) float64 {
	least := math.Inf(1)
	for _, m := range d.found {
		if len(m.Seams) <= seams {
			least = min(least, split.LookPoints(m))
		}
	}
	return least
}

// unmatched names the pieces of which a plan has parts from several looks.
func (d *driver) unmatched(m *split.Made) (out []string) {
	looks := map[string]string{}
	for _, part := range m.Parts {
		name, look := m.Plan.Pieces[part.Piece].Name, strings.ToLower(d.table.scraps[part.Leaf.Scrap].TheLook())
		if was, ok := looks[name]; ok && was != look && !slices.Contains(out, name) {
			out = append(out, name)
		}
		looks[name] = look
	}
	return out
}

// allNames are the names of copies, each once.
func allNames(copies []*piece.Piece) (out []string) {
	for _, p := range copies {
		if !slices.Contains(out, p.Name) {
			out = append(out, p.Name)
		}
	}
	return out
}

// shareOf is a context with a share of the time that is left of one.
func shareOf(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	end, ok := ctx.Deadline()
	if !ok {
		return context.WithCancel(ctx)
	}
	return context.WithTimeout(ctx, time.Duration(share*float64(time.Until(end))))
}

// again searches with other options, for plans with that many seams and up to more
// beyond.
func (d *driver) again(ctx context.Context, o Options, seams, more int) []*split.Made {
	const tiers = 2
	o.Progress = nil
	e, err := newDriver(d.copies, d.pile, o)
	if err != nil || e.carry != nil {
		return nil
	}
	if e.match != nil {
		if _, ok := e.matchStripes(ctx); !ok {
			return nil
		}
	}
	most := seams + more
	if o.MaxSeams >= 0 {
		most = min(most, o.MaxSeams)
	}
	for n := seams; n <= most; n++ {
		for _, budget := range budgets[:tiers] {
			if ctx.Err() != nil {
				return nil
			}
			if plans, _ := e.iterate(ctx, n, budget, o.Keep, always); len(plans) > 0 {
				return plans
			}
		}
	}
	return nil
}

// dropUnkept drops plans that break a wish about looks which is to be kept. The
// search holds to each such wish by itself; where two speak of one piece, as that
// a line is carried and that another piece has it with other looks, it may not.
func (d *driver) dropUnkept() {
	if musts, _ := wish.OfLooks(d.options.Wishes); len(musts) > 1 {
		d.found = slices.DeleteFunc(d.found, d.breaksMust)
	}
}

// breaksMust reports whether a plan breaks a wish about looks that is to be kept.
func (d *driver) breaksMust(m *split.Made) bool {
	musts, _ := wish.OfLooks(d.options.Wishes)
	return len(musts) > 0 && slices.ContainsFunc(d.told(m, musts), func(t plan.Wish) bool { return !t.Kept })
}

// told is what became of some wishes in a plan.
func (d *driver) told(m *split.Made, wishes []wish.Wish) []plan.Wish {
	r := split.Record{Settings: d.options.Settings(), Drawn: d.base.pieces, Scraps: d.table.scraps, Plans: []*split.Made{m}}
	doc := r.Document()
	return wish.Told(wishes, doc, &doc.Options[0])
}

// weighPreferred notes which preferred wishes a plan does not keep.
func (d *driver) weighPreferred(m *split.Made) {
	preferred := wish.Preferred(d.options.Wishes)
	if len(preferred) == 0 || m.Plan.Unkept != nil {
		return
	}
	m.Plan.Unkept = []string{}
	for _, t := range d.told(m, preferred) {
		if !t.Kept {
			m.Plan.Unkept = append(m.Plan.Unkept, t.Text)
		}
	}
}

// withBestLooking keeps the best-looking of the plans among the first keep, as the
// last of them, and says of it why. The plans are in order.
func withBestLooking(plans []*split.Made, keep int) []*split.Made {
	if len(plans) == 0 {
		return nil
	}
	best := 0
	for k, m := range plans {
		if split.LookPoints(m) < split.LookPoints(plans[best]) {
			best = k
		}
	}
	m := plans[best]
	if best >= keep {
		plans = append(slices.Clone(plans[:keep-1]), m)
	}
	plans = plans[:min(len(plans), keep)]
	worst := m
	for _, other := range plans {
		if split.LookPoints(other) > split.LookPoints(worst) {
			worst = other
		}
	}
	switch {
	case worst == m: // all look as well
	case m == plans[0]:
		m.BestLooking = bestOfAll(m, plans)
	default:
		m.BestLooking = bestLooking(plans[0], m)
	}
	return plans
}

// bestOfAll says why the first of some plans looks best. That it does may come of one thing
// that outweighs another, so of each only what holds is said.
func bestOfAll(m *split.Made, plans []*split.Made) string {
	count := func(of *split.Made, name string) (n int) {
		for _, t := range split.LookTerms(of) {
			n += btoi(t.Name == name)
		}
		return n
	}
	fewest := !slices.ContainsFunc(plans, func(o *split.Made) bool {
		return count(o, split.TwoLooks) < count(m, split.TwoLooks)
	})
	switch alike := count(m, split.UnlikeCopies) == 0; {
	case alike && fewest:
		return "pairs are alike, and looks meet in as few places as in any other"
	case alike:
		return "pairs are alike"
	case fewest:
		return "looks meet in as few places as in any other; not all pairs are alike"
	}
	return fmt.Sprintf("its cost for how its cloth looks is the least, %.1f points", split.LookPoints(m))
}

// bestLooking says why a plan looks better than the first.
func bestLooking(first, m *split.Made) string {
	said := ""
	for _, t := range split.LookTerms(first) {
		if !slices.ContainsFunc(split.LookTerms(m), func(o split.Term) bool { return o.Name == t.Name && o.Detail == t.Detail }) {
			said = fmt.Sprintf("it is without what the plan with the fewest seams has: %s (%s)", t.Name, t.Detail)
			break
		}
	}
	if more := len(m.Seams) - len(first.Seams); more > 0 {
		said += fmt.Sprintf("; seams more than that has: %d", more)
	}
	return said
}
