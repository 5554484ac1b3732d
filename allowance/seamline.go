package allowance

import (
	"fmt"
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// fineMM is how closely curves are followed where speed is no matter.
const fineMM = 0.002

// SeamLine takes the allowance off a piece whose Outline was drawn as the
// cutting line: each edge moves in by its own allowance, curves stay curves
// within 0.05 mm, and corners are where the moved edges meet. So a mitred or
// blunted corner gives back the seam's corner; where two allowances differ on
// a line that runs on, draw the seam line instead. Notches go to
// the nearest place on the seam line, and dart legs end on it. A piece that
// the allowance is too wide for is a *piece.Error, and is left as it was. It
// is what a Draft's TakeOff does.
func SeamLine(p *piece.Piece) error {
	problem := func(format string, a ...any) error {
		return &piece.Error{
			File: p.File, Piece: p.Name, Element: "cut",
			Problem: fmt.Sprintf(format, a...), Cure: "give a smaller allowance, or draw the seam line",
		}
	}
	sides, err := flatten(p.Outline, fineMM)
	if err != nil {
		return problem("%v", err)
	}
	widest := 0.0
	for i := range p.Outline {
		widest = math.Max(widest, p.Outline[i].AllowanceMM)
	}
	back := reversed(sides)
	ring, along, err := innerFace(Corners{Limit: 10, PiecingEnd: Mitre, Hem: Mitre}.rawOffset(p.Outline, back))
	if err != nil {
		return problem("taking off the allowance of %g mm %v", widest, err)
	}
	for _, s := range sides {
		if plane.ToRing(ring, s.from) > 3*widest+1 {
			return problem("the piece is too narrow for its allowance of %g mm near x %.1f mm, y %.1f mm", widest, s.from[0], s.from[1])
		}
	}
	outline, lost := regroup(p.Outline, fitRuns(p.Outline, back, ring, along))
	if lost >= 0 {
		return problem("taking off the allowance leaves nothing, or two ends, of edge %s", nameOf(p.Outline, lost))
	}
	for _, f := range p.FishEyes {
		if !f.Inside(outline.Path()) {
			return problem("with the allowance of %g mm taken off, a dart with two points is not wholly inside the seam line", widest)
		}
	}
	carryNotches(p.Outline, outline)
	p.Darts = shortenDarts(p.Darts, outline.Path())
	p.Outline = outline
	return nil
}

// reversed is the same sides run the other way, with the piece's inside where
// its outside was.
func reversed(sides []side) []side {
	out := make([]side, len(sides))
	for i, s := range sides {
		s.from, s.to = s.to, s.from
		s.along, s.out = plane.Scale(s.along, -1), plane.Scale(s.out, -1)
		s.t0, s.t1 = s.t1, s.t0
		out[len(sides)-1-i] = s
	}
	return out
}

// regroup makes a clockwise outline of runs that were drawn the other way
// round. It drops hairs: where an edge was drawn a little longer than the next
// allowance is wide, a hair of it may be left at its end. lost is an edge of
// which nothing is left, or that is left in two places; otherwise -1.
func regroup(o piece.Outline, runs []run) (out piece.Outline, lost int) {
	slices.Reverse(runs)
	for i := range runs {
		runs[i].line = runs[i].line.Reverse()
	}
	start, before := 0, cornerSide
	for i := range 2 * len(runs) {
		r := runs[i%len(runs)]
		if r.edge == 0 && before > 0 {
			start = i % len(runs)
		}
		if r.edge != cornerSide {
			before = r.edge
		}
	}
	runs = append(runs[start:len(runs):len(runs)], runs[:start]...)
	const crumbMM = 0.5
	seen := make([]bool, len(o))
	now := cornerSide
	for _, r := range runs {
		switch {
		case r.edge == cornerSide || r.edge == now || seen[r.edge] && r.line.Length() < crumbMM:
			if now == cornerSide {
				return nil, 0
			}
			out[len(out)-1].Line = append(out[len(out)-1].Line, r.line...)
			continue
		case seen[r.edge]:
			return nil, r.edge
		}
		now, seen[r.edge] = r.edge, true
		e := o[r.edge]
		e.Line, e.Notches = r.line, nil
		out = append(out, e)
	}
	if slices.Contains(seen, false) {
		return nil, slices.Index(seen, false)
	}
	for i := range out {
		if out[i].Line = out[i].Line.WithoutHairs(curve.StubMM); out[i].Line.Length() < curve.StubMM {
			return nil, i
		}
	}
	return out, -1
}

// carryNotches puts the notches of the edges in from on the edges in to.
func carryNotches(from, to piece.Outline) {
	for i, e := range from {
		for _, n := range e.Notches {
			at, _ := e.Line.At(n.AtMM)
			n.AtMM, _ = to[i].Line.Nearest(at)
			to[i].Notches = append(to[i].Notches, n)
		}
	}
}

// shortenDarts ends dart legs that were drawn to the cutting line on the seam
// line.
func shortenDarts(darts []piece.Dart, seam curve.Path) []piece.Dart {
	out := slices.Clone(darts)
	for i, d := range out {
		for _, leg := range []*orb.Point{&out[i].Leg1, &out[i].Leg2} {
			if hits := curve.Crossings(seam, curve.Polyline(d.Apex, *leg)); len(hits) > 0 {
				*leg = hits[0].At
			}
		}
	}
	return out
}
