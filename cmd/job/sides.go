package job

import (
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// hasSides reports whether a piece of the body that lies as it did once it is turned over
// has a left and a right for all that: its notches come to lie elsewhere; or it is even
// only as drawn by hand, and edges come to lie where those lie that are sewn to another
// piece, as the front and the back of a sleeve.
func hasSides(p *piece.Piece) bool {
	const exactMM = 0.5
	if p.Centre != nil || piece.TrimWord(p.Name) != "" {
		return false
	}
	exact := mirrors(p, exactMM)
	return !slices.ContainsFunc(mirrors(p, byHandMM), func(m curve.Matrix) bool {
		return notchesMeet(p, m) && (slices.Contains(exact, m) || !joinsOthers(p, m))
	})
}

// onto is the edge that comes to lie on another end for end once it is turned over; nil
// where it lies on parts of several.
func onto(p *piece.Piece, e piece.Edge, m curve.Matrix) *piece.Edge {
	const nearMM = 10.0
	from, to := m.Apply(e.Line.End()), m.Apply(e.Line.Start())
	for k := range p.Outline {
		f := &p.Outline[k]
		if plane.Distance(f.Line.Start(), from) < nearMM && plane.Distance(f.Line.End(), to) < nearMM {
			return f
		}
	}
	return nil
}

// notchesMeet reports whether notches come to lie on notches of as many nicks. One on a
// corner may be of either edge there.
func notchesMeet(p *piece.Piece, m curve.Matrix) bool {
	const nearMM = 5.0
	type nick struct {
		at    orb.Point
		count int
	}
	var all []nick
	for _, e := range p.Outline {
		for _, n := range e.Notches {
			at, _ := e.Line.At(n.AtMM)
			all = append(all, nick{at, n.Count})
		}
	}
	return !slices.ContainsFunc(all, func(n nick) bool {
		to := m.Apply(n.at)
		return !slices.ContainsFunc(all, func(o nick) bool { return o.count == n.count && plane.Distance(o.at, to) < nearMM })
	})
}

// joinsOthers reports whether an edge comes to lie on one that is sewn to other pieces. A
// left and a right one of these count as the same, for a whole piece is sewn to both.
func joinsOthers(p *piece.Piece, m curve.Matrix) bool {
	pieces := func(e *piece.Edge) []string {
		var out []string
		for _, j := range e.Joins {
			words := strings.FieldsFunc(strings.ToLower(j.Piece), func(r rune) bool { return r == ' ' || r == '-' || r == '_' })
			out = append(out, strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "left" || w == "right" }), " "))
		}
		slices.Sort(out)
		return slices.Compact(out)
	}
	return slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
		f := onto(p, e, m)
		return f != nil && len(e.Joins) > 0 && len(f.Joins) > 0 && !slices.Equal(pieces(&e), pieces(f))
	})
}
