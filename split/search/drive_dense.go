package search

import (
	"context"
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
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
	withinMM    = 0.1  // how far within a copy a proof is tried first
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

// copiesWithin are copies that lie within those given, rounding and noisy corners
// aside: what is too large of them is too large of those. They lie no more than offMM
// within, and have the fewer points the more that is.
func copiesWithin(copies []*piece.Piece, offMM float64) []*piece.Piece {
	out := make([]*piece.Piece, len(copies))
	for i, p := range copies {
		c := *p
		c.Outline = nil
		for _, e := range p.Outline {
			share := min(offMM, max(insideMM, e.AllowanceMM)) / 4
			e = simplifiedEdge(e, p.Darts, share)
			e.AllowanceMM = max(0, e.AllowanceMM-3*share)
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
	d.simplified = true
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
	// What simplified copies rule out, the copies may allow.
	for _, off := range []float64{withinMM, insideMM} {
		if len(plans) == 0 || res.Fewest {
			break
		}
		inner, err := newDriver(copiesWithin(copies, off), d.pile, d.options)
		if err != nil {
			return nil, err
		}
		if off > insideMM && !inner.base.within(copies) {
			continue
		}
		res.Fewest, res.Reason = inner.proof(ctx, len(plans[0].Seams), inner.minSeams(ctx), nil)
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
	if len(open) > 0 {
		if !d.table.repack(ctx, s, open) {
			return nil
		}
		d.table.layTrue(ctx, s)
	}
	return s
}

// within reports whether the cutting lines of an instance lie in those of other
// copies. A noisy line's first segment may turn the corner that is mirrored over it.
func (in *instance) within(copies []*piece.Piece) bool {
	for i, p := range copies {
		line, err := split.CutLine(p, p.Outline)
		if err != nil || in.unsound || !within(in.blanks[i].cut, line) {
			return false
		}
	}
	return true
}

// within reports whether a ring lies in another, rounding aside.
func within(inner, outer orb.Ring) bool {
	in, out := newBands(inner), newBands(outer)
	for _, q := range inner {
		if !out.contains(q) && !out.near(q) {
			return false
		}
	}
	for _, q := range outer {
		if in.contains(q) && !in.near(q) {
			return false
		}
	}
	return true
}

// bands are the segments of a ring, sorted into level bands that they come near, so
// that a point is held against few of them. They overlap by insideMM.
type bands struct {
	from, depth float64
	segments    [][][2]orb.Point
}

func newBands(r orb.Ring) bands {
	r = plane.Close(r)
	box := r.Bound()
	const perBand = 4
	n := 1 + len(r)/perBand
	b := bands{from: box.Min[1] - insideMM, segments: make([][][2]orb.Point, n)}
	b.depth = (box.Max[1] - box.Min[1] + 2*insideMM) / float64(n)
	for i := range r[1:] {
		lo, hi := min(r[i][1], r[i+1][1]), max(r[i][1], r[i+1][1])
		first, last := b.at(lo-insideMM), b.at(hi+insideMM)
		for k := max(0, first); k <= min(last, n-1); k++ {
			b.segments[k] = append(b.segments[k], [2]orb.Point{r[i], r[i+1]})
		}
	}
	return b
}

// at is the band of a level, which may lie beyond them all.
func (b bands) at(y float64) int { return int(math.Floor((y - b.from) / b.depth)) }

// beside is the segments in the band of a point.
func (b bands) beside(q orb.Point) [][2]orb.Point {
	if k := b.at(q[1]); k >= 0 && k < len(b.segments) {
		return b.segments[k]
	}
	return nil
}

// contains reports whether a point lies in the ring. On its line it may say either.
func (b bands) contains(q orb.Point) bool {
	odd := false
	for _, s := range b.beside(q) {
		if u, v := s[0], s[1]; (u[1] > q[1]) != (v[1] > q[1]) && q[0] < u[0]+(q[1]-u[1])/(v[1]-u[1])*(v[0]-u[0]) {
			odd = !odd
		}
	}
	return odd
}

// near reports whether a point lies within insideMM of the ring's line.
func (b bands) near(q orb.Point) bool {
	return slices.ContainsFunc(b.beside(q), func(s [2]orb.Point) bool { return plane.ToSegment(q, s[0], s[1]) <= insideMM })
}
