package fit

import (
	"math"
	"math/rand/v2"
)

// sampleCounts is how many poses of an item are sampled for one move.
type sampleCounts struct {
	anywhere int // over the whole cloth
	nearby   int // near where the item is placed
}

func (l *layout) poses(dst []pose) []pose {
	dst = dst[:0]
	for i := range l.placed {
		dst = append(dst, l.placed[i].pose)
	}
	return dst
}

// moveOverlapping is one iteration of the search: each item that overlaps
// something, in random order, moves to the best pose found for it.
func (l *layout) moveOverlapping(rng *rand.Rand, s sampleCounts) {
	var order []int
	for i := range l.items {
		if l.weightedCost(i) > 0 {
			order = append(order, i)
		}
	}
	rng.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	for _, i := range order {
		now := l.weightedCost(i)
		if now == 0 {
			continue
		}
		if p, c := l.bestMove(rng, i, s); c < now {
			l.put(i, p)
		}
	}
}

// weightGrowth is how the weights of guided local search change in one iteration.
type weightGrowth struct {
	least, more float64 // a weight grows by the factor least, and by more where the cost is highest
	fall        float64 // the factor by which it falls where the cost is 0
}

// With steep growth a search soon leaves a local minimum for another one. With
// gentle growth it does so less often, and goes deeper: that is better where it may
// take hundreds of iterations, and a cloth must be filled as far as it goes.
var (
	steepGrowth  = weightGrowth{least: 1.2, more: 0.8, fall: 0.95}
	gentleGrowth = weightGrowth{least: 1.1, more: 0.4, fall: 0.97}
)

// updateWeights is the weight update of guided local search. A term of the cost
// that is above 0 gets a larger weight, the more the higher it is, so that the
// search leaves the local minimum. A term that is 0 falls back slowly towards
// weight 1.
func (l *layout) updateWeights() {
	n := len(l.items)
	worst := 0.0
	for _, cost := range l.clothCost {
		worst = max(worst, cost)
	}
	for _, k := range l.raised {
		worst = max(worst, l.pairCost[k])
	}
	g := l.growth
	step := func(w, cost float64) float64 {
		if cost > 0 {
			return w * (g.least + g.more*cost/worst)
		}
		return max(1, w*g.fall)
	}
	for i := range n {
		l.clothWeight[i] = step(l.clothWeight[i], l.clothCost[i])
	}
	still := l.raised[:0]
	for _, k := range l.raised {
		w := step(l.pairWeight[k], l.pairCost[k])
		i, j := k/n, k%n
		l.pairWeight[k], l.pairWeight[j*n+i] = w, w
		if l.isRaised[k] = w > 1; w > 1 {
			still = append(still, k)
		}
	}
	l.raised = still
}

// candidate is a pose and its weighted cost.
type candidate struct {
	pose
	cost float64
}

// bestMove samples poses for item i and descends from the three best of them.
// Of poses that are nearly the same it keeps one.
func (l *layout) bestMove(rng *rand.Rand, i int, s sampleCounts) (pose, float64) {
	r := l.parts[i]
	var top [3]candidate
	kept := 0
	offer := func(p pose) {
		most := math.Inf(1)
		if kept == len(top) {
			most = top[kept-1].cost
		}
		c := l.evaluate(i, p, most)
		if c >= most {
			return
		}
		for k := range kept {
			if math.Abs(top[k].at.x-p.at.x)+math.Abs(top[k].at.y-p.at.y) < r.narrowMM*0.01 && math.Abs(top[k].deg-p.deg) < 1 {
				if c < top[k].cost {
					top[k] = candidate{p, c}
				}
				return
			}
		}
		if kept < len(top) {
			kept++
		}
		k := kept - 1
		for ; k > 0 && top[k-1].cost > c; k-- {
			top[k] = top[k-1]
		}
		top[k] = candidate{p, c}
	}
	here := l.placed[i].pose
	offer(here)
	b := l.placed[i].box
	for k := 0; k < s.nearby && top[0].cost > 0; k++ {
		deg := l.randomTurn(rng, i)
		if rng.IntN(2) == 0 {
			deg = here.deg
		}
		offer(l.clampToCloth(i, pose{vec{b.min.x + rng.Float64()*b.width(), b.min.y + rng.Float64()*b.height()}, deg}))
	}
	for k := 0; k < s.anywhere && top[0].cost > 0; k++ {
		offer(l.randomPose(rng, i))
	}
	best := top[0]
	for k := range kept {
		if d := l.descend(rng, i, top[k], r.narrowMM*0.25, r.narrowMM*0.02, 3); d.cost < best.cost || k == 0 {
			best = d
		}
	}
	if l.tables.fixedTurn(i, best.deg) != nil {
		l.exactOnly = true // for between nodes that overlap there may be a gap
		defer func() { l.exactOnly = false }()
		best.cost = l.evaluate(i, best.pose, math.Inf(1))
	}
	best = l.descend(rng, i, best, r.narrowMM*0.01, r.narrowMM*0.001, 0.2)
	return best.pose, best.cost
}

// randomPose is a random pose of item i with its box within the cloth's box.
func (l *layout) randomPose(rng *rand.Rand, i int) pose {
	b := l.cloth.region.bounds
	return l.clampToCloth(i, pose{vec{b.min.x + rng.Float64()*b.width(), b.min.y + rng.Float64()*b.height()}, l.randomTurn(rng, i)})
}

// randomTurn draws one of the item's turns, within its tolerance.
func (l *layout) randomTurn(rng *rand.Rand, i int) float64 {
	t := l.items[i].Turns
	k := t[rng.IntN(len(t))]
	return k.Deg + k.ToleranceDeg*(2*rng.Float64()-1)
}

// clampToCloth shifts the pose so that the item's box stays within the cloth's
// box, and onto one of the lines of its turn.
func (l *layout) clampToCloth(i int, p pose) pose {
	b := l.cloth.region.bounds
	var e box
	if h := l.tables.fixedTurn(i, p.deg); h != nil {
		e = h.outlineBox
	} else {
		sin, cos := sincosDeg(p.deg)
		e = emptyBox()
		for _, q := range l.parts[i].outline {
			e = e.with(q.turn(sin, cos))
		}
	}
	p.at.x = max(b.min.x-e.min.x, min(b.max.x-e.max.x, p.at.x))
	p.at.y = max(b.min.y-e.min.y, min(b.max.y-e.max.y, p.at.y))
	return l.ontoLine(i, p, e)
}

// descend is a pattern search from one pose: it tries steps along x, y, the two
// diagonals and the turn, in random order; of an item that is held to lines,
// along them and to the next one. A step that helps grows, one that does not
// shrinks, until steps are short.
func (l *layout) descend(rng *rand.Rand, i int, from candidate, step, stop, degStep float64) candidate {
	turn := nearestTurn(l.items[i].Turns, from.deg)
	canTurn := turn.ToleranceDeg > 0
	deg := min(degStep, turn.ToleranceDeg)
	best := from
	for step > stop && best.cost > 0 {
		var a, b pose
		a, b = best.pose, best.pose
		turning := canTurn && rng.IntN(4) == 0
		if turning {
			a.deg = min(turn.Deg+turn.ToleranceDeg, a.deg+deg)
			b.deg = max(turn.Deg-turn.ToleranceDeg, b.deg-deg)
		} else {
			var d vec
			toNext := false
			switch rng.IntN(4) {
			case 0:
				d = vec{step, 0}
			case 1:
				d = vec{0, step}
			case 2:
				d = vec{step * math.Sqrt2 / 2, step * math.Sqrt2 / 2}
			case 3:
				d = vec{step * math.Sqrt2 / 2, -step * math.Sqrt2 / 2}
				toNext = true
			}
			if !turn.Lines.none() {
				d = l.alongLines(i, turn, step, toNext)
			}
			a.at, b.at = a.at.add(d), b.at.sub(d)
		}
		better := false
		for _, p := range [2]pose{a, b} {
			if c := l.evaluate(i, p, best.cost); c < best.cost {
				best = candidate{p, c}
				better = true
			}
		}
		switch {
		case turning && better:
			deg *= 1.1
		case turning:
			deg *= 0.6
		case better:
			step *= 1.1
		default:
			step *= 0.5
		}
	}
	return best
}
