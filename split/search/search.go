// Package search finds piecing plans: which part of which piece comes from
// which scrap, with the fewest added seams and, among those, the least
// intrusive.
//
// How it thinks. A part of a part fits wherever the larger part fits, so for
// one piece, one scrap and one way to split, how far the part can go is a
// monotone question; it is bisected to the critical level. A tree of cuts is
// then built bite by bite: the largest part that one scrap can hold is cut
// off, and what remains is asked the same question. Deepening runs over the
// number of added seams, so the first plan found at a depth has the fewest
// that the kinds of seam allow (R. Korf, "Depth-first iterative-deepening: an
// optimal admissible tree search", 1985). Area and extent prune before any
// geometry runs. Seams are moved across joins where that alone saves an added
// one.
//
// Where parts share scraps, how far one goes says how far the others must.
// Such a trade of cloth is dealt first, which part lies where, with the
// bounds that hold for each part alone: it is dropped when some scrap cannot
// hold the least that its parts may be, by area or by a quick packing. What
// remains starts from levels that fill the scraps evenly, and fit.Joint moves
// levels and parts together until all is clear.
//
// How full the scraps of a trade would be says best whether that will come to
// anything, and it is told by areas alone, a thousand times faster. So each
// pass takes the trades up to a fullness, the loosest first, however many cheap
// tries that costs. Of the passes at all numbers of seams the one that promises
// the least work is always next.
//
// Last, the levels slide to where they cost least.
//
// The work is counted in tries, not in seconds, so that the same input and
// seed give the same plan on any number of cores as long as time does not
// run out.
package search

import (
	"context"
	"errors"
	"slices"
	"sort"
	"strings"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/wish"
)

// Options steer a search. The zero value of a field takes the default named.
type Options struct {
	Keep              int      // how many plans to keep; 3
	Kinds             []string // kinds of seam allowed; all
	MaxSeams          int      // most added seams; negative for DefaultMaxSeams
	AllowanceMM       float64  // of a piecing seam
	GapMM             float64  // between cutting lines on one scrap
	GrainToleranceDeg float64
	DartReachMM       float64 // how far a dart may be moved for a seam to take it in; 0 for none
	Seed              uint64
	Workers           int // 1
	Rules             []piece.Rule
	Wishes            []wish.Wish
	Progress          func(Progress) // called from one goroutine at a time
	First             bool           // stop at the first plan, and leave it as it was found
	Budgets           int            // how many passes each number of seams gets, the loosest first; all
}

// MayCut reports whether every rule lets a piece be cut from a scrap.
func (o Options) MayCut(p *piece.Piece, s *piece.Scrap) bool {
	for _, r := range o.withDefaults().Rules {
		if !r.MayCut(p, s) {
			return false
		}
	}
	return true
}

// DefaultMaxSeams is how many piecing seams a plan may add when none is said.
const DefaultMaxSeams = 8

// Progress is the best plan so far.
type Progress struct {
	Found    bool
	Seams    int
	LengthMM float64
}

// Result is what a search found. Plans are in order: fewest seams, then
// least intrusive. It is empty when nothing fits.
type Result struct {
	Plans   []*split.Made
	Drawn   []*piece.Piece // every copy, before any seam moved
	Fewest  bool           // no plan with fewer added seams exists in the kinds of seam tried
	Reason  string         // why it is the fewest, or how far the search got
	Settled bool           // the search ended by itself, not by time
}

// ErrNoScraps and ErrNoPieces are bad use.
var (
	ErrNoScraps = errors.New("there are no scraps to cut from; name a scrap file or use --scrap")
	ErrNoPieces = errors.New("there are no pieces to cut")
)

// Run searches until it is done or ctx ends, and keeps the best it has. Its
// error is bad input; that nothing fits is not an error.
func Run(ctx context.Context, pieces []*piece.Piece, scraps []piece.Scrap, o Options) (*Result, error) {
	return RunCopies(ctx, split.Copies(pieces), scraps, o)
}

// RunCopies is Run for copies of pieces, which need not be all copies.
func RunCopies(ctx context.Context, copies []*piece.Piece, scraps []piece.Scrap, o Options) (*Result, error) {
	if len(copies) == 0 {
		return nil, ErrNoPieces
	}
	if len(scraps) == 0 {
		return nil, ErrNoScraps
	}
	o = o.withDefaults()
	t := newTable(scraps, o)
	d := &driver{table: t, options: o, variants: t.variants(copies, nil)}
	d.base = d.variants[0]
	return d.run(ctx), nil
}

func (o Options) withDefaults() Options {
	if o.Keep <= 0 {
		o.Keep = 3
	}
	if o.MaxSeams < 0 {
		o.MaxSeams = DefaultMaxSeams
	}
	o.Workers = max(1, o.Workers)
	if o.Budgets <= 0 || o.Budgets > len(budgets) {
		o.Budgets = len(budgets)
	}
	if o.Rules == nil {
		o.Rules = []piece.Rule{piece.FabricRule{}, piece.KindRule{}}
	}
	return o
}

// allows reports whether seams of a kind, or at a joined edge of that name, are
// allowed.
func (o Options) allows(kind string) bool {
	return len(o.Kinds) == 0 || slices.ContainsFunc(o.Kinds, func(k string) bool { return strings.EqualFold(k, kind) })
}

// driver is one run: the deepening, and the plans found on the way.
type driver struct {
	table    *table
	options  Options
	base     *instance
	variants []*instance // the pattern as drawn, one for each choice of a kind of cloth; base is one
	moved    []*instance // the pattern with seams moved, made when first needed

	found []*split.Made
}

// budget is how much work one task of a pass may do.
type budget struct {
	tries int // of places for parts
	poses int // that fit.Pack weighs before a scrap counts as full
	// Attempts at the levels of pieces that are cut between scraps.
	attempts int
	// How much fuller than by an even spread over all scraps one may get that
	// several parts share. Odd shapes leave gaps, so the fuller the scraps are
	// to be the less is to be hoped, and the later it is tried.
	fillMargin  float64
	perCopy     int  // most seams in one copy, unless that rules out all plans
	nonStraight bool // whether cuts may be other than plain
	sharedOnly  bool // whether it is taken for granted that scraps must be shared
}

// maxPoses is more than any time allows.
const maxPoses = 1 << 28

func (e budget) quarter() budget {
	e.tries /= 4
	return e
}

// The passes: from scraps that fill loosely to scraps that are full, and ever
// more thorough.
var budgets = []budget{
	{4000, 3000, 1, 0.03, 2, false, false},
	{15000, 6000, 3, 0.08, 2, false, false},
	{60000, 6000, 4, 0.11, 2, false, true},
	{60000, 15000, 6, 0.14, maxCuts, true, true},
	{300000, 40000, 16, 1, maxCuts, true, true},
}

func (d *driver) run(whole context.Context) *Result {
	ctx, cancel := withTimeToFinish(whole)
	defer cancel()
	least := d.minSeams(ctx)
	first := least
	for _, in := range d.movedInstances(ctx) {
		first = min(first, in.minSeams(ctx))
	}
	res := &Result{Drawn: d.base.pieces}
	best := d.options.MaxSeams + 1
	undecided := map[int]bool{}
	plan := newSchedule(first, d.options.MaxSeams, d.options.Budgets)
	packOnly := d.options.MaxSeams == 0 && len(d.variants) == 1 && d.base.oneAssignment() && len(d.movedInstances(ctx)) == 0
	for ctx.Err() == nil {
		seams, tier, ok := plan.next(best)
		if !ok || packOnly && tier > 0 {
			break
		}
		before := d.table.work.Load()
		plans, complete := d.iterate(ctx, seams, budgets[tier], 1)
		plan.record(seams, d.table.work.Load()-before, complete)
		undecided[seams] = !complete
		if len(plans) > 0 {
			d.keep(plans)
			best = seams
			d.report()
			if d.options.First {
				break
			}
		}
	}
	for seams := range first {
		undecided[seams] = false
	}
	// With no seam allowed there is nothing left but to pack harder.
	for budget := budgets[len(budgets)-1]; d.options.MaxSeams == 0 && d.options.Budgets == len(budgets) && undecided[0] && len(d.found) == 0 && ctx.Err() == nil; {
		budget.poses = min(4*budget.poses, maxPoses)
		if packOnly { // a longer attempt begins like a shorter one, so one is made of it
			budget.poses = maxPoses
		}
		budget.tries = max(budget.tries, budget.poses)
		plans, complete := d.iterate(ctx, 0, budget, 1)
		undecided[0] = !complete
		d.keep(plans)
		d.report()
		if packOnly {
			break
		}
	}
	// Others as good, and then some with one seam more, to choose from.
	for _, more := range []int{0, 1} {
		if d.options.First || len(d.found) == 0 || best+more > d.options.MaxSeams || ctx.Err() != nil || more > 0 && len(d.distinct()) >= d.options.Keep {
			break
		}
		d.keep(d.alternatives(ctx, best+more))
	}
	d.finish(whole)
	res.Plans = d.found
	if len(res.Plans) > 0 {
		res.Fewest, res.Reason = d.proof(ctx, len(res.Plans[0].Seams), least, undecided)
	}
	res.Settled = ctx.Err() == nil
	return res
}

// withTimeToFinish leaves a little of the time for sliding seams to where they
// cost least once a plan is found.
func withTimeToFinish(ctx context.Context) (context.Context, context.CancelFunc) {
	const share, most = 10, 2 * time.Second
	end, ok := ctx.Deadline()
	if !ok {
		return context.WithCancel(ctx)
	}
	return context.WithDeadline(ctx, end.Add(-min(time.Until(end)/share, most)))
}

// proof says whether fewer seams than n have been ruled out, and how.
func (d *driver) proof(ctx context.Context, n, least int, undecided map[int]bool) (bool, string) {
	const stopped = "the time was up, or the search was stopped, before plans with fewer seams could be ruled out"
	if n == 0 {
		return true, "no seam is added"
	}
	if slices.ContainsFunc(d.variants, func(in *instance) bool { return !in.measured }) {
		return false, stopped
	}
	if ctx.Err() != nil { // this is quick, and gets a moment of its own
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(context.WithoutCancel(ctx), 200*time.Millisecond)
		defer cancel()
	}
	ruledOut := true
	for _, in := range d.variants {
		ruledOut = ruledOut && d.withBase(in).movesRuledOut(ctx)
	}
	if ctx.Err() != nil {
		return false, stopped
	}
	if !ruledOut {
		return false, "moving a seam over by some other amount might save one that is added; not every amount was tried"
	}
	if n <= least {
		return true, "no scrap is large enough for the pieces that are split to be cut in fewer parts (extent bound)"
	}
	for s := range n {
		if open, tried := undecided[s]; open || !tried {
			return false, "plans with fewer seams were tried and none was found, but not every one was ruled out"
		}
	}
	return true, "every plan with fewer seams was tried or shown to be impossible (search complete)"
}

// minSeams is a lower bound on the added seams with no seam moved.
func (d *driver) minSeams(ctx context.Context) int {
	least := d.base.minSeams(ctx)
	for _, in := range d.variants {
		least = min(least, in.minSeams(ctx))
	}
	return least
}

// withBase is the hunt for one job in the place of the base.
func (d *driver) withBase(in *instance) *driver {
	if in == d.base {
		return d
	}
	one := *d
	one.base = in
	return &one
}

func (d *driver) report() {
	if d.options.Progress != nil && len(d.found) > 0 {
		d.options.Progress(Progress{true, len(d.found[0].Seams), d.found[0].LengthMM()})
	}
}

// iterate looks for plans with exactly that many added seams: as many as are
// enough in the pattern as drawn, and where those do not do, with seams moved.
// Complete says that what it did not find does not exist.
func (d *driver) iterate(ctx context.Context, seams int, budget budget, enough int) (plans []*split.Made, complete bool) {
	complete = true
	for k, in := range d.variants {
		if k > 0 && (len(plans) >= enough || ctx.Err() != nil) {
			return plans, false
		}
		more, all := in.solve(ctx, seams, budget, enough)
		plans = append(plans, more...)
		complete = complete && all
	}
	for _, in := range d.movedInstances(ctx) {
		if len(plans) >= enough || ctx.Err() != nil {
			return plans, false
		}
		more, all := in.solve(ctx, seams, budget.quarter(), enough)
		plans = append(plans, more...)
		complete = complete && all
	}
	return plans, complete
}

// alternatives looks for other plans with that many seams, to choose from: some of the
// pattern as drawn, and one or two for each amount by which a seam can be
// moved, the smallest first.
func (d *driver) alternatives(ctx context.Context, seams int) []*split.Made {
	budget := budget{tries: 15000, poses: 6000, attempts: 2, fillMargin: 0.05, perCopy: 2}
	var plans []*split.Made
	for _, in := range d.variants {
		some, _ := in.solve(ctx, seams, budget, 4*d.options.Keep)
		plans = append(plans, some...)
	}
	drawn := len(plans)
	for _, in := range d.movedInstances(ctx) {
		if len(plans)-drawn >= 2*d.options.Keep || ctx.Err() != nil {
			break
		}
		some, _ := in.solve(ctx, seams, budget.quarter(), 2)
		plans = append(plans, some...)
	}
	return plans
}

// keep adds plans to those found and keeps the list in order and short.
func (d *driver) keep(plans []*split.Made) {
	seen := map[string]bool{}
	for _, m := range d.found {
		seen[exactSignature(m)] = true
	}
	for _, m := range plans {
		if s := exactSignature(m); !seen[s] {
			seen[s] = true
			d.found = append(d.found, m)
		}
	}
	d.rank()
	if most := 8 * d.options.Keep; len(d.found) > most {
		d.found = d.found[:most]
	}
}

// rank orders plans: fewest seams, then least intrusive, then by what they
// look like, so that the order never depends on chance.
func (d *driver) rank() {
	plans := d.found
	cost := make(map[*split.Made]float64, len(plans))
	for _, m := range plans {
		cost[m] = split.Intrusion(split.Cost(m))
	}
	sort.SliceStable(plans, func(i, j int) bool {
		a, b := plans[i], plans[j]
		if len(a.Seams) != len(b.Seams) {
			return len(a.Seams) < len(b.Seams)
		}
		if cost[a] != cost[b] {
			return cost[a] < cost[b]
		}
		return signature(a, d.table.scraps) < signature(b, d.table.scraps)
	})
}

// finish slides the levels of what was found to where they cost least, and
// keeps as many as were asked for.
func (d *driver) finish(ctx context.Context) {
	if d.options.First {
		d.found = d.found[:min(1, len(d.found))]
		return
	}
	for i, m := range d.found {
		d.found[i] = d.refine(ctx, m)
	}
	d.rank()
	d.found = d.distinct()
	if len(d.found) > d.options.Keep {
		d.found = d.found[:d.options.Keep]
	}
	for _, m := range d.found {
		if ctx.Err() != nil {
			break
		}
		d.table.layTrue(ctx, m)
	}
}

// distinct keeps, of the plans in order, the best of those that look the same
// to a maker, and none that is an earlier one with seams to no purpose.
func (d *driver) distinct() []*split.Made {
	seen := map[string]bool{}
	var out []*split.Made
	for _, m := range d.found {
		s := signature(m, d.table.scraps)
		if seen[s] {
			continue
		}
		seen[s] = true
		pointless := false
		for _, better := range out {
			pointless = pointless || d.addsOnly(m, better)
		}
		if !pointless {
			out = append(out, m)
		}
	}
	return out
}

// addsOnly reports whether a plan is another one with more seams, added or
// moved: every piece is as in the other or is split more.
func (d *driver) addsOnly(m, other *split.Made) bool {
	seams, moves := len(m.Seams)-len(other.Seams), len(m.Plan.Moves)-len(other.Plan.Moves)
	if seams < 0 || moves < 0 || seams+moves == 0 {
		return false
	}
	for i, t := range m.Plan.Trees {
		o := other.Plan.Trees[i]
		if t.Seams() <= o.Seams() && treeSignature(t, d.table.scraps) != treeSignature(o, d.table.scraps) {
			return false
		}
	}
	return true
}
