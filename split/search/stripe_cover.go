package search

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"eke/split"
)

// stripeState is which bin every part of the rows lies on.
type stripeState struct {
	*striper
	on    [][]stripePart
	free  []float64
	hard  []float64 // of each row, how hard it has been to place
	seed  uint64
	kind  string // of the cloth that all comes from; empty for any
	whole bool   // no row may be pieced
	// Whether several parts of what is pieced may lie on one bin: pieces in no stripes come
	// last, when that may be all that is left.
	shared bool
}

type stripePart struct {
	part *blank
	leaf *split.Tree
	row  int
}

func (s *striper) emptyState(kind string) *stripeState {
	st := &stripeState{striper: s, on: make([][]stripePart, len(s.table.bins)), kind: kind}
	for i := range s.table.bins {
		st.free = append(st.free, s.table.bins[i].area)
	}
	return st
}

func (s *stripeState) may(b *blank, bin int, look string) bool {
	scrap := s.table.bins[bin].scrap
	return scrap.TheLook() == look && (s.kind == "" || scrap.Kind == "" || scrap.Kind == s.kind) && s.table.allowed(b.piece, scrap)
}

func (s *stripeState) with(bin int, more ...*blank) []*blank {
	var parts []*blank
	for _, p := range s.on[bin] {
		parts = append(parts, p.part)
	}
	return append(parts, more...)
}

const (
	// stripePoses is how long parts are packed together on one bin.
	stripePoses = 300
	// mostStripeParts is in how many parts one stripe of a piece may come.
	mostStripeParts = 6
	// stripeTries is how many sets of bins for one row are tried of each size.
	stripeTries = 6
)

// stripeCover is parts that make up a row, and the tree that cuts it so.
type stripeCover struct {
	tree    *split.Tree
	parts   []gridPart
	evicted []int // rows whose parts must go elsewhere for it
	cost    float64
}

// joinCost is what an upright join costs, against 1 for putting another row
// elsewhere that has never been hard to place.
const joinCost = 1.5

// cover is the cheapest way to cover a row: in one part, or in several by upright
// cuts, beside what lies on the bins or in its place. It is nil where nothing
// covers it, or not without putting others elsewhere and that may not be.
func (s *stripeState) cover(ctx context.Context, b *blank, row int, look string, mayEvict bool) *stripeCover {
	best := s.coverWhole(ctx, b, row, look, mayEvict)
	if s.whole {
		return best
	}
	if best == nil || best.cost > 2*joinCost {
		if c := s.pieced(ctx, b, row, look, mayEvict); c != nil && (best == nil || c.cost < best.cost) {
			best = c
		}
	}
	return best
}

// coverWhole is the cheapest cover of a row by one bin; of equal ones that on which the
// least cloth is left over.
func (s *stripeState) coverWhole(ctx context.Context, b *blank, row int, look string, mayEvict bool) *stripeCover {
	var bins []int
	for i := range s.table.bins {
		if s.may(b, i, look) && (mayEvict || s.free[i] >= b.area) {
			bins = append(bins, i)
		}
	}
	slices.SortStableFunc(bins, func(i, k int) int { return cmp.Compare(s.free[i]*s.noise(i), s.free[k]*s.noise(k)) })
	var best *stripeCover
	tried := map[string]bool{}
	for _, i := range bins {
		if class := s.table.bins[i].class; len(s.on[i]) == 0 {
			if tried[class] {
				continue
			}
			tried[class] = true
		}
		if _, fits := s.table.fitsOn(ctx, b, &s.table.bins[i]); !fits {
			continue
		}
		evicted, cost := s.evictions(ctx, b, row, i)
		if cost > 0 && !mayEvict || best != nil && cost >= best.cost {
			continue
		}
		leaf := &split.Tree{Scrap: i}
		best = &stripeCover{tree: leaf, parts: []gridPart{{i, b, leaf}}, evicted: evicted, cost: cost}
		if cost == 0 {
			break
		}
	}
	return best
}

// evictions are the rows that must leave a bin for a part to lie there, of which as
// few as can be seen to: those that are hard to place stay first.
func (s *stripeState) evictions(ctx context.Context, b *blank, row, bin int) (evicted []int, cost float64) {
	here := s.on[bin]
	if len(here) == 0 {
		return nil, 0
	}
	if s.holds(ctx, bin, s.with(bin, b)) {
		return nil, 0
	}
	order := slices.Clone(here)
	slices.SortStableFunc(order, func(p, q stripePart) int { return cmp.Compare(s.weight(q.row), s.weight(p.row)) })
	keep := []*blank{b}
	for _, p := range order {
		if p.row >= 0 && len(here) > 1 && s.holds(ctx, bin, append(slices.Clone(keep), p.part)) {
			keep = append(keep, p.part)
			continue
		}
		if !slices.Contains(evicted, p.row) {
			evicted = append(evicted, p.row)
			cost += s.weight(p.row)
		}
	}
	if slices.ContainsFunc(evicted, func(r int) bool { return r < 0 || r == row }) {
		return nil, math.Inf(1)
	}
	return evicted, cost
}

// crowded is a heuristic bound: two of the parts, of stripes and so much like
// rectangles, lie neither beside each other on a bin nor one above the other.
func crowded(parts []*blank, s *bin) bool {
	const interlock = 0.88
	for i, a := range parts {
		for _, b := range parts[i+1:] {
			if interlock*(a.length+b.length) > s.length && interlock*(a.width+b.width) > s.width {
				return true
			}
		}
	}
	return false
}

// weight is how hard a row has been to place.
func (s *stripeState) weight(row int) float64 {
	if row < 0 {
		return math.Inf(1)
	}
	return s.hard[row]
}

// pieced is the cheapest cover of a row by several bins that is found.
func (s *stripeState) pieced(ctx context.Context, b *blank, row int, look string, mayEvict bool) *stripeCover {
	way := split.Way(split.Panel{})
	width := b.Hi[0] - b.Lo[0]
	if b.parent == nil && b.length > b.width { // a band that lies along the grain
		way, width = split.Yoke{}, b.Hi[1]-b.Lo[1]
	}
	var bins []stripeReach
	for i := range s.table.bins {
		if !s.may(b, i, look) {
			continue
		}
		if len(s.on[i]) > 0 {
			if r := s.reachBeside(ctx, b, way, i); r.mm > 0 {
				bins = append(bins, r)
			}
			if !mayEvict {
				continue
			}
		}
		if r := s.reachOf(ctx, b, way, i); r.mm > 0 {
			for _, p := range s.on[i] {
				r.cost += s.weight(p.row)
			}
			bins = append(bins, r)
		}
	}
	slices.SortStableFunc(bins, func(p, q stripeReach) int { return cmp.Compare(q.mm, p.mm) })
	best := s.piecedFrom(ctx, b, way, row, bins, width, false, mayEvict)
	if best == nil && s.shared {
		best = s.piecedFrom(ctx, b, way, row, bins, width, true, false)
	}
	return best
}

// piecedFrom is pieced from some bins, each of which takes one part, or where they may be
// shared several.
func (s *stripeState) piecedFrom(ctx context.Context, b *blank, way split.Way, row int, bins []stripeReach, width float64, shared, mayEvict bool) *stripeCover {
	var best *stripeCover
	for n := 2; n <= mostStripeParts && ctx.Err() == nil; n++ {
		if best != nil && best.cost <= joinCost*float64(n) {
			break
		}
		for _, set := range s.sets(bins, n, width, shared) {
			c := s.along(ctx, b, way, set)
			if c == nil || shared && !s.holdsAll(ctx, c) {
				continue
			}
			c.cost = joinCost * float64(n-1)
			for _, p := range c.parts {
				evicted, cost := s.evictions(ctx, p.part, row, p.bin)
				c.evicted, c.cost = append(c.evicted, evicted...), c.cost+cost
			}
			if c.cost > joinCost*float64(n-1) && !mayEvict {
				continue
			}
			if best == nil || c.cost < best.cost {
				best = c
			}
		}
	}
	return best
}

// holdsAll reports whether the parts of a cover lie on their bins together.
func (s *stripeState) holdsAll(ctx context.Context, c *stripeCover) bool {
	on := map[int][]*blank{}
	for _, p := range c.parts {
		on[p.bin] = append(on[p.bin], p.part)
	}
	return !slices.ContainsFunc(slices.Sorted(maps.Keys(on)), func(bin int) bool { return !s.holds(ctx, bin, s.with(bin, on[bin]...)) })
}

// stripeReach is how much of a row a bin can take at most, from one of its ends.
type stripeReach struct {
	bin    int
	beside bool // what lies there stays
	mm     float64
	cost   float64 // of putting elsewhere what lies there
}

// reachBeside is how much of a row a bin can take beside what lies there.
func (s *stripeState) reachBeside(ctx context.Context, b *blank, w split.Way, bin int) stripeReach {
	mm := mostOfRow(b, w, func(near bool) (float64, bool) { return s.furthestBeside(ctx, b, w, near, bin) })
	if mm < leastBesideMM {
		return stripeReach{}
	}
	return stripeReach{bin: bin, beside: true, mm: mm}
}

// mostOfRow is how much of a row lies on one side of a cut at the furthest level,
// from whichever end it is more.
func mostOfRow(b *blank, w split.Way, furthest func(near bool) (level float64, ok bool)) float64 {
	lo, hi := b.Lo[0], b.Hi[0]
	if _, yoke := w.(split.Yoke); yoke {
		lo, hi = b.Lo[1], b.Hi[1]
	}
	most := 0.0
	if level, ok := furthest(true); ok {
		most = max(most, level-lo)
	}
	if level, ok := furthest(false); ok {
		most = max(most, hi-level)
	}
	return most
}

const (
	// leastBesideMM is the least of a row that is put beside others.
	leastBesideMM = 40
	// besideMM is how finely it is found how much that can be.
	besideMM = 4
)

// furthestBeside bisects how far a part can go on a bin beside what lies there.
func (s *stripeState) furthestBeside(ctx context.Context, b *blank, w split.Way, near bool, bin int) (float64, bool) {
	spans := b.spansOf(w)
	if len(spans) == 0 || s.free[bin] < leastBesideMM*min(b.length, b.width) {
		return 0, false
	}
	question := fmt.Sprint(b.key, w, near, s.lying(bin))
	r, known := s.besides.get(question)
	if known {
		return r.good, r.ok
	}
	fits := func(level float64) bool {
		if ctx.Err() != nil {
			return false
		}
		part := s.table.cutPart(b, w, level, near)
		return part != nil && s.holds(ctx, bin, s.with(bin, part))
	}
	if r = bracketOf(spans, near, fits); r.ok {
		r = bisect(r, spans, near, besideMM, fits)
	}
	if ctx.Err() == nil {
		s.besides.set(question, r)
	}
	return r.good, r.ok
}

// lying says what lies on a bin.
func (s *stripeState) lying(bin int) string {
	var keys []string
	for _, p := range s.on[bin] {
		keys = append(keys, p.part.key)
	}
	slices.Sort(keys)
	return s.table.bins[bin].class + " " + strings.Join(keys, "&")
}

// holds reports whether parts lie on a bin together.
func (s *stripeState) holds(ctx context.Context, bin int, parts []*blank) bool {
	area := 0.0
	for _, p := range parts {
		area += p.area
	}
	if area > s.table.bins[bin].area || crowded(parts, &s.table.bins[bin]) {
		return false
	}
	_, ok := s.table.packTogether(ctx, parts, &s.table.bins[bin], stripePoses)
	return ok
}

func (s *stripeState) reachOf(ctx context.Context, b *blank, w split.Way, bin int) stripeReach {
	spans := b.spansOf(w)
	if len(spans) == 0 {
		return stripeReach{}
	}
	return stripeReach{bin: bin, mm: mostOfRow(b, w, func(near bool) (float64, bool) {
		return s.table.furthestPlaced(ctx, b, w, near, &s.table.bins[bin], gridLevel, gridLevelMM)
	})}
}

// sets are sets of n bins that may reach along a row together: those with the least
// to be put elsewhere first, and of these those with the least cloth. Shared ones may be in
// a set several times.
func (s *stripeState) sets(bins []stripeReach, n int, width float64, shared bool) [][]stripeReach {
	const most, slackMM = 3000, 8.0
	type set struct {
		bins       []stripeReach
		cost, area float64
	}
	var all []set
	var choose func(k int, chosen []stripeReach, reach, cost, area float64)
	choose = func(k int, chosen []stripeReach, reach, cost, area float64) {
		if len(all) >= most {
			return
		}
		if len(chosen) == n {
			if reach+slackMM >= width {
				all = append(all, set{slices.Clone(chosen), cost, area})
			}
			return
		}
		known := map[string]bool{}
		for ; k < len(bins); k++ {
			// The rest reach no further than this one.
			if reach+float64(n-len(chosen))*bins[k].mm+slackMM < width {
				return
			}
			i := bins[k].bin
			if !shared && slices.ContainsFunc(chosen, func(r stripeReach) bool { return r.bin == i }) {
				continue
			}
			if class := s.table.bins[i].class; len(s.on[i]) == 0 {
				if known[class] {
					continue
				}
				known[class] = true
			}
			cloth := s.table.bins[i].area
			if bins[k].beside {
				cloth = s.free[i]
			}
			next := k + 1
			if shared {
				next = k
			}
			choose(next, append(chosen, bins[k]), reach+bins[k].mm, cost+bins[k].cost, area+cloth*s.noise(i))
		}
	}
	choose(0, nil, 0, 0, 0)
	slices.SortStableFunc(all, func(a, b set) int { return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.area, b.area)) })
	var out [][]stripeReach
	for _, a := range all[:min(len(all), stripeTries)] {
		out = append(out, a.bins)
	}
	return out
}

// noise makes each attempt look at bins in a slightly other order.
func (s *stripeState) noise(bin int) float64 {
	if s.seed == 0 {
		return 1
	}
	x := (s.seed*2654435761 + uint64(bin)*40503) * 6364136223846793005
	return 0.9 + 0.2*float64(x>>40)/float64(1<<24)
}

// along cuts a row from one end to the other, so that each part is as wide as its
// bin allows by itself: in the order of the set, or another. A band is cut where
// seams of the garment meet it, in the order in which most are, if it can be.
func (s *stripeState) along(ctx context.Context, b *blank, w split.Way, set []stripeReach) *stripeCover {
	question := b.key
	for _, r := range set {
		question += fmt.Sprint(" ", r.bin)
		if r.beside {
			question += "/" + s.lying(r.bin)
		}
	}
	cuts, known := s.cuts.get(question)
	if !known {
		seams := split.AtSeams(w, b.Body)
		most := -1
		for _, order := range ordersOf(set) {
			if c, met := s.cutAlong(ctx, b, w, order, seams); c != nil && met > most {
				cuts, most = c, met
			}
			if ctx.Err() != nil || cuts != nil && len(seams) == 0 {
				break
			}
		}
		for _, order := range ordersOf(set) {
			if cuts != nil || len(seams) == 0 || ctx.Err() != nil {
				break
			}
			cuts, _ = s.cutAlong(ctx, b, w, order, nil)
		}
		if ctx.Err() != nil {
			return nil
		}
		s.cuts.set(question, cuts)
	}
	if cuts == nil {
		return nil
	}
	out := &stripeCover{tree: &split.Tree{}}
	at := out.tree
	for _, c := range cuts[:len(cuts)-1] {
		*at = split.Tree{Way: w, LevelMM: c.level, Near: &split.Tree{Scrap: c.bin}, Far: &split.Tree{}}
		out.parts = append(out.parts, gridPart{c.bin, c.part, at.Near})
		at = at.Far
	}
	last := cuts[len(cuts)-1]
	at.Scrap = last.bin
	out.parts = append(out.parts, gridPart{last.bin, last.part, at})
	return out
}

// stripeCut is a part of a row, from its one end on, and where it is cut off.
type stripeCut struct {
	bin   int
	part  *blank
	level float64
}

// cutAlong cuts a row into parts for bins in their order, each at the last of the
// levels that its bin reaches, or else as far as it reaches. It is nil where the
// last bin does not take the rest.
func (s *stripeState) cutAlong(ctx context.Context, b *blank, w split.Way, order []stripeReach, levels []float64) (out []stripeCut, met int) {
	cur, last := b, order[len(order)-1]
	for _, r := range order[:len(order)-1] {
		var level float64
		var fits bool
		if r.beside {
			level, fits = s.furthestBeside(ctx, cur, w, true, r.bin)
		} else {
			level, fits = s.table.furthestPlaced(ctx, cur, w, true, &s.table.bins[r.bin], gridLevel, gridLevelMM)
		}
		if !fits {
			return nil, 0
		}
		at := math.Inf(-1)
		for _, l := range levels {
			if l <= level && split.In(cur.spansOf(w), l) {
				at = max(at, l)
			}
		}
		if !math.IsInf(at, -1) {
			level, met = at, met+1
		}
		part, rest, level := s.table.soundCut(cur, w, level, true)
		if part == nil {
			return nil, 0
		}
		out, cur = append(out, stripeCut{r.bin, part, level}), rest
	}
	if _, ok := s.table.fitsOn(ctx, cur, &s.table.bins[last.bin]); !ok || last.beside && !s.holds(ctx, last.bin, s.with(last.bin, cur)) {
		return nil, 0
	}
	return append(out, stripeCut{bin: last.bin, part: cur}), met
}

// ordersOf are a few orders of a set: each of it first and last.
func ordersOf(set []stripeReach) [][]stripeReach {
	out := [][]stripeReach{set}
	if len(set) < 2 {
		return out
	}
	turned := slices.Clone(set)
	slices.Reverse(turned)
	out = append(out, turned)
	for k := 1; k < len(set) && len(set) > 2; k++ {
		out = append(out, append(slices.Clone(set[k:]), set[:k]...))
	}
	return out
}

func (s *stripeState) put(c *stripeCover, row int) {
	for _, p := range c.parts {
		s.on[p.bin] = append(s.on[p.bin], stripePart{p.part, p.leaf, row})
		s.free[p.bin] -= p.part.area
	}
}

// take takes a row off its bins, which are of that look.
func (s *stripeState) take(row int, look string) {
	for i := range s.on {
		if s.table.bins[i].scrap.TheLook() != look {
			continue
		}
		s.on[i] = slices.DeleteFunc(s.on[i], func(p stripePart) bool {
			if p.row == row {
				s.free[i] += p.part.area
			}
			return p.row == row
		})
	}
}
