package search

import (
	"context"
	"math"

	"eke/split"
)

// A seam that was found slides to where it is welcome as long as all parts keep their
// scraps. Where these have no room for that, other parts would have to make way. So one
// more search is made for plans with as many seams that all run where they are welcome.

// welcomed are such plans, none where the best plan is one.
func (d *driver) welcomed(ctx context.Context) (plans []*split.Made) {
	if d.options.First || d.carry != nil || d.match != nil || len(d.found) == 0 {
		return nil
	}
	ctx, cancel := shareOf(ctx, 1./5)
	defer cancel()
	if runsWelcome(d.found[0]) || runsWelcome(d.refine(ctx, d.found[0])) {
		return nil
	}
	const tiers = 3
	for _, budget := range budgets[:tiers] {
		budget.welcomeOnly = true
		for _, in := range d.variants {
			some, _ := solve(ctx, []stage{{in, len(d.found[0].Seams), budget}}, 2*d.options.Keep)
			plans = append(plans, some...)
		}
		if len(plans) > 0 || ctx.Err() != nil {
			break
		}
	}
	return plans
}

// runsWelcome reports whether every seam of a plan runs where it is welcome.
func runsWelcome(m *split.Made) bool {
	const offMM = 1
	for i := range m.Seams {
		s := &m.Seams[i]
		welcome := false
		for _, l := range s.Way.Welcome(s.Body) {
			welcome = welcome || math.Abs(l-s.LevelMM) < offMM
		}
		if !welcome {
			return false
		}
	}
	return true
}
