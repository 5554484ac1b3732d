package search

import (
	"context"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"
)

// A tracing or a digitiser gives an outline thousands of points. Such outlines are
// simplified for the search (U. Ramer, D. Douglas and T. Peucker, 1972 and 1973),
// and their allowances grow by as much as a line may be off. So a part's true
// cutting line lies within the one that was searched with, and fits wherever that
// one fits. What is found is then carried out on the true outlines. A line that is
// carried, and stripes that are to meet, are measured at joins, so these are searched
// for on the true outlines.
const (
	densePoints = 300  // of one outline, from which on it is simplified
	fewPoints   = 120  // it is simplified until it has no more, or as far as it may be
	leastOffMM  = 0.05 // by how much the simplified line may be off, at first
	mostOffMM   = 0.3  // and at most
	insideMM    = 0.01 // rounding: a fifth of what a proof leaves
)

// simplifiedCopies are the copies with those simplified that are dense; some
// says whether there is one.
func simplifiedCopies(copies []*piece.Piece) (out []*piece.Piece, some bool) {
	for _, p := range copies {
		s := simplifiedCopy(p)
		some = some || s != p
		out = append(out, s)
	}
	return out, some
}

// simplifiedCopy is a copy with few points and allowances that make up for them.
// A copy that has few points, or that keeps most of them for it is all corners, is
// given as it is.
func simplifiedCopy(p *piece.Piece) *piece.Piece {
	if len(p.Outline.Path()) <= densePoints {
		return p
	}
	c := *p
	for off := leastOffMM; off <= mostOffMM; off *= 1.5 {
		c.Outline = nil
		for _, e := range p.Outline {
			e = simplifiedEdge(e, p.Darts, off)
			e.AllowanceMM += off
			c.Outline = append(c.Outline, e)
		}
		if len(c.Outline.Path()) <= fewPoints {
			break
		}
	}
	if 2*len(c.Outline.Path()) > len(p.Outline.Path()) {
		return p
	}
	return &c
}

// copiesWithin are copies that lie within those given, rounding aside: what is too
// large of them is too large of those. They are as near to them as rounding.
func copiesWithin(copies []*piece.Piece) []*piece.Piece {
	out := make([]*piece.Piece, len(copies))
	for i, p := range copies {
		c := *p
		c.Outline = nil
		for _, e := range p.Outline {
			e = simplifiedEdge(e, p.Darts, insideMM/2)
			e.AllowanceMM = max(0, e.AllowanceMM-insideMM/2)
			c.Outline = append(c.Outline, e)
		}
		out[i] = &c
	}
	return out
}

// simplifiedEdge is an edge with fewer points, its line off by that much at most.
// Its first and last segments stay, which shape the corners of cutting lines, and
// so do the places where darts open.
func simplifiedEdge(e piece.Edge, darts []piece.Dart, offMM float64) piece.Edge {
	was := e.Line.Length()
	stops := []float64{0, e.Line[0].Length(), was - e.Line[len(e.Line)-1].Length(), was}
	ruler := e.Line.Ruler()
	for _, d := range darts {
		for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
			const onMM = 0.1
			if along, away := ruler.Nearest(leg); away < onMM {
				stops = append(stops, along)
			}
		}
	}
	slices.Sort(stops)
	flattenMM := offMM / 5
	simplifier := simplify.DouglasPeucker(offMM - flattenMM)
	line := orb.LineString{e.Line.Start()}
	for i := 1; i < len(stops); i++ {
		if stops[i]-stops[i-1] < curve.HairMM {
			continue
		}
		run := simplifier.LineString(ruler.Between(stops[i-1], stops[i]).Flatten(flattenMM))
		line = append(line, run[1:]...)
	}
	line[len(line)-1] = e.Line.End()
	e.Line = curve.Polyline(line...)
	scale := e.Line.Length() / was
	notches := make([]piece.Notch, len(e.Notches))
	for i, n := range e.Notches {
		n.AtMM *= scale
		notches[i] = n
	}
	e.Notches = notches
	return e
}

// runSimplified searches with simplified copies and carries out what it finds on
// the copies themselves. Where none of it holds there, the search is made anew
// with them.
func (d *driver) runSimplified(ctx context.Context, copies []*piece.Piece) (*Result, error) {
	searched, cancel := withTimeToFinish(ctx)
	defer cancel()
	res := d.run(searched)
	var plans []*split.Made
	for _, m := range res.Plans {
		if s := d.carriedOut(ctx, m, copies); s != nil {
			plans = append(plans, s)
		}
	}
	if len(plans) == 0 && ctx.Err() == nil {
		whole, err := newDriver(copies, d.pile, d.options)
		if err != nil {
			return nil, err
		}
		return whole.run(ctx), nil
	}
	res.Plans, res.Drawn = plans, copies
	if len(plans) > 0 { // what simplified copies rule out, the copies may allow
		within, err := newDriver(copiesWithin(copies), d.pile, d.options)
		if err != nil {
			return nil, err
		}
		res.Fewest, res.Reason = within.proof(ctx, len(plans[0].Seams), within.minSeams(ctx), nil)
	}
	return res, nil
}

// carriedOut is a plan for simplified copies with the copies as they are, or nil
// where it does not hold for them.
func (d *driver) carriedOut(ctx context.Context, m *split.Made, copies []*piece.Piece) *split.Made {
	p := *m.Plan
	p.Pieces = copies
	for _, move := range p.Moves {
		var err error
		if p.Pieces, err = move.Apply(p.Pieces); err != nil {
			return nil
		}
	}
	p.Trees = split.CloneTrees(m.Plan.Trees)
	s, err := split.Make(&p, d.options.AllowanceMM)
	if err != nil || len(s.Parts) != len(m.Parts) {
		return nil
	}
	s.BestLooking = m.BestLooking
	var open []int
	for k := range s.Parts {
		if !within(s.Parts[k].Cut, m.Parts[k].Cut) {
			open = append(open, s.Parts[k].Piece)
		}
	}
	if len(open) > 0 && !d.table.repack(ctx, s, open) {
		return nil
	}
	return s
}

// within reports whether a ring lies in another, rounding aside.
func within(inner, outer orb.Ring) bool {
	outer, inner = plane.Close(outer), plane.Close(inner)
	inside := func(r orb.Ring, q orb.Point) bool {
		return planar.RingContains(r, q) || planar.DistanceFrom(orb.LineString(r), q) <= insideMM
	}
	for _, q := range inner {
		if !inside(outer, q) {
			return false
		}
	}
	for _, q := range outer {
		if planar.RingContains(inner, q) && planar.DistanceFrom(orb.LineString(inner), q) > insideMM {
			return false
		}
	}
	return true
}
