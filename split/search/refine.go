package search

import (
	"context"

	"eke/split"
)

// refine slides each seam of a plan, one after another, to the level that
// costs least of those that keep every part on its scrap: the welcome levels,
// the levels that meet a neighbour's seam across a join, the critical ends
// and the middle between them.
func (h *hunt) refine(ctx context.Context, m *split.Made) *split.Made {
	const rounds = 3
	for range rounds {
		better := false
		for i := range m.Seams {
			if ctx.Err() != nil {
				return m
			}
			if next := h.slide(ctx, m, i); next != nil {
				m, better = next, true
			}
		}
		if !better {
			break
		}
	}
	return m
}

// line is where one seam of a plan may run instead.
type line struct {
	way      split.Way
	level    float64
	takeInMM float64
}

// slide is the plan with its i-th seam where it costs least, nil where it is
// there already: at another level, with the darts near it taken in, or curved
// so that its ends keep away from the underarm.
func (h *hunt) slide(ctx context.Context, m *split.Made, i int) *split.Made {
	seam := m.Seams[i]
	cost := split.Intrusion(split.Cost(m))
	var best *split.Made
	try := func(l line) {
		if ctx.Err() != nil || !split.In(l.way.Spans(seam.Body), l.level) {
			return
		}
		next := h.at(ctx, m, i, l)
		if next == nil {
			return
		}
		if c := split.Intrusion(split.Cost(next)); c < cost-1e-6 {
			best, cost = next, c
		}
	}
	now := line{seam.Way, seam.LevelMM, seam.TakeInMM}
	for _, l := range seam.Way.Welcome(seam.Body) {
		try(line{now.way, l, now.takeInMM})
	}
	for _, l := range h.neighbourLevels(m, i) {
		try(line{now.way, l, now.takeInMM})
	}
	for _, off := range []float64{-40, -25, -16, -8, 8, 16, 25, 40} {
		try(line{now.way, now.level + off, now.takeInMM})
	}
	if reach := h.options.DartReachMM; reach > 0 && len(seam.Body.Piece.Darts)+len(seam.Body.Piece.FishEyes) > 0 {
		try(line{now.way, now.level, reach})
		for _, d := range seam.Body.Piece.Darts {
			apex := now.way.LevelOf(seam.Body, d.Apex)
			for _, off := range []float64{0, -0.9 * reach, 0.9 * reach} {
				try(line{now.way, apex + off, reach})
			}
		}
		for _, f := range seam.Body.Piece.FishEyes {
			widest := now.way.LevelOf(seam.Body, f.Widest())
			for _, off := range []float64{0, -0.9 * reach, 0.9 * reach} {
				try(line{now.way, widest + off, reach})
			}
		}
	}
	for _, w := range now.way.Instead(&seam) {
		if !h.options.allows(w.Kind()) {
			continue
		}
		try(line{w, now.level, now.takeInMM})
		for _, l := range w.Welcome(seam.Body) {
			try(line{w, l, now.takeInMM})
		}
	}
	return best
}

// neighbourLevels are the levels at which a seam would meet the end of
// another piece's seam across a join.
func (h *hunt) neighbourLevels(m *split.Made, i int) []float64 {
	seam := m.Seams[i]
	p := m.Plan.Pieces[seam.Piece]
	var out []float64
	for k := range m.Seams {
		if m.Seams[k].Piece == seam.Piece {
			continue
		}
		q := m.Plan.Pieces[m.Seams[k].Piece]
		for _, end := range m.Seams[k].Ends {
			for _, e := range p.Outline {
				if len(end.Edge.Line) == 0 || !split.Joined(e, p, end.Edge, q) {
					continue
				}
				at, _ := e.Line.At(split.Mate(e, end.Edge, end.AlongMM))
				out = append(out, seam.Way.LevelOf(seam.Body, at))
			}
		}
	}
	return out
}

// at is the plan with one seam elsewhere, nil where some part then leaves its
// scrap.
func (h *hunt) at(ctx context.Context, m *split.Made, i int, l line) *split.Made {
	if s := &m.Seams[i]; l == (line{s.Way, s.LevelMM, s.TakeInMM}) {
		return nil
	}
	p := &split.Plan{Moves: m.Plan.Moves, Pieces: m.Plan.Pieces}
	for _, t := range m.Plan.Trees {
		p.Trees = append(p.Trees, t.Clone())
	}
	cut := cutsOf(p.Trees[m.Seams[i].Piece])
	first := 0
	for k := range m.Seams[:i] {
		if m.Seams[k].Piece == m.Seams[i].Piece {
			first++
		}
	}
	cut[first].Way, cut[first].LevelMM, cut[first].TakeInMM = l.way, l.level, l.takeInMM
	next, err := split.Make(p, h.options.AllowanceMM)
	if err != nil {
		return nil
	}
	if !h.table.lay(ctx, next, m.Seams[i].Piece) {
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

// layPoses is how many poses fit.Pack weighs for a plan that is known to be
// near to fitting.
const layPoses = 4000

// lay places anew every scrap that holds a part of the piece, and reports
// whether all still fits.
func (t *table) lay(ctx context.Context, m *split.Made, piece int) bool {
	touched := map[int]bool{}
	for _, part := range m.Parts {
		if part.Piece == piece {
			touched[part.Leaf.Scrap] = true
		}
	}
	for s, on := range byScrap(m, len(t.sites)) {
		if !touched[s] {
			continue
		}
		parts := t.blanksOf(m, on)
		if parts == nil {
			return false
		}
		at, ok := t.pack(ctx, parts, &t.sites[s], layPoses)
		if !ok {
			return false
		}
		for i, k := range on {
			m.Parts[k].Leaf.Placement = at[i]
		}
	}
	return true
}

// straighten lays the parts of every scrap true to the grain where they fit so;
// the tolerance is for where they do not.
func (t *table) straighten(ctx context.Context, m *split.Made) {
	for s, on := range byScrap(m, len(t.sites)) {
		parts := t.blanksOf(m, on)
		if len(parts) == 0 {
			continue
		}
		at, ok := t.packWithin(ctx, parts, &t.sites[s], layPoses, 0)
		if !ok {
			continue
		}
		for i, k := range on {
			m.Parts[k].Leaf.Placement = at[i]
		}
	}
}

// byScrap lists the parts that lie on each scrap.
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
		b := newBlank(m.Parts[k].Of, m.Parts[k].Outline, "")
		if b == nil {
			return nil
		}
		parts = append(parts, b)
	}
	return parts
}
