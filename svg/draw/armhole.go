package draw

import (
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"
)

// armhole is where a sleeve goes on one side of a view: one edge, or where a
// yoke or a panel divides it, edges of several pieces one below the other.
type armhole struct {
	edges []ref
	line  curve.Path // in the view's coordinates, from the top down
}

// touchMM is how far apart the ends of two edges of one armhole may lie: the
// one piece may be gathered or pleated to the other.
const touchMM = 40

// armholes are those of the body, each begun by an edge that a sleeve is sewn
// to and carried on by edges that are named so.
func (o *outfit) armholes(body []placed) []armhole {
	type stretch struct {
		ref
		line  curve.Path
		sewn  bool
		taken bool
	}
	var all []*stretch
	for _, b := range body {
		for i, e := range b.piece.edges {
			r := ref{b.piece, i}
			sewn := len(o.sleevesAt(armhole{edges: []ref{r}})) > 0
			if sewn || says(e.Name, "armhole") {
				all = append(all, &stretch{ref: r, line: downward(e.path.Transform(b.m)), sewn: sewn})
			}
		}
	}
	var out []armhole
	for _, s := range all {
		if !s.sewn || s.taken {
			continue
		}
		s.taken = true
		h := armhole{[]ref{s.ref}, s.line}
		for again := true; again; {
			again = false
			for _, t := range all {
				switch {
				case t.taken:
					continue
				case plane.Distance(h.line.End(), t.line.Start()) < touchMM:
					h.edges, h.line = append(h.edges, t.ref), joined(h.line, t.line)
				case plane.Distance(t.line.End(), h.line.Start()) < touchMM:
					h.edges, h.line = append([]ref{t.ref}, h.edges...), joined(t.line, h.line)
				default:
					continue
				}
				t.taken, again = true, true
			}
		}
		out = append(out, h)
	}
	return out
}

// joined is one line after the other, with a straight bit where they are apart.
func joined(a, b curve.Path) curve.Path {
	out := slices.Clone(a)
	if plane.Distance(a.End(), b.Start()) > 1e-6 {
		out = append(out, curve.Line(a.End(), b.Start()))
	}
	return append(out, b...)
}

// downward is the line from its higher end to its lower.
func downward(p curve.Path) curve.Path {
	if p.Start()[1] > p.End()[1] {
		return p.Reverse()
	}
	return p
}

// capOf is a sleeve with what of its seam goes to an armhole, in its own
// coordinates.
type capOf struct {
	piece *whole
	line  curve.Path
}

// sleevesAt are the sleeves sewn to an armhole. Where several edges of a
// sleeve are, one after the other, they are one seam.
func (o *outfit) sleevesAt(h armhole) []capOf {
	var out []capOf
	for _, p := range o.pieces {
		if p.role != sleeve {
			continue
		}
		sewnTo := make([]bool, len(p.edges))
		for i := range p.edges {
			sewnTo[i] = slices.ContainsFunc(h.edges, func(e ref) bool { return e.piece.Name != p.Name && sewn(e, ref{p, i}) })
		}
		for i := range p.edges {
			if !sewnTo[i] || sewnTo[(i+len(p.edges)-1)%len(p.edges)] {
				continue
			}
			c := capOf{piece: p}
			for k := i; sewnTo[k%len(p.edges)] && k < i+len(p.edges); k++ {
				c.line = append(c.line, p.edges[k%len(p.edges)].path...)
			}
			out = append(out, c)
		}
	}
	return out
}
