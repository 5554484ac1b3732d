package wish

import (
	"fmt"
	"strings"

	"eke/piece"
	"eke/split/plan"
)

// OnlyFor keeps a look for some pieces: no other is cut from it.
type OnlyFor struct {
	Look   string
	Pieces string // in one string between commas, so that wishes can be compared
}

var onlyFor = form{written: "rib only for neckband, cuff", means: "no other piece is cut from that look", read: func(words []string) (Wish, bool) {
	for i := 1; i+2 < len(words); i++ {
		if words[i] == "only" && words[i+1] == "for" {
			pieces := list(between(words, i+2, len(words)))
			return OnlyFor{between(words, 0, i), strings.Join(pieces, ", ")}, len(pieces) > 0
		}
	}
	return nil, false
}}

func (w OnlyFor) String() string                  { return w.Look + " only for " + w.Pieces }
func (w OnlyFor) Names() (pieces, looks []string) { return list(w.Pieces), []string{w.Look} }

func (w OnlyFor) Kept(_ *plan.Document, o *plan.Option) (kept bool, how string) {
	var from, others []string
	for _, p := range o.Parts {
		switch {
		case !strings.EqualFold(p.Look, w.Look):
		case has(list(w.Pieces), p.Piece):
			if !has(from, p.Piece) {
				from = append(from, p.Piece)
			}
		case !has(others, p.Piece):
			others = append(others, p.Piece)
		}
	}
	switch {
	case len(others) > 0:
		return false, fmt.Sprintf("%s is cut from it too", plan.And(others))
	case len(from) == 0:
		return true, "no piece is cut from it"
	}
	return true, fmt.Sprintf("%s, and nothing else, is cut from it", plan.And(from))
}

// MayCut makes the wish a rule of what may be cut from what.
func (w OnlyFor) MayCut(p *piece.Piece, s *piece.Scrap) bool {
	return !strings.EqualFold(s.TheLook(), w.Look) || has(list(w.Pieces), p.Name)
}
