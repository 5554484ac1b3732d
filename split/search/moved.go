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
// piece come whole from a scrap that it misses as drawn.
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
		most := d.maxMove(ctx, plain)
		for _, m := range plain.Shapes(d.base.pieces) {
			for _, by := range d.allAmounts(ctx, m, most) {
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

// amounts are the critical amounts of a move: for each scrap that does not
// hold the giving piece as drawn, the least by which it must shrink. It takes
// no more than most, as far as the seam could move all along, so that what
// is ruled out for that is ruled out for a taper.
func (d *driver) amounts(ctx context.Context, m split.Move, most float64) []float64 {
	var whole *blank
	for i, p := range d.base.pieces {
		if p.Name == m.From.Piece {
			whole = d.base.blanks[i]
			break
		}
	}
	if most == 0 {
		return nil
	}
	seen := map[float64]bool{}
	tried := map[string]bool{}
	var out []float64
	for k := range d.table.bins {
		s := &d.table.bins[k]
		if tried[s.class] || !d.table.allowed(whole.piece, s.scrap) {
			continue
		}
		if ctx.Err() != nil {
			return nil
		}
		tried[s.class] = true
		if _, ok := d.table.fitsOn(ctx, whole, s); ok {
			continue
		}
		fits := func(by float64) bool {
			b := d.shrunk(m, by)
			if b == nil {
				return false
			}
			_, ok := d.table.place(ctx, b, s)
			return ok
		}
		if !fits(most) {
			continue
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
		by := math.Min(math.Ceil(hi), most)
		if !seen[by] {
			seen[by] = true
			out = append(out, by)
		}
	}
	return out
}

// maxMove is how far the seam can move at all.
func (d *driver) maxMove(ctx context.Context, m split.Move) float64 {
	for by := float64(split.MostMoveMM); by >= split.LeastMoveMM && ctx.Err() == nil; by -= 5 {
		if d.shrunk(m, by) != nil {
			return by
		}
	}
	return 0
}

// shrunk is the giving piece once the seam has moved.
func (d *driver) shrunk(m split.Move, by float64) *blank {
	m.ByMM = by
	copies, err := m.Apply(d.base.pieces)
	if err != nil {
		return nil
	}
	for _, p := range copies {
		if p.Name == m.From.Piece {
			return newBlank(p, p.Outline, "")
		}
	}
	return nil
}

// movesRuledOut reports whether moving seams has been proved to save no added
// one. Each piece that no scrap holds whole must stay so when it gives away as
// much as it can at every seam; or else the one move that it cannot do without
// must make the piece that takes the strip too large for every scrap, so that
// the seam saved on the one is added to the other.
func (d *driver) movesRuledOut(ctx context.Context) bool {
	moves := d.movesAllowed()
	if len(moves) == 0 {
		return true
	}
	paid := map[string]bool{}
	for i, p := range d.base.pieces {
		if d.base.minCuts[i] == 0 {
			continue
		}
		if !d.fitsShrunk(ctx, i, moves, nil) {
			if d.base.minCuts[i] > 1 {
				return false // shrunk, it might need one seam fewer
			}
			continue
		}
		payer := ""
		for k := range moves {
			m := moves[k]
			if m.From.Piece != p.Name || d.fitsShrunk(ctx, i, moves, &m) {
				continue // it can do without this one
			}
			if to := m.To.Piece; !paid[to] && d.allBurden(ctx, i, moves, m) {
				payer = to
				break
			}
		}
		if payer == "" || d.base.minCuts[i] > 1 {
			return false
		}
		paid[payer] = true
	}
	return true
}

// fitsShrunk reports whether some scrap holds the i-th copy once it has given
// away all that it can at every seam. Where one move is named, it is made by
// its own amount instead.
func (d *driver) fitsShrunk(ctx context.Context, i int, moves []split.Move, one *split.Move) bool {
	if ctx.Err() != nil {
		return true // not known
	}
	shrunk := ofKind(d.shrink(ctx, i, moves, one), d.base.kindOf(i))
	return ctx.Err() != nil || d.fitsSomewhere(ctx, shrunk)
}

func (d *driver) shrink(ctx context.Context, i int, moves []split.Move, one *split.Move) *piece.Piece {
	copies := d.base.pieces
	apply := func(m split.Move) bool {
		next, err := m.Apply(copies)
		if err == nil {
			copies = next
		}
		return err == nil
	}
	name := copies[i].Name
	for _, m := range moves {
		switch {
		case m.From.Piece != name:
		case one != nil && m.From == one.From && m.To == one.To:
			if one.ByMM >= split.LeastMoveMM {
				apply(*one)
			}
		default:
			for m.ByMM = split.MostMoveMM; m.ByMM >= split.LeastMoveMM && ctx.Err() == nil && !apply(m); m.ByMM-- {
			}
		}
	}
	return copies[i]
}

func (d *driver) fitsSomewhere(ctx context.Context, p *piece.Piece) bool {
	b := newBlank(p, p.Outline, "")
	if b == nil {
		return true // unknown
	}
	for k := range d.table.bins {
		if _, ok := d.table.place(ctx, b, &d.table.bins[k]); ok {
			return true
		}
	}
	return false
}

// allBurden reports whether every shape of a move burdens the taking piece.
func (d *driver) allBurden(ctx context.Context, i int, moves []split.Move, m split.Move) bool {
	for _, s := range m.Shapes(d.base.pieces) {
		if !d.burdens(ctx, i, moves, s) {
			return false
		}
	}
	return true
}

// burdens reports whether the least that the i-th copy must give away by m
// makes every copy of the taking piece too large for all scraps, whatever
// that gives away in its turn.
func (d *driver) burdens(ctx context.Context, i int, moves []split.Move, m split.Move) bool {
	lo, hi := 0.0, float64(split.MostMoveMM)
	for hi-lo > 0.5 {
		m.ByMM = (lo + hi) / 2
		if d.fitsShrunk(ctx, i, moves, &m) {
			hi = m.ByMM
		} else {
			lo = m.ByMM
		}
	}
	if m.ByMM = lo; m.ByMM < split.LeastMoveMM {
		return false
	}
	for k, p := range d.base.pieces {
		if p.Name != m.To.Piece {
			continue
		}
		if d.base.minCuts[k] > 0 {
			return false
		}
		taken, err := m.Apply(d.base.pieces)
		if err != nil {
			return false
		}
		grown := *d
		grown.base = newInstanceOfKinds(d.table, taken, nil, d.base.kinds)
		if grown.base.unsound {
			return false
		}
		var own []split.Move
		for _, o := range moves {
			if o.From != m.To || o.To != m.From {
				own = append(own, o)
			}
		}
		if grown.fitsShrunk(ctx, k, own, nil) {
			return false
		}
	}
	return true
}
