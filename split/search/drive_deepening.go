package search

import (
	"context"
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/wish"
)

// driver is one run of the search: iterative deepening, and the plans found on the
// way.
type driver struct {
	table    *table
	options  Options
	base     *instance
	variants []*instance              // the pattern as drawn, one for each choice of a kind of cloth; base is one
	moved    []*instance              // the pattern with seams moved, made when first needed
	paired   map[*instance][]pairMove // of each variant, likewise
	copies   []*piece.Piece
	pile     []piece.Scrap
	carry    *carrier // carries a line; nil where none is
	match    *matcher // lets the cloth's stripes meet; nil where they need not
	// Whether the copies are simplified, so that what is found is proved of others.
	simplified bool

	found  []*split.Made
	mended int64 // work that went into near misses, in tries
}

func (d *driver) run(whole context.Context) *Result {
	wait, ctx := newPatience(whole)
	defer wait.end()
	if enough := d.options.Enough; enough != nil {
		defer context.AfterFunc(enough, wait.end)()
		if enough.Err() != nil { // for that may take a while to be called
			wait.end()
		}
	}
	if slices.ContainsFunc(d.copies, func(p *piece.Piece) bool { return !d.table.hasCloth(p) }) {
		return &Result{Drawn: d.base.pieces, Settled: true} // no seam helps
	}
	if d.carry != nil {
		variants, why := d.carry.variants(ctx)
		if variants == nil {
			return &Result{Drawn: d.base.pieces, Unkept: &Unkept{d.carry.wish, why}, Settled: ctx.Err() == nil}
		}
		d.variants, d.base, d.moved = variants, variants[0], []*instance{}
	}
	if d.match != nil {
		if why, ok := d.matchStripes(ctx); !ok {
			return &Result{Drawn: d.base.pieces, Unkept: &Unkept{d.match.stands, why}, Settled: ctx.Err() == nil}
		}
	}
	least := d.minSeams(ctx)
	first := d.leastWithPairs(ctx, leastSound(ctx, least, d.movedInstances(ctx)))
	res := &Result{Drawn: d.base.pieces}
	best := d.options.mostDeepened(first) + 1
	undecided := map[int]bool{}
	plan := newSchedule(first, best-1, d.options.Budgets)
	plan.pairs, plan.pairWork = d.movesForPairs(), float64(d.pairWork())
	var fallback *split.Made
	mends := !d.options.First && d.carry == nil && d.match == nil
	triedGrid := d.options.First || d.carry != nil || d.match != nil
	triedTidy := false
	grown := d.growing(ctx, mends && !wish.Has[wish.Block](d.options.Wishes) && !wish.Has[wish.Alike](d.options.Wishes))
	defer grown.stop()
	packs := len(d.variants) == 1 && d.base.oneAssignment() // only packing says whether the pieces go whole
	packOnly := packs && d.options.MaxSeams == 0 && len(d.movedInstances(ctx)) == 0
	begun := underway{}
	for ctx.Err() == nil {
		next, ok := plan.next(best, len(d.found) > 0)
		if !ok || packOnly && next.tier > 0 {
			break
		}
		seams := next.seams
		plans, ended, complete := d.takeTurn(ctx, plan, begun, next, packs)
		if next.lane != paired && next.lane != deep {
			undecided[seams] = !complete
		}
		if len(plans) > 0 {
			d.keep(plans)
			wait.found()
			best = seams
			d.report()
			if d.options.First {
				break
			}
		}
		if ended && len(d.found) == 0 && mends && next.tier > 0 && next.lane != paired && seams+1 < best && (fallback == nil || seams+1 < len(fallback.Seams)) {
			if m := d.mend(ctx); m != nil && (fallback == nil || len(m.Seams) < len(fallback.Seams)) {
				fallback = m
				wait.found()
				best = min(best, len(m.Seams)+1)
				d.reportPlan(m)
			}
		}
		if len(d.found) == 0 && !triedGrid && ctx.Err() == nil {
			triedGrid = true
			if fallback = d.grid(ctx); fallback != nil {
				wait.found()
				best = min(best, len(fallback.Seams)+1)
				d.reportPlan(fallback)
			}
		}
		if m := grown.next(ctx, fallback); m != nil && len(d.found) == 0 {
			fallback = m
			wait.found()
			best = min(best, len(m.Seams)+1)
			d.reportPlan(m)
		}
		if fallback != nil && len(d.found) == 0 && !triedTidy && ctx.Err() == nil {
			triedTidy = true
			if plans := d.tidied(ctx, fallback, first); len(plans) > 0 {
				d.keep(plans)
				best = len(plans[0].Seams)
				d.report()
			}
		}
		begun.stopFrom(best)
	}
	begun.stopFrom(0)
	if len(d.found) == 0 && fallback != nil {
		d.keep([]*split.Made{fallback})
		best = len(fallback.Seams)
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
		plans, complete := d.iterate(ctx, 0, budget, 1, always)
		undecided[0] = !complete
		d.keep(plans)
		if len(d.found) > 0 {
			wait.found()
		}
		d.report()
		if packOnly {
			break
		}
	}
	if best <= d.options.mostDeepened(first) {
		d.keep(d.welcomed(ctx))
	}
	// Others as good, and then some with one seam more, to choose from.
	for _, more := range []int{0, 1} {
		if d.options.First || len(d.found) == 0 || best+more > d.options.mostDeepened(first) || ctx.Err() != nil || more > 0 && len(d.distinct()) >= d.options.Keep {
			break
		}
		d.keep(d.alternatives(ctx, best+more))
	}
	d.look(ctx, best)
	d.finish(whole)
	res.Plans = d.found
	if len(res.Plans) > 0 && !d.simplified {
		res.Fewest, res.Reason = d.proof(ctx, len(res.Plans[0].Seams), least, undecided)
	}
	if d.carry != nil && len(res.Plans) == 0 {
		res.Unkept = &Unkept{d.carry.wish, d.carry.why}
	}
	if d.match != nil && len(res.Plans) == 0 {
		res.Unkept = &Unkept{d.match.stands, d.match.why}
	}
	res.Settled = ctx.Err() == nil
	return res
}

// leastSound is a lower bound on the added seams of some instances, or the one given, if it
// is lower. One that has no sound cutting line has no plan at all.
func leastSound(ctx context.Context, other int, instances []*instance) int {
	for _, in := range instances {
		if !in.unsound {
			other = min(other, in.minSeams(ctx))
		}
	}
	return other
}

// minSeams is a certain lower bound on the added seams with no seam moved.
func (d *driver) minSeams(ctx context.Context) int {
	least := d.base.minSeams(ctx)
	for _, in := range d.variants {
		least = min(least, in.minSeams(ctx))
	}
	return least
}

// withBase is the driver with another instance in the place of the base.
func (d *driver) withBase(in *instance) *driver {
	if in == d.base {
		return d
	}
	one := *d
	one.base = in
	return &one
}

// report tells the caller the best plan so far.
func (d *driver) report() {
	if len(d.found) > 0 {
		d.reportPlan(d.found[0])
	}
}

func (d *driver) reportPlan(m *split.Made) {
	if d.options.Progress != nil {
		d.options.Progress(Progress{true, len(m.Seams), m.LengthMM(), m})
	}
}

// grid is the plan of greedy covers with the fewest seams, no more than may be
// added, or nil. It is what is shown where no other plan is found.
func (d *driver) grid(ctx context.Context) *split.Made {
	var best *split.Made
	for _, in := range d.variants {
		m := in.grid(ctx, nil)
		if m == nil || !d.admits(m) {
			continue
		}
		if best == nil || len(m.Seams) < len(best.Seams) {
			best = m
		}
	}
	return best
}

// admits reports whether a plan breaks no wish that is a must and adds no more seams than
// may be.
func (d *driver) admits(m *split.Made) bool {
	return !d.breaksMust(m) && (d.options.MaxSeams < 0 || len(m.Seams) <= d.options.MaxSeams)
}

// Near misses are mended after a good deal of work that has found no plan, and by no
// more than a share of all work, or so.
const (
	mendAfter = 800_000
	mendShare = 0.1
)

// mend is a plan with one seam more than the last iteration looked for, or nil.
func (d *driver) mend(ctx context.Context) *split.Made {
	var near []nearMiss
	for _, in := range d.variants {
		near = append(near, in.nearMisses...)
	}
	for _, n := range nearest(near) {
		before := d.table.work.Load()
		most := int64(mendShare*float64(before)) - d.mended
		if before < mendAfter || most <= 0 {
			return nil
		}
		plans := n.mend(ctx, before+most)
		d.mended += d.table.work.Load() - before
		for _, m := range plans {
			if !d.breaksMust(m) {
				return m
			}
		}
	}
	return nil
}

// take is the iteration that is due, for as long as goOn says so.
func (d *driver) take(ctx context.Context, n turn, goOn func(found bool) bool) (plans []*split.Made, complete bool) {
	if n.lane == paired {
		return d.iteratePairs(ctx, n.seams, n.budget(), goOn), false
	}
	plans, complete = d.iterate(ctx, n.seams, n.budget(), 1, goOn)
	return plans, complete && n.lane != deep
}

// iterate looks for plans with exactly that many added seams, for as long as goOn says so:
// as many as are enough in the pattern as drawn, and where those do not do, with seams
// moved. Complete says that what it did not find does not exist.
func (d *driver) iterate(ctx context.Context, seams int, budget budget, enough int, goOn func(found bool) bool) (plans []*split.Made, complete bool) {
	var stages []stage
	for k, in := range d.variants {
		spent := budget
		if d.match != nil && k > 0 { // the first is by far the likeliest
			spent = budget.quarter()
		}
		stages = append(stages, stage{instance: in, seams: seams, budget: spent})
	}
	for _, in := range d.movedInstances(ctx) {
		stages = append(stages, stage{instance: in, seams: seams, budget: budget.quarter()})
	}
	return solveWhile(ctx, stages, enough, goOn)
}

// alternatives are other plans with that many seams, to choose from: some of the
// pattern as drawn, and one or two for each amount by which a seam can be moved,
// the smallest first.
func (d *driver) alternatives(ctx context.Context, seams int) []*split.Made {
	budget := budget{tries: 15000, poses: 6000, attempts: 2, fillMargin: 0.05, perCopy: 2}
	var plans []*split.Made
	variants := d.variants
	if d.carry != nil || d.match != nil { // of many levels, or places of stripes, the likeliest
		variants, budget = variants[:min(len(variants), mostCarried/(1+3*seams))], budget.quarter()
	}
	for _, in := range variants {
		some, _ := solve(ctx, []stage{{instance: in, seams: seams, budget: budget}}, 4*d.options.Keep)
		plans = append(plans, some...)
	}
	drawn := len(plans)
	for _, in := range d.movedInstances(ctx) {
		if len(plans)-drawn >= 2*d.options.Keep || ctx.Err() != nil {
			break
		}
		some, _ := solve(ctx, []stage{{instance: in, seams: seams, budget: budget.quarter()}}, 2)
		plans = append(plans, some...)
	}
	return plans
}
