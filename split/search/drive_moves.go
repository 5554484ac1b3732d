package search

import (
	"context"
	"math"
	"slices"
	"sort"

	"eke/piece"
	"eke/split"
)

// movedInstances are the pattern with one seam moved, by just as much as lets a
// piece come whole from a bin that it misses as drawn.
func (d *driver) movedInstances(ctx context.Context) []*instance {
	if d.moved != nil {
		return d.moved
	}
	for _, in := range d.variants {
		in.measure(ctx)
	}
	if ctx.Err() != nil {
		return nil
	}
	var found []split.Move
	for _, plain := range d.movesAllowed() {
		if ctx.Err() != nil {
			break
		}
		most := d.maxMove(ctx, plain) // for a taper too, so that what is ruled out for the one is ruled out for the other
		for _, m := range plain.Shapes(d.base.pieces) {
			for _, by := range d.allAmounts(ctx, m, min(most, d.maxMove(ctx, m))) {
				m.ByMM = by
				found = append(found, m)
			}
		}
	}
	sort.SliceStable(found, func(a, b int) bool { return found[a].ByMM < found[b].ByMM })
	moved := []*instance{}
	for _, m := range found {
		if ctx.Err() != nil {
			break
		}
		copies, err := m.Apply(d.base.pieces)
		if err != nil {
			continue
		}
		moved = append(moved, d.table.variants(copies, []split.Move{m})...)
	}
	if ctx.Err() == nil { // else not all of them: ask again
		d.moved = moved
	}
	return moved
}

// movesAllowed are the moves of the kinds that the options allow: all, or
// those whose edge is named among them.
func (d *driver) movesAllowed() []split.Move {
	var out []split.Move
	for _, m := range split.Moves(d.base.pieces) {
		if d.options.allows(m.From.Edge) || d.options.allows(m.To.Edge) {
			out = append(out, m)
		}
	}
	return out
}

// allAmounts are the amounts of a move for every choice of a kind of cloth.
func (d *driver) allAmounts(ctx context.Context, m split.Move, most float64) []float64 {
	var out []float64
	for _, in := range d.variants {
		for _, by := range d.withBase(in).amounts(ctx, m, most) {
			if !slices.Contains(out, by) {
				out = append(out, by)
			}
		}
	}
	return out
}

// amounts are the critical amounts of a move: for each bin that does not hold a copy of
// the giving piece as drawn, the least by which it must shrink. None is more than most. A
// left and a right copy may need different ones.
func (d *driver) amounts(ctx context.Context, m split.Move, most float64) (out []float64) {
	if most == 0 {
		return nil
	}
	for i, whole := range d.base.blanks {
		if d.base.pieces[i].Name != m.From.Piece || d.base.twin[i] >= 0 {
			continue
		}
		tried := map[string]bool{}
		for k := range d.table.bins {
			s := &d.table.bins[k]
			if tried[s.class] || !d.table.allowed(whole.piece, s.scrap) {
				continue
			}
			if ctx.Err() != nil {
				return nil
			}
			tried[s.class] = true
			if by := d.leastMove(ctx, m, most, i, s); by > 0 && !slices.Contains(out, by) {
				out = append(out, by)
			}
		}
	}
	return out
}

// leastMove is the least by which the i-th copy must shrink for a bin to hold it, and 0 for
// a bin that holds it as drawn or not even after most.
func (d *driver) leastMove(ctx context.Context, m split.Move, most float64, i int, s *bin) float64 {
	if _, ok := d.table.fitsOn(ctx, d.base.blanks[i], s); ok {
		return 0
	}
	fits := func(by float64) bool {
		b := d.shrunk(m, by, i)
		if b == nil {
			return false
		}
		_, ok := d.table.place(ctx, b, s)
		return ok
	}
	if !fits(most) {
		return 0
	}
	lo, hi := split.LeastMoveMM, most
	for hi-lo > 0.5 && ctx.Err() == nil {
		if mid := (lo + hi) / 2; fits(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	// To a whole millimetre, which a maker can draw.
	return math.Min(math.Ceil(hi), most)
}

// maxMove is how far the seam can move at all.
func (d *driver) maxMove(ctx context.Context, m split.Move) float64 {
	first := slices.IndexFunc(d.base.pieces, func(p *piece.Piece) bool { return p.Name == m.From.Piece })
	for by := float64(split.MostMoveMM); by >= split.LeastMoveMM && ctx.Err() == nil; by -= 5 {
		if d.shrunk(m, by, first) != nil {
			return by
		}
	}
	return 0
}

// shrunk is the i-th copy, one of the giving piece, once the seam has moved.
func (d *driver) shrunk(m split.Move, by float64, i int) *blank {
	m.ByMM = by
	copies, err := m.Apply(d.base.pieces)
	if err != nil {
		return nil
	}
	return newBlank(copies[i], copies[i].Outline, "")
}
