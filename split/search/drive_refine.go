package search

import (
	"cmp"
	"context"
	"slices"
	"time"

	"eke/piece"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// refine slides each seam of a plan, one after another, to the level that costs
// least of those that keep every part on its bin: the welcome levels, the levels
// that meet a neighbour's seam across a join, and those of darts.
func (d *driver) refine(ctx context.Context, m *split.Made) *split.Made {
	const rounds = 3
	for range rounds {
		better := false
		for i := range m.Seams {
			if ctx.Err() != nil {
				return m
			}
			if m.Seams[i].Carried { // alone, it would leave its line
				continue
			}
			if next := d.slide(ctx, m, i); next != nil {
				m, better = next, true
			}
		}
		if !better {
			break
		}
	}
	return m
}

// seamLine is where one seam of a plan may run instead.
type seamLine struct {
	way      split.Way
	level    float64
	takeInMM float64
}

// slide is the plan with its i-th seam where it costs least, or nil where it is
// there already. The seam may run at another level, take in the darts near it, or
// be curved so that its ends keep away from the underarm. Where other copies have
// the same seam, all are also moved as one: moved alone, the first step would
// make left differ from right, which costs.
func (d *driver) slide(ctx context.Context, m *split.Made, i int) *split.Made {
	seam := m.Seams[i]
	cost := split.Intrusion(split.Cost(m))
	together := [][]int{{i}}
	if twins := twinsOf(m, i); len(twins) > 0 {
		together = append(together, append([]int{i}, twins...))
	}
	var best *split.Made
	try := func(l seamLine) {
		for _, seams := range together {
			if ctx.Err() != nil {
				return
			}
			next := d.withSeams(m, seams, l)
			if next == nil {
				continue
			}
			if c := split.Intrusion(split.Cost(next)); c < cost-1e-6 && d.table.repack(ctx, next, piecesOf(m, seams)) {
				best, cost = next, c
			}
		}
	}
	ways := []split.Way{seam.Way}
	if d.options.blockOf(m.Plan.Pieces[seam.Piece]) == nil { // blocks meet in a straight seam
		for _, w := range seam.Way.Instead(&seam) {
			if d.options.allows(w.Kind()) {
				ways = append(ways, w)
			}
		}
	}
	reach := 0.0
	if len(seam.Body.Piece.Darts)+len(seam.Body.Piece.FishEyes) > 0 && m.Plan.Matched == nil { // what a dart turns has its stripes turned
		reach = d.options.DartReachMM
	}
	for _, w := range ways {
		levels := d.candidateLevels(m, i, w)
		slices.Sort(levels)
		for _, level := range slices.Compact(levels) {
			try(seamLine{w, level, reach})
		}
	}
	return best
}

// candidateLevels are where a seam may cost less: where it is, where the pattern and
// the neighbours welcome it, a little way off, at the points of darts as far as
// they may be moved, and just clear of the darts.
func (d *driver) candidateLevels(m *split.Made, i int, w split.Way) []float64 {
	seam := m.Seams[i]
	out := append([]float64{seam.LevelMM}, w.Welcome(seam.Body)...)
	if w != seam.Way {
		return out
	}
	out = append(out, between(m, i)...)
	out = append(out, d.neighbourLevels(m, i)...)
	for _, off := range []float64{-40, -25, -16, -8, 8, 16, 25, 40} {
		out = append(out, seam.LevelMM+off)
	}
	near := func(q orb.Point) {
		for _, off := range []float64{0, -0.5, 0.5, -0.9, 0.9} {
			out = append(out, w.LevelOf(seam.Body, q)+off*d.options.DartReachMM)
		}
	}
	for _, d := range seam.Body.Piece.Darts {
		near(d.Apex)
		if len(seam.Crossed) == 0 {
			continue
		}
		ends := []float64{w.LevelOf(seam.Body, d.Leg1), w.LevelOf(seam.Body, d.Apex), w.LevelOf(seam.Body, d.Leg2)}
		for _, clear := range []float64{2, 15} {
			out = append(out, slices.Min(ends)-clear, slices.Max(ends)+clear)
		}
	}
	for _, f := range seam.Body.Piece.FishEyes {
		near(f.Widest())
	}
	return out
}

// between are levels from that of a seam to those of its twins, if the piece is wished to
// be in two looks: its lines are to lie at one height.
func between(m *split.Made, i int) (out []float64) {
	seam := &m.Seams[i]
	if !m.Asked(seam) {
		return nil
	}
	for _, k := range twinsOf(m, i) {
		for _, part := range []float64{0.25, 0.5, 0.75, 1} {
			out = append(out, seam.LevelMM+part*(m.Seams[k].LevelMM-seam.LevelMM))
		}
	}
	return out
}

// twinsOf are the seams across the other copies of the piece that the i-th
// seam cuts, in the same order of cuts.
func twinsOf(m *split.Made, i int) []int {
	if m.Seams[i].Way.Traits().Runs != split.Across {
		return nil
	}
	order := make([]int, len(m.Seams))
	for k := 1; k < len(m.Seams); k++ {
		if m.Seams[k].Piece == m.Seams[k-1].Piece {
			order[k] = order[k-1] + 1
		}
	}
	p := m.Plan.Pieces[m.Seams[i].Piece]
	var out []int
	for k := range m.Seams {
		s := &m.Seams[k]
		if s.Piece != m.Seams[i].Piece && m.Plan.Pieces[s.Piece].Name == p.Name && order[k] == order[i] && s.Way.Traits().Runs == split.Across {
			out = append(out, k)
		}
	}
	return out
}

func piecesOf(m *split.Made, seams []int) []int {
	var out []int
	for _, k := range seams {
		out = append(out, m.Seams[k].Piece)
	}
	return out
}

// neighbourLevels are the levels at which a seam would meet the end of
// another piece's seam across a join.
func (d *driver) neighbourLevels(m *split.Made, i int) []float64 {
	seam := m.Seams[i]
	var out []float64
	for _, at := range m.MeetingPoints(seam.Piece) {
		out = append(out, seam.Way.LevelOf(seam.Body, at))
	}
	return out
}

// withSeams is the plan with some of its seams elsewhere, its parts not yet placed.
// It is nil where the seams cannot run there, or do so already.
func (d *driver) withSeams(m *split.Made, seams []int, l seamLine) *split.Made {
	p := &split.Plan{Moves: m.Plan.Moves, Pieces: m.Plan.Pieces, Scraps: m.Plan.Scraps, Blocks: m.Plan.Blocks, Unkept: m.Plan.Unkept, Carry: m.Plan.Carry, Matched: m.Plan.Matched}
	p.Trees = split.CloneTrees(m.Plan.Trees)
	changed := false
	for _, i := range seams {
		s := &m.Seams[i]
		if !split.In(l.way.Spans(s.Body), l.level) {
			return nil
		}
		first := 0
		for k := range m.Seams[:i] {
			if m.Seams[k].Piece == s.Piece {
				first++
			}
		}
		cut := cutsOf(p.Trees[s.Piece])[first]
		cut.Way, cut.LevelMM, cut.TakeInMM = l.way, l.level, l.takeInMM
		changed = changed || l != seamLine{s.Way, s.LevelMM, s.TakeInMM}
	}
	if !changed {
		return nil
	}
	next, err := m.With(p, d.options.AllowanceMM)
	if err != nil || !d.table.stillAlike(next) {
		return nil
	}
	return next
}

// cutsOf lists the cuts of a tree in the order in which their seams are made.
func cutsOf(t *split.Tree) []*split.Tree {
	if t.Way == nil {
		return nil
	}
	return append(append([]*split.Tree{t}, cutsOf(t.Near)...), cutsOf(t.Far)...)
}

// repackPoses is how many poses fit.Pack weighs for a plan that is known to be
// near to fitting.
const repackPoses = 4000

// repack packs every bin anew that holds a part of the pieces, and reports whether
// all still fits.
func (t *table) repack(ctx context.Context, m *split.Made, pieces []int) bool {
	touched := map[int]bool{}
	for _, part := range m.Parts {
		if slices.Contains(pieces, part.Piece) {
			touched[part.Leaf.Scrap] = true
		}
	}
	for s, on := range byScrap(m, len(t.bins)) {
		if !touched[s] {
			continue
		}
		parts := t.blanksOf(m, on)
		if parts == nil {
			return false
		}
		at, ok := t.pack(ctx, parts, &t.bins[s], repackPoses)
		if !ok {
			return false
		}
		for i, k := range on {
			m.Parts[k].Leaf.Placement = at[i]
		}
	}
	return true
}

// timeToLayTrue is how long laying the parts of a plan true may take beyond the deadline: a
// search that was stopped owes that to its plans, too.
const timeToLayTrue = time.Second

// layTrue lays the parts of every bin true to the grain where they fit so: all of them,
// or where they do not, one after the other, the largest first, as long as all fit. The
// tolerance is for where they do not.
func (t *table) layTrue(ctx context.Context, m *split.Made) {
	for s, on := range byScrap(m, len(t.bins)) {
		parts := t.blanksOf(m, on)
		if len(parts) == 0 {
			continue
		}
		tolerances := make([]float64, len(parts))
		at, ok := t.packWithin(ctx, parts, &t.bins[s], repackPoses, tolerances)
		if !ok && len(parts) > 1 {
			at = t.layMostTrue(ctx, parts, &t.bins[s])
		}
		for i := range at {
			m.Parts[on[i]].Leaf.Placement = at[i]
		}
	}
}

// layMostTrue is layTrue for parts that do not all lie true together; nil where none does.
// However many there are, it takes no more than some packings of all would.
func (t *table) layMostTrue(ctx context.Context, parts []*blank, s *bin) (best []fit.Placement) {
	tolerances := slices.Repeat([]float64{t.options.GrainToleranceDeg}, len(parts))
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(parts[k].area, parts[i].area) })
	const packings = 4
	poses := repackPoses * packings / max(packings, len(parts))
	for _, i := range order {
		tolerances[i] = 0
		if at, ok := t.packWithin(ctx, parts, s, poses, tolerances); ok {
			best = at
		} else {
			tolerances[i] = t.options.GrainToleranceDeg
		}
	}
	return best
}

// byScrap lists the parts that lie on each bin.
func byScrap(m *split.Made, scraps int) [][]int {
	on := make([][]int, scraps)
	for k, part := range m.Parts {
		on[part.Leaf.Scrap] = append(on[part.Leaf.Scrap], k)
	}
	return on
}

func (t *table) blanksOf(m *split.Made, on []int) []*blank {
	var parts []*blank
	for _, k := range on {
		b := newBlank(withStripes(m, k), m.Parts[k].Outline, "")
		if b == nil {
			return nil
		}
		parts = append(parts, b)
	}
	return parts
}

// withStripes is the piece of a part, with the place of its stripes where these are
// to meet.
func withStripes(m *split.Made, k int) *piece.Piece {
	part := m.Parts[k]
	if m.Plan.Matched == nil {
		return part.Of
	}
	p := m.Plan.Matched.On(part.Piece, part.Of)
	if m.Plan.Trees[part.Piece].Way != nil {
		return p.Tied()
	}
	return p
}
