package split

import (
	"fmt"
	"slices"

	"eke/piece"
)

// A strip may be set in between the copies of one drawing, as a gusset between the front
// and the back of a bag that are alike: each of its long sides goes round one of them. The
// pattern joins both to the same edges, which looks as if these lay in layers, and only
// where they come on the strip's outline tells that they do not.

// stripShare is by how many times one side of a strip may be longer than the other.
const stripShare = 1.02

// strip is to which copy of another piece, from 1, each edge of such a strip is sewn, by its
// place on the outline. It is nil where the piece is none: it is cut once, and its edges that
// are sewn to the other come in as many runs as that has copies, of which one may be called
// as the next is not. That other is no left and right, and sewn to nothing else of the body.
func strip(p, of *piece.Piece, all []*piece.Piece) map[int]int {
	if p.Name == of.Name || p.Count > 1 || of.Count < 2 || of.Mirrored || isTrim(p.Name) || isTrim(of.Name) || !sharesEdges(p, of) ||
		slices.ContainsFunc(all, func(o *piece.Piece) bool {
			return o.Name != p.Name && o.Name != of.Name && !isTrim(o.Name) && slices.ContainsFunc(o.Outline, func(e piece.Edge) bool { return sewnToPiece(e, o, of) })
		}) {
		return nil
	}
	n := len(p.Outline)
	isOn := func(k int) bool { return sewnToPiece(p.Outline[(k+n)%n], p, of) }
	first := 0
	for first < n && (!isOn(first) || isOn(first-1)) {
		first++
	}
	out, runs := map[int]int{}, []float64(nil)
	for k := first; k < first+n; k++ {
		if !isOn(k) {
			continue
		}
		if len(runs) == 0 || !isOn(k-1) {
			runs = append(runs, 0)
		}
		runs[len(runs)-1] += p.Outline[k%n].Line.Length()
		out[k%n] = len(runs)
	}
	if len(runs) != of.Count || slices.Max(runs) > stripShare*slices.Min(runs) {
		return nil
	}
	return out
}

// sewnToPiece reports whether an edge of p is sewn to some edge of another piece.
func sewnToPiece(e piece.Edge, p, to *piece.Piece) bool {
	return e.Name != "" && slices.ContainsFunc(to.Outline, func(f piece.Edge) bool { return f.Name != "" && Joined(e, p, f, to) })
}

// sharesEdges reports whether edges of p of two names are sewn to one of another piece.
func sharesEdges(p, of *piece.Piece) bool {
	return slices.ContainsFunc(of.Outline, func(f piece.Edge) bool {
		first := ""
		return f.Name != "" && slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
			if e.Name == "" || !Joined(e, p, f, of) {
				return false
			}
			if first == "" {
				first = e.Name
			}
			return e.Name != first
		})
	})
}

// pairsOfStrip are the edges that meet where those of one name are a strip's, and the others
// of the copies that it is set in between.
func pairsOfStrip(copies []*piece.Piece, from, to []edgeAt) (out [][2]edgeAt, isStrip bool) {
	if len(from) == 0 || len(to) == 0 {
		return nil, false
	}
	p, of := copies[to[0].copy], copies[from[0].copy]
	sides := strip(p, of, copies)
	if sides == nil {
		if strip(of, p, copies) == nil {
			return nil, false
		}
		pairs, _ := pairsOfStrip(copies, to, from)
		for _, met := range pairs {
			out = append(out, [2]edgeAt{met[1], met[0]})
		}
		return out, true
	}
	for n := 1; n <= of.Count; n++ {
		own := slices.DeleteFunc(slices.Clone(from), func(at edgeAt) bool { return copies[at.copy].Copy != n })
		side := slices.DeleteFunc(slices.Clone(to), func(at edgeAt) bool { return sides[at.edge] != n })
		if len(own) > 0 && len(side) > 0 {
			out = append(out, meeting(copies, own, side)...)
		}
	}
	return out, true
}

// stripped reports whether the copies of a piece have a strip between them, so that they
// are no layers.
func (g *garment) stripped(name string) bool {
	return slices.ContainsFunc(g.pieces, func(p *piece.Piece) bool { return strip(p, g.named(name), g.pieces) != nil })
}

// besideStrip is the edges on one side of a seam as they are sewn in a row: where a strip on
// the other side is sewn to one copy of theirs there, by the name of that copy.
func (g *garment) besideStrip(row, to []piece.Ref) string {
	p, of := g.named(to[0].Piece), g.named(row[0].Piece)
	if len(row) > 1 || len(to) > 1 || p == nil || of == nil {
		return inRow(row)
	}
	copies := strip(p, of, g.pieces)
	of1 := 0
	for _, k := range p.Outline.Edge(to[0].Edge) {
		if of1 != 0 && copies[k] != of1 {
			return inRow(row)
		}
		of1 = copies[k]
	}
	if of1 == 0 {
		return inRow(row)
	}
	return fmt.Sprintf("%s-%d/%s", row[0].Piece, of1, row[0].Edge)
}
