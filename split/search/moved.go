package search

import (
	"context"
	"math"
	"sort"
	"strings"

	"eke/piece"
	"eke/split"
)

// movedJobs are the pattern with one seam moved, by just as much as lets a
// piece come whole from a scrap that it misses as drawn.
func (h *hunt) movedJobs(ctx context.Context) []*job {
	if h.moved != nil {
		return h.moved
	}
	h.moved = []*job{}
	h.base.measure(ctx)
	var found []split.Move
	for _, m := range h.movesAllowed() {
		for _, by := range h.amounts(ctx, m) {
			m.ByMM = by
			found = append(found, m)
		}
	}
	sort.SliceStable(found, func(a, b int) bool { return found[a].ByMM < found[b].ByMM })
	for _, m := range found {
		copies, err := m.Apply(h.base.pieces)
		if err != nil {
			continue
		}
		h.moved = append(h.moved, newJob(h.table, copies, []split.Move{m}))
	}
	if ctx.Err() != nil {
		moved := h.moved
		h.moved = nil // not all of them: ask again
		return moved
	}
	return h.moved
}

// movesAllowed are the moves of the kinds that the options allow: all, or
// those whose edge is named among them.
func (h *hunt) movesAllowed() []split.Move {
	var out []split.Move
	for _, m := range split.Moves(h.base.pieces) {
		ok := len(h.options.Kinds) == 0
		for _, k := range h.options.Kinds {
			ok = ok || strings.EqualFold(k, m.From.Edge) || strings.EqualFold(k, m.To.Edge)
		}
		if ok {
			out = append(out, m)
		}
	}
	return out
}

// amounts are the critical amounts of a move: for each scrap that does not
// hold the giving piece as drawn, the least by which it must shrink.
func (h *hunt) amounts(ctx context.Context, m split.Move) []float64 {
	var giver *piece.Piece
	var whole *blank
	for i, p := range h.base.pieces {
		if p.Name == m.From.Piece {
			giver, whole = p, h.base.blanks[i]
			break
		}
	}
	most := h.mostMove(m)
	if most == 0 {
		return nil
	}
	seen := map[float64]bool{}
	tried := map[string]bool{}
	var out []float64
	for k := range h.table.sites {
		s := &h.table.sites[k]
		if tried[s.class] || !h.table.allowed(giver, s.scrap) {
			continue
		}
		tried[s.class] = true
		if _, ok := h.table.fitsOn(ctx, whole, s); ok {
			continue
		}
		fits := func(by float64) bool {
			b := h.shrunk(m, by)
			if b == nil {
				return false
			}
			_, ok := h.table.place(ctx, b, s)
			return ok
		}
		if !fits(most) {
			continue
		}
		lo, hi := split.LeastMoveMM, most
		for hi-lo > 0.5 {
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

// mostMove is how far the seam can move at all.
func (h *hunt) mostMove(m split.Move) float64 {
	for by := float64(split.MostMoveMM); by >= split.LeastMoveMM; by -= 5 {
		if h.shrunk(m, by) != nil {
			return by
		}
	}
	return 0
}

// shrunk is the giving piece once the seam has moved.
func (h *hunt) shrunk(m split.Move, by float64) *blank {
	m.ByMM = by
	copies, err := m.Apply(h.base.pieces)
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

// movesRuledOut reports whether no piece that must be split would fit whole
// if every seam it can give away were moved as far as it can be.
func (h *hunt) movesRuledOut() bool {
	ctx := context.Background()
	moves := h.movesAllowed()
	for i, p := range h.base.pieces {
		if h.base.least[i] == 0 {
			continue
		}
		copies := h.base.pieces
		for _, m := range moves {
			if m.From.Piece != p.Name {
				continue
			}
			for by := float64(split.MostMoveMM); by >= split.LeastMoveMM; by -= 5 {
				m.ByMM = by
				if next, err := m.Apply(copies); err == nil {
					copies = next
					break
				}
			}
		}
		b := newBlank(copies[i], copies[i].Outline, "")
		if b == nil {
			return false
		}
		for k := range h.table.sites {
			if _, ok := h.table.place(ctx, b, &h.table.sites[k]); ok {
				return false
			}
		}
		if h.base.least[i] > 1 && len(moves) > 0 {
			return false // a shrunk piece might need one seam fewer
		}
	}
	return true
}
