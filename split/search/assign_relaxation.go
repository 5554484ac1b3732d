package search

import (
	"math"
	"sort"

	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
)

// sharedFills are how full by area a shared bin is aimed to get, one start after
// another: odd shapes leave gaps.
var sharedFills = []float64{0.87, 0.92, 0.82}

// start gives the k-th levels from which a component is solved. The first are those
// of the assignment, the others come from all over the cuts' ranges; then all are
// balanced. More than one start is needed, for there are as a rule more cuts than
// areas to tell their levels by.
func (r *relaxation) start(k int) []float64 {
	copy(r.levels, r.assigned)
	if r.wide { // where a first cut was made is not where it may run
		for i, span := range r.ranges {
			r.levels[i] = math.Max(span.Lo, math.Min(span.Hi, r.assigned[i]))
		}
	}
	if k > 0 {
		for i, span := range r.ranges {
			// A quasirandom sequence, evenly all over the ranges of all cuts (M. Roberts,
			// "The unreasonable effectiveness of quasirandom sequences", 2018).
			_, f := math.Modf(0.5 + float64(k)*math.Pow(plastic, -float64(i+1)))
			r.levels[i] = span.Lo + f*(span.Hi-span.Lo)
		}
	}
	if k > 0 || r.wide {
		for i := range r.levels {
			lo, hi := r.between(i)
			r.levels[i] = math.Max(lo, math.Min(hi, r.levels[i]))
		}
	}
	r.bothSides = k > 0
	levels := r.balance(sharedFills[k%len(sharedFills)])
	r.bothSides = false
	return levels
}

// minStarts is how many starts are made before a component counts as hopeless. It
// is more where areas say nothing of some cut, or of one side of it only, and where
// they leave open how two cuts between the same bins share out what they move.
func (r *relaxation) minStarts() int {
	if len(r.cuts) >= len(r.parts) {
		return 4
	}
	for _, on := range r.onSide {
		if len(minus(on[0], on[1])) == 0 || len(minus(on[1], on[0])) == 0 {
			return 4
		}
	}
	return 0
}

const (
	maxStarts = 9
	plastic   = 1.3247179572447460 // the plastic number
)

// balance slides the cuts to where all bins are about equally full by area. A
// shared bin is measured against that share of its area, and a bin with one part
// against the largest part that it holds.
func (r *relaxation) balance(share float64) []float64 {
	for i, parts := range r.parts {
		if len(parts) > 1 {
			r.capacity[i] = share * r.area[i]
		}
	}
	for range 6 {
		most := 0.0
		for k := range r.cuts {
			most = math.Max(most, r.evenOut(k))
		}
		if most < 0.5 {
			break
		}
	}
	return append([]float64(nil), r.levels...)
}

// totalUnlikely is a heuristic bound: all parts together take more area than the
// bins may be filled with. Sliding a cut does not change that.
func (r *relaxation) totalUnlikely() bool {
	parts, cloth := 0.0, 0.0
	for i, on := range r.parts {
		for _, p := range on {
			parts += r.areaOf(p)
		}
		if len(on) > 1 {
			cloth += r.maxFill[i] * r.area[i]
		} else {
			cloth += r.capacity[i]
		}
	}
	return parts > cloth
}

// fillUnlikely is a heuristic bound: a shared bin is fuller than it may be.
func (r *relaxation) fillUnlikely() bool {
	for i, parts := range r.parts {
		if len(parts) > 1 && r.fill(i)*r.capacity[i] > r.maxFill[i]*r.area[i] {
			return true
		}
	}
	return false
}

// relaxation is the area relaxation of a component: the areas of its parts as
// functions of the levels of its cuts.
type relaxation struct {
	levels    []float64
	assigned  []float64
	cuts      []slidingCut
	ranges    []split.Span
	area      []float64 // of each bin
	maxFill   []float64 // share of it that several parts may take
	capacity  []float64 // the area of parts that it holds
	parts     [][]leafArea
	onSide    [][2][]int // bins with parts on the near and the far side of each cut
	bothSides bool       // whether a cut with bins on one side only stays
	wide      bool       // whether some cut slides back with the cut before it
}

// leafArea is a part: a piece's outline, and the cuts between it and the part.
type leafArea struct {
	ring orb.Ring
	body *split.Body
	cuts []side
	grow float64 // allowance
}

type side struct {
	cut  int
	near bool
}

func newRelaxation(a *assignment, comp *component) *relaxation {
	r := &relaxation{cuts: comp.cuts, wide: comp.wide(), onSide: make([][2][]int, len(comp.cuts))}
	index := map[*split.Tree]int{}
	for k, c := range comp.cuts {
		r.levels = append(r.levels, c.tree.LevelMM)
		r.assigned = append(r.assigned, c.tree.LevelMM)
		r.ranges = append(r.ranges, a.slideRange(c))
		index[c.tree] = k
	}
	paths := map[*split.Tree][]side{}
	var walk func(t *split.Tree, path []side)
	walk = func(t *split.Tree, path []side) {
		if t.Way == nil {
			paths[t] = path
			return
		}
		path = path[:len(path):len(path)]
		walk(t.Near, append(path, side{index[t], true}))
		walk(t.Far, append(path, side{index[t], false}))
	}
	rings := map[int]orb.Ring{}
	for _, i := range comp.depths {
		walk(a.trees[a.order[i]], nil)
		rings[i] = a.instance.blanks[a.order[i]].simplified
	}
	for i, s := range comp.bins {
		var parts []leafArea
		for _, l := range a.on[s] {
			b := a.instance.blanks[a.order[l.depth]]
			path := paths[l.leaf]
			parts = append(parts, leafArea{rings[l.depth], b.Body, path, a.table.options.AllowanceMM})
			for _, c := range path {
				side := 1
				if c.near {
					side = 0
				}
				on := r.onSide[c.cut][side]
				if n := len(on); n == 0 || on[n-1] != i {
					r.onSide[c.cut][side] = append(on, i)
				}
			}
		}
		r.parts = append(r.parts, parts)
		r.area = append(r.area, a.table.bins[s].area)
		r.maxFill = append(r.maxFill, a.evenFill(s))
		r.capacity = append(r.capacity, a.table.bins[s].area)
	}
	for i, s := range comp.bins {
		if len(a.on[s]) > 1 {
			continue
		}
		was := append([]float64(nil), r.levels...)
		between := r.wide && r.betweenCuts(r.parts[i][0])
		for _, c := range r.parts[i][0].cuts {
			switch room := r.cuts[c.cut].room; {
			case r.cuts[c.cut].first:
			case c.near:
				r.levels[c.cut] = room.Hi
			default:
				r.levels[c.cut] = room.Lo
			}
		}
		if full := r.areaOf(r.parts[i][0]); !between {
			r.capacity[i] = math.Max(1, full)
		}
		r.levels = was
	}
	return r
}

// betweenCuts reports whether a part lies between two cuts of one way. How large one
// may be on a bin depends on where both of them run.
func (r *relaxation) betweenCuts(p leafArea) bool {
	for k, c := range p.cuts {
		for _, o := range p.cuts[:k] {
			if r.cuts[c.cut].tree.Way == r.cuts[o.cut].tree.Way && c.near != o.near {
				return true
			}
		}
	}
	return false
}

// areaOf is the area of a part at the current levels.
func (r *relaxation) areaOf(p leafArea) float64 {
	ring := p.ring
	for k, c := range p.cuts {
		way, level := r.cuts[c.cut].tree.Way, r.levels[c.cut]
		if c.near {
			level += p.grow
		} else {
			level -= p.grow
		}
		line := way.Line(p.body, level)
		if k == len(p.cuts)-1 {
			return split.HalfArea(ring, line, c.near)
		}
		if ring = split.Half(ring, line, c.near); len(ring) < 3 {
			return 0
		}
	}
	return math.Abs(plane.SignedArea(ring))
}

// fill is how full a bin is, against what it holds.
func (r *relaxation) fill(i int) float64 {
	sum := 0.0
	for _, p := range r.parts[i] {
		sum += r.areaOf(p)
	}
	return sum / r.capacity[i]
}

// fullest is how full the fullest of some bins is.
func (r *relaxation) fullest(on []int) float64 {
	most := 0.0
	for _, i := range on {
		most = math.Max(most, r.fill(i))
	}
	return most
}

// evenOut slides one cut to where the bins on both its sides are equally full, and
// returns by how much it went. A bin with parts of both sides does not count.
// Where no bin is left, the cut stays. Where bins are left on one side only, they
// are filled to what they hold, or with bothSides the cut stays.
func (r *relaxation) evenOut(k int) float64 {
	near, far := minus(r.onSide[k][0], r.onSide[k][1]), minus(r.onSide[k][1], r.onSide[k][0])
	if len(near)+len(far) == 0 || r.bothSides && (len(near) == 0 || len(far) == 0) {
		return 0
	}
	lo, hi := r.between(k)
	was := r.levels[k]
	for hi-lo > 0.25 {
		r.levels[k] = (lo + hi) / 2
		a, b := 1.0, 1.0
		if len(near) > 0 {
			a = r.fullest(near)
		}
		if len(far) > 0 {
			b = r.fullest(far)
		}
		if a > b {
			hi = r.levels[k]
		} else {
			lo = r.levels[k]
		}
	}
	return math.Abs(r.levels[k] - was)
}

// between is how far a cut may slide: its range, as far as the cuts of the same way
// beside it allow.
func (r *relaxation) between(k int) (lo, hi float64) {
	lo, hi = r.ranges[k].Lo, r.ranges[k].Hi
	for i, c := range r.cuts {
		if c.depth != r.cuts[k].depth || c.tree.Way != r.cuts[k].tree.Way || i == k {
			continue
		}
		if above(c.tree, r.cuts[k].tree) {
			lo = math.Max(lo, r.levels[i]+split.LeastPartMM)
		} else {
			hi = math.Min(hi, r.levels[i]-split.LeastPartMM)
		}
	}
	return lo, math.Max(lo, hi)
}

// above reports whether a cut runs on the near side of another of its piece.
func above(a, b *split.Tree) bool {
	under := func(t, in *split.Tree) bool {
		for _, c := range cutsOf(in) {
			if c == t {
				return true
			}
		}
		return false
	}
	return under(b, a.Far) || under(a, b.Near)
}

// minus is the numbers of a sorted list that another does not hold.
func minus(all, but []int) []int {
	var out []int
	for _, i := range all {
		if k := sort.SearchInts(but, i); k == len(but) || but[k] != i {
			out = append(out, i)
		}
	}
	return out
}
