package search

import (
	"context"
	"slices"
	"time"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// proof says whether fewer seams than n have been ruled out, and how.
func (d *driver) proof(ctx context.Context, n, least int, undecided map[int]bool) (bool, string) {
	const stopped = "the time was up, or the search was stopped, before plans with fewer seams could be ruled out"
	if n == 0 {
		return true, "no seam is added"
	}
	if d.carry != nil {
		return false, "with a line to carry, not every level was tried"
	}
	if d.match != nil {
		return false, "with stripes that are to meet, not every place of theirs was tried"
	}
	if slices.ContainsFunc(d.variants, func(in *instance) bool { return !in.measured }) {
		return false, stopped
	}
	if ctx.Err() != nil { // this is quick, and gets a moment of its own
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(context.WithoutCancel(ctx), 200*time.Millisecond)
		defer cancel()
	}
	ruledOut := true
	for _, in := range d.variants {
		ruledOut = ruledOut && d.withBase(in).movesRuledOut(ctx)
	}
	if ctx.Err() != nil {
		return false, stopped
	}
	if !ruledOut {
		return false, "moving a seam over by some other amount might save one that is added; not every amount was tried"
	}
	if n <= least {
		return true, "no scrap is large enough for the pieces that are split to be cut in fewer parts (extent bound)"
	}
	for s := range n {
		if open, tried := undecided[s]; open || !tried {
			return false, "plans with fewer seams were tried and none was found, but not every one was ruled out"
		}
	}
	return true, "every plan with fewer seams was tried or shown to be impossible (search complete)"
}

// movesRuledOut is a certain bound: moving seams saves no added one. For each piece
// that no bin holds whole there are two ways to prove it. Either it still fits
// none when it gives away as much as it can at every seam. Or there is one move
// that it cannot do without, and that move makes the piece that takes the strip
// too large for every bin: the seam saved on the one is added to the other.
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

// fitsShrunk reports whether some bin holds the i-th copy once it has given away
// all that it can at every seam. Where one move is named, that one is made by its
// own amount. A copy that gives away less has other corners, and those of its
// allowances are elsewhere; so what sticks out of the copy as drawn, or of the
// other cutting lines given, does not count.
func (d *driver) fitsShrunk(ctx context.Context, i int, moves []split.Move, one *split.Move, also ...orb.Ring) bool {
	if ctx.Err() != nil {
		return true // not known
	}
	shrunk := ofKind(d.shrink(ctx, i, moves, one), d.base.kindOf(i))
	return ctx.Err() != nil || d.fitsSomewhere(ctx, shrunk, append(also, d.base.blanks[i].cut)...)
}

// shrink is the i-th copy with those moves made.
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

// fitsSomewhere reports whether some bin holds a piece whole, or what of it lies
// within some other cutting lines.
func (d *driver) fitsSomewhere(ctx context.Context, p *piece.Piece, within ...orb.Ring) bool {
	ring, err := split.CutLine(p, p.Outline)
	if err != nil {
		return true // unknown
	}
	for _, line := range within {
		ring = common(ring, line)
	}
	if len(ring) == 0 {
		return true // unknown
	}
	shape := fit.NewShape(ring)
	return slices.ContainsFunc(d.table.bins, func(s bin) bool {
		if !d.table.allowed(p, s.scrap) {
			return false
		}
		_, ok := fit.Place(ctx, s.cloth, shape, rotations(p, s.scrap, d.options.GrainToleranceDeg))
		return ok
	})
}

// common is the largest polygon that two rings have in common, empty where there
// is none.
func common(a, b orb.Ring) orb.Ring {
	g, err := geom.Intersection(polygonOf(a), polygonOf(b))
	if err != nil {
		return nil
	}
	var most orb.Ring
	for _, part := range g.Dump() {
		if !part.IsPolygon() || part.IsEmpty() {
			continue
		}
		xy := part.MustAsPolygon().ExteriorRing().Coordinates()
		ring := make(orb.Ring, xy.Length()-1)
		for k := range ring {
			q := xy.GetXY(k)
			ring[k] = orb.Point{q.X, q.Y}
		}
		if plane.Area(ring) > plane.Area(most) {
			most = ring
		}
	}
	return most
}

func polygonOf(r orb.Ring) geom.Geometry {
	var xy []float64
	for _, q := range plane.Close(r) {
		xy = append(xy, q[0], q[1])
	}
	return geom.NewSingleRingPolygonXY(xy...).AsGeometry()
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

// burdens reports whether the move makes the taking piece too large. The move is
// made by the least that the i-th copy must give away, and the taking piece may
// give away all that it can in its turn.
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
		most := m
		var larger []*piece.Piece
		for most.ByMM = split.MostMoveMM; most.ByMM > lo && larger == nil; most.ByMM-- {
			larger, _ = most.Apply(d.base.pieces)
		}
		if larger == nil {
			larger = taken
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
		if line, err := split.CutLine(larger[k], larger[k].Outline); err != nil || grown.fitsShrunk(ctx, k, own, nil, line) {
			return false
		}
	}
	return true
}
