package search

import (
	"cmp"
	"context"
	"math"
	"slices"

	"eke/split"
)

// A seam that was found slides to where it is welcome as long as all parts keep their
// scraps. Where these have no room for that, other parts would have to make way. So one
// more search is made for plans with as many seams that all run where they are welcome,
// and where it finds none, large-neighbourhood searches near the best plan (P. Shaw,
// "Using constraint programming and local search methods to solve vehicle routing
// problems", 1998): some scraps keep the whole pieces that lie on them, and all else is
// assigned anew, with the seams of one more piece where they are welcome.

// welcomeTiers is how many budgets these searches go through.
const welcomeTiers = 3

// welcomed are such plans, none where the best plan is one.
func (d *driver) welcomed(ctx context.Context) (plans []*split.Made) {
	if d.options.First || d.carry != nil || d.match != nil || len(d.found) == 0 {
		return nil
	}
	ctx, cancel := shareOf(ctx, 1./5)
	defer cancel()
	if runsWelcome(d.found[0]) {
		return nil
	}
	best := d.refine(ctx, d.found[0])
	if runsWelcome(best) {
		return nil
	}
	all := func(in *instance) []bool { return slices.Repeat([]bool{true}, len(in.blanks)) }
	global, stop := shareOf(ctx, 1./2)
	defer stop()
	for _, budget := range budgets[:welcomeTiers] {
		for _, in := range d.variants {
			some, _ := solve(global, []stage{{instance: in, seams: len(best.Seams), budget: budget, welcome: all(in)}}, 2*d.options.Keep)
			plans = append(plans, some...)
		}
		if len(plans) > 0 || global.Err() != nil {
			break
		}
	}
	if len(plans) > 0 || len(best.Plan.Moves) > 0 {
		return plans
	}
	for tried := map[string]bool{}; ctx.Err() == nil; {
		next := d.welcomedNear(ctx, best, tried)
		if next == nil {
			break
		}
		best = next
		plans = append(plans, best)
	}
	return plans
}

// welcomedNear is a less intrusive plan near another, or nil: one that has the seams of
// one more piece where they are welcome. It tries no piece twice.
func (d *driver) welcomedNear(ctx context.Context, m *split.Made, tried map[string]bool) *split.Made {
	for k := range m.Seams {
		name := m.Plan.Pieces[m.Seams[k].Piece].Name
		if tried[name] || isWelcome(&m.Seams[k]) {
			continue
		}
		tried[name] = true
		welcome := make([]bool, len(m.Plan.Pieces))
		for i, p := range m.Plan.Pieces {
			welcome[i] = p.Name == name
		}
		for i := range m.Seams {
			s := &m.Seams[i]
			welcome[s.Piece] = welcome[s.Piece] || isWelcome(s)
		}
		for _, in := range d.variants {
			for _, only := range neighbourhoods(in, m) {
				for _, made := range in.near(ctx, m, only, welcome) {
					made = d.refine(ctx, made)
					if split.Intrusion(split.Cost(made)) < split.Intrusion(split.Cost(m)) && !d.breaksMust(made) {
						return made
					}
				}
			}
		}
	}
	return nil
}

// near are plans with the cuts of another, each copy from some of the bins.
func (in *instance) near(ctx context.Context, m *split.Made, only [][]bool, welcome []bool) (plans []*split.Made) {
	var cuts []int
	for _, t := range m.Plan.Trees {
		cuts = append(cuts, t.Seams())
	}
	for _, budget := range budgets[:welcomeTiers] {
		tasks := func(yield func(*task) bool) {
			a := newAssignment(in, cuts, false, budget, 1)
			a.only, a.welcome = only, welcome
			yield(newTask(ctx, a))
		}
		for _, o := range runInSlices(ctx, tasks, in.table.options.Workers, 1, always) {
			plans = append(plans, o.plans...)
		}
		if len(plans) > 0 || ctx.Err() != nil {
			break
		}
	}
	return plans
}

// neighbourhoods are, each for all copies, bins that they may be cut from. Of the bins
// with nothing but whole pieces on them some keep these: the fullest ones, fewer and
// fewer, and at last none does. What lies on the others may lie on any of the others.
func neighbourhoods(in *instance, m *split.Made) (out [][][]bool) {
	const most = 6
	bins := make([][]int, len(m.Plan.Trees)) // of each copy
	area, cut := make([]float64, len(in.table.bins)), make([]bool, len(in.table.bins))
	for i, t := range m.Plan.Trees {
		for _, leaf := range t.Leaves() {
			bins[i] = append(bins[i], leaf.Scrap)
			area[leaf.Scrap] += in.blanks[i].area
			cut[leaf.Scrap] = cut[leaf.Scrap] || t.Way != nil
		}
	}
	var whole []int
	for s := range area {
		if area[s] > 0 && !cut[s] {
			whole = append(whole, s)
		}
	}
	slices.SortStableFunc(whole, func(a, b int) int { return cmp.Compare(area[b], area[a]) })
	for n := min(len(whole), most); n >= 0; n-- {
		kept := whole[:n]
		only := make([][]bool, len(bins))
		for i, of := range bins {
			only[i] = make([]bool, len(area))
			for s := range only[i] {
				only[i][s] = !slices.Contains(kept, s)
			}
			if slices.ContainsFunc(of, func(s int) bool { return slices.Contains(kept, s) }) {
				only[i] = make([]bool, len(area))
				for _, s := range of {
					only[i][s] = true
				}
			}
		}
		out = append(out, only)
	}
	return out
}

// runsWelcome reports whether every seam of a plan runs where it is welcome.
func runsWelcome(m *split.Made) bool {
	for i := range m.Seams {
		if !isWelcome(&m.Seams[i]) {
			return false
		}
	}
	return true
}

// isWelcome reports whether a seam runs where it is welcome.
func isWelcome(s *split.PiecingSeam) bool {
	const offMM = 1
	for _, l := range s.Way.Welcome(s.Body) {
		if math.Abs(l-s.LevelMM) < offMM {
			return true
		}
	}
	return false
}

// welcomeOnly reports whether the copy that is being assigned is cut where that is
// welcome, and nowhere else.
func (a *assignment) welcomeOnly() bool {
	return a.welcome != nil && a.welcome[a.order[a.depth]]
}
