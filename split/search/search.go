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
	Passes            int            // how many passes each number of seams gets, the loosest first; all
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
	var copies []*piece.Piece
	for _, p := range pieces {
		copies = append(copies, p.Copies()...)
	}
	return RunCopies(ctx, copies, scraps, o)
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
	h := &hunt{table: t, options: o, variants: t.variants(copies, nil)}
	h.base = h.variants[0]
	return h.run(ctx), nil
}

func (o Options) withDefaults() Options {
	if o.Keep <= 0 {
		o.Keep = 3
	}
	if o.MaxSeams < 0 {
		o.MaxSeams = DefaultMaxSeams
	}
	o.Workers = max(1, o.Workers)
	if o.Passes <= 0 || o.Passes > len(passes) {
		o.Passes = len(passes)
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

// hunt is one run: the deepening, and the plans found on the way.
type hunt struct {
	table    *table
	options  Options
	base     *job
	variants []*job // the pattern as drawn, one for each choice of a kind of cloth; base is one
	moved    []*job // the pattern with seams moved, made when first needed

	found []*split.Made
}

// effort is how much work one task of a pass may do.
type effort struct {
	tries int // of places for parts
	poses int // that fit.Pack weighs before a scrap counts as full
	// Attempts at the levels of pieces that are cut between scraps.
	attempts int
	// How much fuller than by an even spread over all scraps one may get that
	// several parts share. Odd shapes leave gaps, so the fuller the scraps are
	// to be the less is to be hoped, and the later it is tried.
	over   float64
	each   int  // most seams in one copy, unless that rules out all plans
	fancy  bool // whether cuts may be other than plain
	shared bool // whether it is taken for granted that scraps must be shared
}

// mostPoses is more than any time allows.
const mostPoses = 1 << 28

func (e effort) quarter() effort {
	e.tries /= 4
	return e
}

// The passes: from scraps that fill loosely to scraps that are full, and ever
// more thorough.
var passes = []effort{
	{4000, 3000, 1, 0.03, 2, false, false},
	{15000, 6000, 3, 0.08, 2, false, false},
	{60000, 6000, 4, 0.11, 2, false, true},
	{60000, 15000, 6, 0.14, mostCuts, true, true},
	{300000, 40000, 16, 1, mostCuts, true, true},
}

func (h *hunt) run(whole context.Context) *Result {
	ctx, cancel := withTimeToFinish(whole)
	defer cancel()
	least := h.leastSeams(ctx)
	first := least
	for _, j := range h.movedJobs(ctx) {
		first = min(first, j.leastSeams(ctx))
	}
	res := &Result{Drawn: h.base.pieces}
	best := h.options.MaxSeams + 1
	undecided := map[int]bool{}
	looks := newSchedule(first, h.options.MaxSeams, h.options.Passes)
	packOnly := h.options.MaxSeams == 0 && len(h.variants) == 1 && h.base.oneDeal() && len(h.movedJobs(ctx)) == 0
	for ctx.Err() == nil {
		seams, pass, ok := looks.next(best)
		if !ok || packOnly && pass > 0 {
			break
		}
		before := h.table.work.Load()
		plans, complete := h.depth(ctx, seams, passes[pass], 1)
		looks.took(seams, h.table.work.Load()-before, complete)
		undecided[seams] = !complete
		if len(plans) > 0 {
			h.keep(plans)
			best = seams
			h.tell()
			if h.options.First {
				break
			}
		}
	}
	for seams := range first {
		undecided[seams] = false
	}
	// With no seam allowed there is nothing left but to pack harder.
	for work := passes[len(passes)-1]; h.options.MaxSeams == 0 && h.options.Passes == len(passes) && undecided[0] && len(h.found) == 0 && ctx.Err() == nil; {
		work.poses = min(4*work.poses, mostPoses)
		if packOnly { // a longer attempt begins like a shorter one, so one is made of it
			work.poses = mostPoses
		}
		work.tries = max(work.tries, work.poses)
		plans, complete := h.depth(ctx, 0, work, 1)
		undecided[0] = !complete
		h.keep(plans)
		h.tell()
		if packOnly {
			break
		}
	}
	// Others as good, and then some with one seam more, to choose from.
	for _, more := range []int{0, 1} {
		if h.options.First || len(h.found) == 0 || best+more > h.options.MaxSeams || ctx.Err() != nil || more > 0 && len(h.distinct()) >= h.options.Keep {
			break
		}
		h.keep(h.more(ctx, best+more))
	}
	h.finish(whole)
	res.Plans = h.found
	if len(res.Plans) > 0 {
		res.Fewest, res.Reason = h.proof(ctx, len(res.Plans[0].Seams), least, undecided)
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
func (h *hunt) proof(ctx context.Context, n, least int, undecided map[int]bool) (bool, string) {
	const stopped = "the time was up, or the search was stopped, before plans with fewer seams could be ruled out"
	if n == 0 {
		return true, "no seam is added"
	}
	if slices.ContainsFunc(h.variants, func(j *job) bool { return !j.measured }) {
		return false, stopped
	}
	if ctx.Err() != nil { // this is quick, and gets a moment of its own
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(context.WithoutCancel(ctx), 200*time.Millisecond)
		defer cancel()
	}
	ruledOut := true
	for _, j := range h.variants {
		ruledOut = ruledOut && h.of(j).movesRuledOut(ctx)
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

// leastSeams is a lower bound on the added seams with no seam moved.
func (h *hunt) leastSeams(ctx context.Context) int {
	least := h.base.leastSeams(ctx)
	for _, j := range h.variants {
		least = min(least, j.leastSeams(ctx))
	}
	return least
}

// of is the hunt for one job in the place of the base.
func (h *hunt) of(j *job) *hunt {
	if j == h.base {
		return h
	}
	one := *h
	one.base = j
	return &one
}

func (h *hunt) tell() {
	if h.options.Progress != nil && len(h.found) > 0 {
		h.options.Progress(Progress{true, len(h.found[0].Seams), h.found[0].LengthMM()})
	}
}

// depth looks for plans with exactly that many added seams: as many as are
// enough in the pattern as drawn, and where those do not do, with seams moved.
// Complete says that what it did not find does not exist.
func (h *hunt) depth(ctx context.Context, seams int, work effort, enough int) (plans []*split.Made, complete bool) {
	complete = true
	for k, j := range h.variants {
		if k > 0 && (len(plans) >= enough || ctx.Err() != nil) {
			return plans, false
		}
		more, all := j.solve(ctx, seams, work, enough)
		plans = append(plans, more...)
		complete = complete && all
	}
	for _, j := range h.movedJobs(ctx) {
		if len(plans) >= enough || ctx.Err() != nil {
			return plans, false
		}
		more, all := j.solve(ctx, seams, work.quarter(), enough)
		plans = append(plans, more...)
		complete = complete && all
	}
	return plans, complete
}

// more looks for other plans with that many seams, to choose from: some of the
// pattern as drawn, and one or two for each amount by which a seam can be
// moved, the smallest first.
func (h *hunt) more(ctx context.Context, seams int) []*split.Made {
	work := effort{tries: 15000, poses: 6000, attempts: 2, over: 0.05, each: 2}
	var plans []*split.Made
	for _, j := range h.variants {
		some, _ := j.solve(ctx, seams, work, 4*h.options.Keep)
		plans = append(plans, some...)
	}
	drawn := len(plans)
	for _, j := range h.movedJobs(ctx) {
		if len(plans)-drawn >= 2*h.options.Keep || ctx.Err() != nil {
			break
		}
		some, _ := j.solve(ctx, seams, work.quarter(), 2)
		plans = append(plans, some...)
	}
	return plans
}

// keep adds plans to those found and keeps the list in order and short.
func (h *hunt) keep(plans []*split.Made) {
	seen := map[string]bool{}
	for _, m := range h.found {
		seen[exactly(m)] = true
	}
	for _, m := range plans {
		if s := exactly(m); !seen[s] {
			seen[s] = true
			h.found = append(h.found, m)
		}
	}
	h.rank()
	if most := 8 * h.options.Keep; len(h.found) > most {
		h.found = h.found[:most]
	}
}

// rank orders plans: fewest seams, then least intrusive, then by what they
// look like, so that the order never depends on chance.
func (h *hunt) rank() {
	plans := h.found
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
		return signature(a, h.table.scraps) < signature(b, h.table.scraps)
	})
}

// finish slides the levels of what was found to where they cost least, and
// keeps as many as were asked for.
func (h *hunt) finish(ctx context.Context) {
	if h.options.First {
		h.found = h.found[:min(1, len(h.found))]
		return
	}
	for i, m := range h.found {
		h.found[i] = h.refine(ctx, m)
	}
	h.rank()
	h.found = h.distinct()
	if len(h.found) > h.options.Keep {
		h.found = h.found[:h.options.Keep]
	}
	for _, m := range h.found {
		if ctx.Err() != nil {
			break
		}
		h.table.straighten(ctx, m)
	}
}

// distinct keeps, of the plans in order, the best of those that look the same
// to a maker, and none that is an earlier one with seams to no purpose.
func (h *hunt) distinct() []*split.Made {
	seen := map[string]bool{}
	var out []*split.Made
	for _, m := range h.found {
		s := signature(m, h.table.scraps)
		if seen[s] {
			continue
		}
		seen[s] = true
		pointless := false
		for _, better := range out {
			pointless = pointless || h.addsOnly(m, better)
		}
		if !pointless {
			out = append(out, m)
		}
	}
	return out
}

// addsOnly reports whether a plan is another one with more seams, added or
// moved: every piece is as in the other or is split more.
func (h *hunt) addsOnly(m, other *split.Made) bool {
	seams, moves := len(m.Seams)-len(other.Seams), len(m.Plan.Moves)-len(other.Plan.Moves)
	if seams < 0 || moves < 0 || seams+moves == 0 {
		return false
	}
	for i, t := range m.Plan.Trees {
		o := other.Plan.Trees[i]
		if t.Seams() <= o.Seams() && treeSignature(t, h.table.scraps) != treeSignature(o, h.table.scraps) {
			return false
		}
	}
	return true
}
