package check

import (
	"iter"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// allowances proves that a part's edges are its seam line, and that its
// cutting line leaves each of them its allowance: everything straight out from
// an edge, as far as its allowance, and round a corner everything as far as
// the smaller of the two that meet there.
func (o *optionProof) allowances(p *partProof) {
	if !o.follows(p) || !o.cutAsDrawn(p) {
		return
	}
	for _, e := range p.edges {
		o.wideEnough(p, e)
	}
	strips, least := stripsOf(p.edges)
	f := Fault{Rule: Allowance, Part: p.label}
	if !within(p.cut.ring, p.seam.ring[0]) && away(closed(p.cut.ring), p.seam.ring[0]) > SlackMM {
		o.fail(f, "the seam line is outside the cutting line")
		return
	}
	cut := segments(closed(p.cut.ring))
	beside := indexOf(cut)
	all := taken{strips: strips}
	short := make(map[int]float64) // by edge: how much of the allowance is left
	for _, s := range strips {
		for i := range beside.touching(s.box) {
			if left, isShort := all.cut(s, cut[i]); isShort {
				if worst, ok := short[s.edge]; !ok || left < worst {
					short[s.edge] = left
				}
			}
		}
	}
	for k, e := range p.edges {
		if left, ok := short[k]; ok {
			o.fail(f, "edge %s has an allowance of %.2f mm, and the cutting line leaves %.2f", nameOf(e), e.AllowanceMM, left)
		}
	}
	if least <= SlackMM+hairMM && len(short) == 0 {
		// An edge without allowance has no strip that keeps the cutting
		// line out of the part.
		_, _, wide, err := wideIn(func(t turn) (geom.Geometry, error) {
			return geom.Difference(t.of(p.seam.geom), t.of(p.cut.geom))
		}, func(q point) bool { return within(p.seam.ring, q) && !within(p.cut.ring, q) })
		switch {
		case err != nil:
			o.fail(Fault{Rule: NotProvable, Part: p.label}, "its allowance: %v", err)
		case wide:
			o.fail(f, "the cutting line cuts into the part")
		}
	}
}

func nameOf(e drawnEdge) string {
	switch {
	case e.Seam != "":
		return "of seam " + e.Seam
	case e.Name != "":
		return e.Name
	}
	return "without a name"
}

// follows proves that the edges, end to end, are the seam line.
func (o *optionProof) follows(p *partProof) bool {
	f := Fault{Rule: Edges, Part: p.label}
	n := len(p.edges)
	if n == 0 {
		o.fail(f, "it has no edges")
		return false
	}
	var line []point
	var total float64
	for i, e := range p.edges {
		next := p.edges[(i+1)%n]
		if d := distance(e.line[len(e.line)-1], next.line[0]); d > markMM {
			o.fail(f, "edge %s ends %.2f mm from where edge %s starts", nameOf(e), d, nameOf(next))
			return false
		}
		if e.AllowanceMM < 0 {
			o.fail(f, "edge %s has the allowance %g mm", nameOf(e), e.AllowanceMM)
			return false
		}
		if math.Abs(e.lengthMM-e.LengthMM) > markMM {
			o.fail(Fault{Rule: Length, Part: p.label}, "edge %s is said to be %.2f mm long and is %.2f", nameOf(e), e.LengthMM, e.lengthMM)
		}
		line = append(line, e.line...)
		total += e.lengthMM
	}
	if signedArea(line) <= 0 {
		o.fail(f, "they do not run clockwise")
		return false
	}
	ring := closed(p.seam.ring)
	if q, off, ok := strays(line, ring, markMM); ok {
		o.fail(f, "an edge is %.2f mm off the seam line at %.1f, %.1f", off, q[0], q[1])
		return false
	}
	if q, off, ok := strays(p.seam.ring, closed(line), markMM); ok {
		o.fail(f, "the seam line is %.2f mm off its edges at %.1f, %.1f", off, q[0], q[1])
		return false
	}
	if round := length(ring); math.Abs(total-round) > markMM*float64(n+1)+1e-3*round {
		o.fail(f, "they are %.2f mm long together, and the seam line is %.2f", total, round)
		return false
	}
	return true
}

// cutAsDrawn proves that the cutting line's path, where it is given, is the
// cutting line.
func (o *optionProof) cutAsDrawn(p *partProof) bool {
	if p.CutD == "" {
		return true
	}
	f := Fault{Rule: Edges, Part: p.label}
	line, err := flatten(p.CutD, maxPoints-o.points)
	o.points += len(line)
	if err != nil {
		o.fail(f, "cutting line: %v", err)
		return false
	}
	if n := len(line); line[0] != line[n-1] {
		o.fail(f, "the path of the cutting line ends %.2f mm from where it starts", distance(line[n-1], line[0]))
		return false
	}
	if q, off, ok := strays(line, closed(p.cut.ring), markMM); ok {
		o.fail(f, "the path of the cutting line is %.2f mm off it at %.1f, %.1f", off, q[0], q[1])
		return false
	}
	if q, off, ok := strays(p.cut.ring, line, markMM); ok {
		o.fail(f, "the cutting line is %.2f mm off its path at %.1f, %.1f", off, q[0], q[1])
		return false
	}
	return true
}

// wideEnough proves that an edge keeps the allowance that it had on its piece,
// or has that of its piecing seam.
func (o *optionProof) wideEnough(p *partProof, e drawnEdge) {
	f := Fault{Rule: Allowance, Part: p.label, Seam: e.Seam}
	if e.Seam != "" {
		for _, s := range o.seams {
			if s.Name == e.Seam && s.piece == p.piece && e.AllowanceMM < s.AllowanceMM-1e-6 {
				o.fail(f, "its edge has an allowance of %g mm, and the seam %g", e.AllowanceMM, s.AllowanceMM)
			}
		}
		return
	}
	want := math.Inf(1)
	pieces := []*pieceProof{p.piece}
	if e.From != "" {
		pieces = nil
		for _, at := range o.order {
			if at.name == e.From {
				pieces = append(pieces, o.pieces[at])
			}
		}
	}
	for _, piece := range pieces {
		if o.moved[p.piece.id] {
			for _, d := range piece.edges {
				if d.Name == e.Name {
					want = math.Min(want, d.AllowanceMM)
				}
			}
			continue
		}
		for k := range piece.beside(e) {
			if d := piece.edges[k]; d.Name == e.Name && e.runsOn(d) {
				want = math.Min(want, d.AllowanceMM)
			}
		}
	}
	if math.IsInf(want, 1) {
		if !o.moved[p.piece.id] && len(p.piece.edges) > 0 {
			o.fail(Fault{Rule: Edges, Part: p.label}, "edge %s is on no edge of that name of its piece", nameOf(e))
		}
		return
	}
	if e.AllowanceMM < want-1e-6 {
		o.fail(f, "edge %s has an allowance of %g mm, and its piece's has %g", nameOf(e), e.AllowanceMM, want)
	}
}

// beside gives the numbers of the piece's edges that an edge may run on.
func (p *pieceProof) beside(e drawnEdge) iter.Seq[int] {
	if p.index == nil {
		boxes := make([]box, len(p.edges))
		for i, d := range p.edges {
			boxes[i] = boxOf(d.line...).grown(markMM)
		}
		p.index = newIndex(boxes)
	}
	return p.index.touching(boxOf(e.line...))
}

// runsOn reports whether the whole of e lies on d.
func (e drawnEdge) runsOn(d drawnEdge) bool {
	on := follower{line: d.line}
	return !slices.ContainsFunc(e.line, func(q point) bool { return !on.near(q, markMM) })
}
