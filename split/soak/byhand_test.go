package soak

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/fit"
	"eke/split/search"

	"github.com/paulmach/orb"
)

// byHand cuts the pieces at random, as a maker might by hand, after moving
// seams at random, and lays each part on cloth of its own. It gives nil where
// the cuts cannot be made.
func (s setting) byHand(pieces []*piece.Piece, n int) (*search.Result, []piece.Scrap) {
	rng := s.stream(fmt.Sprint("by hand ", n))
	drawn := split.Copies(pieces)
	p := &split.Plan{Pieces: drawn}
	if moves := split.Moves(drawn); len(moves) > 0 && rng.IntN(3) == 0 {
		m := moves[rng.IntN(len(moves))]
		m.ByMM = split.LeastMoveMM + rng.Float64()*(split.MostMoveMM-split.LeastMoveMM)*rng.Float64()
		if moved, err := m.Apply(drawn); err == nil {
			p.Pieces, p.Moves = moved, []split.Move{m}
		}
	}
	for _, c := range p.Pieces {
		tree := new(split.Tree)
		s.cut(rng, tree, c, c.Outline, rng.IntN(4))
		p.Trees = append(p.Trees, tree)
	}
	m, err := split.Make(p, s.AllowanceMM)
	if err != nil {
		return nil, nil
	}
	var cloth []piece.Scrap
	for k, part := range m.Parts {
		at := fit.Placement{Deg: 90 - m.Plan.Pieces[part.Piece].GrainDeg}
		box := at.Apply(part.Cut).Bound().Pad(0.01)
		part.Leaf.Scrap, part.Leaf.Placement = k, at
		c := piece.Scrap{
			Name: fmt.Sprint("cloth ", k), GrainDeg: 90, Count: 1,
			Outline: orb.Ring{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}},
		}
		if f := m.Plan.Pieces[part.Piece].Fabrics; len(f) > 0 {
			c.Fabric = f[len(f)-1]
		}
		cloth = append(cloth, c)
	}
	return &search.Result{Plans: []*split.Made{m}, Drawn: drawn, Reason: byHand, Settled: true}, cloth
}

// straight are the ways to split by a straight line.
var straight = slices.DeleteFunc(split.Ways(), func(w split.Way) bool {
	_, curved := w.(split.CurvedYoke)
	return curved
})

// cut grows a tree of cuts, each at a level that its way proposes.
func (s setting) cut(rng *rand.Rand, t *split.Tree, p *piece.Piece, o piece.Outline, cuts int) {
	if cuts == 0 {
		return
	}
	b := split.NewBody(p, o)
	w := straight[rng.IntN(len(straight))]
	spans := w.Spans(b)
	if len(spans) == 0 {
		return
	}
	at := spans[rng.IntN(len(spans))]
	level := at.Lo + rng.Float64()*(at.Hi-at.Lo)
	if all := w.Welcome(b); len(all) > 0 && rng.IntN(3) == 0 {
		if l := all[rng.IntN(len(all))]; split.In(spans, l) {
			level = l
		}
	}
	if n := len(p.FishEyes); n > 0 && rng.IntN(2) == 0 {
		f := p.FishEyes[rng.IntN(n)]
		aim := append(f.Wide[:], f.Apex[:]...)[rng.IntN(4)]
		if l := w.LevelOf(b, aim) + 30*(rng.Float64()-0.5)*float64(rng.IntN(3)); split.In(spans, l) {
			level = l
		}
	}
	if _, yoke := w.(split.Yoke); yoke && s.Seed%2 == 1 {
		if c := (split.CurvedYoke{AtUnderarm: true}); split.In(c.Spans(b), level) {
			w = c
		}
	}
	takeIn := 0.0
	if rng.IntN(2) == 0 {
		takeIn = s.DartReachMM
	}
	near, far, _, err := split.Cut(o, w.Line(b, level), split.Seam{Name: "?", AllowanceMM: s.AllowanceMM})
	if err != nil {
		return
	}
	t.Way, t.LevelMM, t.TakeInMM, t.Near, t.Far = w, level, takeIn, &split.Tree{}, &split.Tree{}
	left := rng.IntN(cuts)
	s.cut(rng, t.Near, p, near, left)
	s.cut(rng, t.Far, p, far, cuts-1-left)
}

// proveByHand makes plans by hand and proves each.
func (s setting) proveByHand(pieces []*piece.Piece) (proved int, w *wrong) {
	for n := range s.ByHand {
		res, cloth := s.byHand(pieces, n)
		if res == nil {
			continue
		}
		if w := s.prove(s.document(res, cloth), res); w != nil {
			w.Rule = "by hand, " + w.Rule
			return proved, w
		}
		proved++
	}
	return proved, nil
}
