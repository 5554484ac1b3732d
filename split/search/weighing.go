package search

import (
	"math"
	"sort"

	"eke/piece"
	"eke/split"

	"github.com/paulmach/orb"
)

// sharedFills are how full by area a scrap that parts share may be taken to
// get, one start after another: odd shapes leave gaps.
var sharedFills = []float64{0.87, 0.92, 0.82}

// start gives levels from which to look for those of a trade: as it was dealt
// and then from all over the cuts' reach, balanced. There are as a rule more
// cuts than the areas of the scraps can tell the levels of.
func (w *weighing) start(k int) []float64 {
	copy(w.levels, w.dealt)
	if k > 0 {
		for i, r := range w.reach {
			// Spread evenly over the reaches of all cuts (M.
			// Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018).
			_, f := math.Modf(0.5 + float64(k)*math.Pow(spreadBase, -float64(i+1)))
			w.levels[i] = r.Lo + f*(r.Hi-r.Lo)
		}
		for i := range w.levels {
			lo, hi := w.between(i)
			w.levels[i] = math.Max(lo, math.Min(hi, w.levels[i]))
		}
	}
	w.loose = k > 0
	levels := w.balance(sharedFills[k%len(sharedFills)])
	w.loose = false
	return levels
}

// least is how many starts say whether a trade is hopeless: more where areas
// tell nothing of some level, or of one side only.
func (w *weighing) least() int {
	for _, on := range w.onSide {
		if len(without(on[0], on[1])) == 0 || len(without(on[1], on[0])) == 0 {
			return 4
		}
	}
	return 0
}

const (
	mostStarts = 9
	spreadBase = 1.3247179572447460 // the plastic number
)

// balance gives the levels at which all scraps are about equally full, by
// area: against that share of the scrap's area where parts share it, against
// the largest part that it holds where one has it for itself.
func (w *weighing) balance(share float64) []float64 {
	for i, parts := range w.parts {
		if len(parts) > 1 {
			w.holds[i] = share * w.area[i]
		}
	}
	for range 6 {
		most := 0.0
		for k := range w.cuts {
			most = math.Max(most, w.even(k))
		}
		if most < 0.5 {
			break
		}
	}
	return append([]float64(nil), w.levels...)
}

// exceeds reports whether all parts together take more than the scraps may have
// taken. Sliding a cut does not change that.
func (w *weighing) exceeds() bool {
	parts, cloth := 0.0, 0.0
	for i, on := range w.parts {
		for _, p := range on {
			parts += w.areaOf(p)
		}
		if len(on) > 1 {
			cloth += w.most[i] * w.area[i]
		} else {
			cloth += w.holds[i]
		}
	}
	return parts > cloth
}

// tooFull reports whether a scrap that parts share has more of it taken than it
// may.
func (w *weighing) tooFull() bool {
	for i, parts := range w.parts {
		if len(parts) > 1 && w.fill(i)*w.holds[i] > w.most[i]*w.area[i] {
			return true
		}
	}
	return false
}

// weighing is the areas of a trade's parts as functions of the levels.
type weighing struct {
	levels []float64
	dealt  []float64
	cuts   []sliding
	reach  []split.Span
	area   []float64 // of each scrap
	most   []float64 // share of it that parts may take which share it
	holds  []float64 // the area of parts that it holds
	parts  [][]leafArea
	onSide [][2][]int // scraps with parts on the near and the far side of each cut
	loose  bool       // where areas tell of one side only they are not heeded
}

// leafArea is a part: a piece's outline, and the cuts between it and the part.
type leafArea struct {
	ring orb.Ring
	body *split.Body
	cuts []cutSide
	grow float64 // allowance
}

type cutSide struct {
	cut  int
	near bool
}

func newWeighing(d *dealing, g *trade) *weighing {
	w := &weighing{cuts: g.cuts, onSide: make([][2][]int, len(g.cuts))}
	index := map[*split.Tree]int{}
	for k, c := range g.cuts {
		w.levels = append(w.levels, c.tree.LevelMM)
		w.dealt = append(w.dealt, c.tree.LevelMM)
		w.reach = append(w.reach, d.reach(c))
		index[c.tree] = k
	}
	paths := map[*split.Tree][]cutSide{}
	var walk func(t *split.Tree, path []cutSide)
	walk = func(t *split.Tree, path []cutSide) {
		if t.Way == nil {
			paths[t] = path
			return
		}
		path = path[:len(path):len(path)]
		walk(t.Near, append(path, cutSide{index[t], true}))
		walk(t.Far, append(path, cutSide{index[t], false}))
	}
	rings := map[int]orb.Ring{}
	for _, t := range g.turns {
		walk(d.trees[d.order[t]], nil)
		rings[t] = d.job.blanks[d.order[t]].coarse
	}
	for i, s := range g.scraps {
		var parts []leafArea
		for _, l := range d.content[s] {
			b := d.job.blanks[d.order[l.turn]]
			path := paths[l.leaf]
			parts = append(parts, leafArea{rings[l.turn], b.Body, path, d.table.options.AllowanceMM})
			for _, c := range path {
				side := 1
				if c.near {
					side = 0
				}
				on := w.onSide[c.cut][side]
				if n := len(on); n == 0 || on[n-1] != i {
					w.onSide[c.cut][side] = append(on, i)
				}
			}
		}
		w.parts = append(w.parts, parts)
		w.area = append(w.area, d.table.sites[s].area)
		w.most = append(w.most, d.evenFill(s))
		w.holds = append(w.holds, d.table.sites[s].area)
	}
	for i, s := range g.scraps {
		if len(d.content[s]) > 1 {
			continue
		}
		was := append([]float64(nil), w.levels...)
		for _, c := range w.parts[i][0].cuts {
			switch room := w.cuts[c.cut].room; {
			case w.cuts[c.cut].bite:
			case c.near:
				w.levels[c.cut] = room.Hi
			default:
				w.levels[c.cut] = room.Lo
			}
		}
		w.holds[i] = math.Max(1, w.areaOf(w.parts[i][0]))
		w.levels = was
	}
	return w
}

func (w *weighing) areaOf(p leafArea) float64 {
	ring := p.ring
	for k, c := range p.cuts {
		way, level := w.cuts[c.cut].tree.Way, w.levels[c.cut]
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
	return math.Abs(piece.Area(ring))
}

func (w *weighing) fill(i int) float64 {
	sum := 0.0
	for _, p := range w.parts[i] {
		sum += w.areaOf(p)
	}
	return sum / w.holds[i]
}

func (w *weighing) fullest(on []int) float64 {
	most := 0.0
	for _, i := range on {
		most = math.Max(most, w.fill(i))
	}
	return most
}

// even slides one cut to where both its sides are equally full, and gives by
// how much it went. Scraps with parts of both sides have no say. Where that
// leaves nothing to weigh, the cut stays where it is; where it leaves one side,
// that gets as much as it holds, or loosely the cut stays, too.
func (w *weighing) even(k int) float64 {
	near, far := without(w.onSide[k][0], w.onSide[k][1]), without(w.onSide[k][1], w.onSide[k][0])
	if len(near)+len(far) == 0 || w.loose && (len(near) == 0 || len(far) == 0) {
		return 0
	}
	lo, hi := w.between(k)
	was := w.levels[k]
	for hi-lo > 0.25 {
		w.levels[k] = (lo + hi) / 2
		a, b := 1.0, 1.0
		if len(near) > 0 {
			a = w.fullest(near)
		}
		if len(far) > 0 {
			b = w.fullest(far)
		}
		if a > b {
			hi = w.levels[k]
		} else {
			lo = w.levels[k]
		}
	}
	return math.Abs(w.levels[k] - was)
}

// between is the reach of a cut as far as those that run beside it let it.
func (w *weighing) between(k int) (lo, hi float64) {
	lo, hi = w.reach[k].Lo, w.reach[k].Hi
	for i, c := range w.cuts {
		if c.turn != w.cuts[k].turn || c.tree.Way != w.cuts[k].tree.Way || i == k {
			continue
		}
		if above(c.tree, w.cuts[k].tree) {
			lo = math.Max(lo, w.levels[i]+split.LeastPartMM)
		} else {
			hi = math.Min(hi, w.levels[i]-split.LeastPartMM)
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

// without is the numbers of a sorted list that another does not hold.
func without(all, but []int) []int {
	var out []int
	for _, i := range all {
		if k := sort.SearchInts(but, i); k == len(but) || but[k] != i {
			out = append(out, i)
		}
	}
	return out
}
