package split

import (
	"slices"

	"eke/piece"
)

// setsInSleeve reports whether a seam of an edge along the grain to one across it, whose
// names do not tell, sews a sleeve to the body: what is across is a left and a right, or
// says that it is a sleeve, and no piece of the seam is set in between others.
func (g *garment) setsInSleeve(refs []piece.Ref) bool {
	if slices.ContainsFunc(refs, func(r piece.Ref) bool { return hasWord(r.Piece, "sleeve") }) {
		return !slices.ContainsFunc(refs, func(r piece.Ref) bool { return isGusset(r.Piece) })
	}
	return !slices.ContainsFunc(refs, func(r piece.Ref) bool { return g.isInset(r.Piece) }) &&
		slices.ContainsFunc(refs, func(r piece.Ref) bool {
			p := g.named(r.Piece)
			return p.Count > 1 && !lengthwise(p, r.Edge)
		})
}

// isGusset reports whether a name says that a piece is set in between others.
func isGusset(name string) bool { return hasWord(name, "gusset") || hasWord(name, "godet") }

// isInset reports whether a piece is set in between others of the body: a gusset, or what
// is sewn to them all round, as the base of a bag.
func (g *garment) isInset(name string) bool {
	to := func(own piece.Ref) (out []piece.Ref) {
		for _, w := range g.walked {
			for k, row := range [][]piece.Ref{w.A, w.B} {
				if slices.Contains(row, own) {
					out = append(out, [][]piece.Ref{w.B, w.A}[k]...)
				}
			}
		}
		return out
	}
	return isGusset(name) || !slices.ContainsFunc(g.named(name).Outline, func(e piece.Edge) bool {
		return !slices.ContainsFunc(to(piece.Ref{Piece: name, Edge: e.Name}), func(r piece.Ref) bool { return r.Piece != name && !isTrim(r.Piece) })
	})
}

// insets are the pieces that a step sets in between others: those that say so by their
// names, where any does.
func (g *garment) insets(s *garmentStep) (out []string) {
	defer func() {
		if slices.ContainsFunc(out, isGusset) {
			out = slices.DeleteFunc(out, func(name string) bool { return !isGusset(name) })
		}
	}()
	for _, w := range s.seams {
		for _, r := range slices.Concat(w.A, w.B) {
			if g.isInset(r.Piece) && !slices.Contains(out, r.Piece) {
				out = append(out, r.Piece)
			}
		}
	}
	return out
}
