package wish

import (
	"slices"
	"strings"

	"eke/split/plan"
)

// Carry lets the cross seam of a piece go on, as one line with the same looks
// above and below, through every join that it meets, or as far as another piece.
type Carry struct{ Piece, To string }

var carry = form{written: "carry front to sleeve", means: "the cross seam of the front goes on through the joins as far as the sleeve; without to, through every join that it meets", read: func(words []string) (Wish, bool) {
	if len(words) < 2 || words[0] != "carry" {
		return nil, false
	}
	c := Carry{Piece: strings.Join(words[1:], " ")}
	if to := slices.Index(words, "to"); to > 1 && to < len(words)-1 {
		c = Carry{strings.Join(words[1:to], " "), strings.Join(words[to+1:], " ")}
	}
	return c, true
}}

func (c Carry) String() string {
	if c.To == "" {
		return "carry " + c.Piece
	}
	return "carry " + c.Piece + " to " + c.To
}

func (c Carry) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	var lines []string
	for _, line := range o.Carried {
		if strings.EqualFold(line.Piece, c.Piece) && strings.EqualFold(line.To, c.To) {
			lines = append(lines, line.Words())
		}
	}
	if len(lines) > 0 {
		return true, strings.Join(lines, "; ")
	}
	how = "no seam is carried on from " + c.Piece
	if c.To != "" {
		how += " as far as " + c.To
	}
	return false, how
}
