package lining

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"eke/piece"
	"eke/piece/plane"
)

// A strip is a band or a cuff, whatever its name, when its ends are sewn to each
// other, it is no wider than this, and nearly a rectangle. (Common practice, no
// source.)
const (
	widestBandMM  = 120.0
	leastBandFill = 0.95 // of the box round it, along the grain
)

// closures are the words for pieces that lie behind an opening: what is lined lies beside
// them. (Common practice, no source.)
var closures = []string{"fly", "shield"}

// choose parts what is lined from what is not. Facings are what is not, and is
// laid on another piece.
func (l *Lining) choose(pieces []*piece.Piece, file string) (kept, facings []*piece.Piece, err error) {
	for _, p := range pieces {
		why := whyUnlined(p, pieces)
		switch {
		case why == "":
			kept = append(kept, p)
			continue
		case hasWord(p.Name, "facing"):
			facings = append(facings, p)
		}
		l.LeftOut = append(l.LeftOut, LeftOut{p.Name, why})
	}
	if len(kept) > 0 {
		return kept, facings, nil
	}
	var why []string
	for _, o := range l.LeftOut {
		why = append(why, o.Name+" ("+o.Why+")")
	}
	return nil, nil, fmt.Errorf("%s: nothing is left to be lined: %s; write lining: yes on a piece that is", file, strings.Join(why, ", "))
}

// whyUnlined says why a piece has no lining; empty for one that has.
func whyUnlined(p *piece.Piece, all []*piece.Piece) string {
	switch {
	case p.Use == piece.UseLining:
		return "it is of a lining already"
	case p.Lining == "yes":
		return ""
	case p.Lining == "no":
		return "it says lining: no"
	case p.Optional:
		return "it is optional"
	}
	if word := piece.TrimWord(p.Name); word != "" {
		return "by its name, a " + word
	}
	for _, word := range closures {
		if piece.HasTrimWord(p.Name, word) {
			return "by its name, a " + word + ", which closes an opening"
		}
	}
	if word := joinedAs(p, all); word != "" {
		return "it is sewn to an edge named " + word
	}
	if isStrip(p) {
		return "a strip whose ends are sewn together, as a band or a cuff"
	}
	return ""
}

// joinedAs is the name of the edge of a larger piece that a piece is sewn to,
// where it says what it is for: `edge cuff` of a sleeve.
func joinedAs(p *piece.Piece, all []*piece.Piece) string {
	for _, q := range all {
		if q == p || area(q) <= area(p) {
			continue
		}
		for _, e := range q.Outline {
			if piece.TrimWord(e.Name) != "" && slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece == p.Name }) {
				return e.Name
			}
		}
	}
	return ""
}

func isStrip(p *piece.Piece) bool {
	ends := 0.0
	for _, e := range p.Outline {
		if slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece == p.Name && r.Edge != e.Name }) {
			ends = math.Max(ends, e.Line.Length())
		}
	}
	if ends == 0 || ends > widestBandMM {
		return false
	}
	turned := p.Outline.Ring()
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	for i, q := range turned {
		turned[i] = [2]float64{q[0]*cos + q[1]*sin, q[1]*cos - q[0]*sin}
	}
	box := turned.Bound()
	return area(p) > leastBandFill*(box.Max[0]-box.Min[0])*(box.Max[1]-box.Min[1])
}

func area(p *piece.Piece) float64 { return plane.SignedArea(p.Outline.Ring()) }

// hasWord reports whether a name, of a piece or of an edge, speaks of something.
func hasWord(name, word string) bool { return strings.Contains(strings.ToLower(name), word) }

// endsWord reports whether a word of a name is another or ends in it, with or without the
// s of a plural: undersleeves is a sleeve's, and sleeveless is not.
func endsWord(name, word string) bool {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
	return slices.ContainsFunc(words, func(w string) bool { return strings.HasSuffix(strings.TrimSuffix(w, "s"), word) })
}
