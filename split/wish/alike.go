package wish

import (
	"fmt"

	"eke/split/plan"
)

// Alike has all copies of a piece in one look, and split alike.
type Alike struct{ Piece string }

var alike = form{written: "sleeve alike", means: "all copies in one look, split alike", read: func(words []string) (Wish, bool) {
	n := len(words)
	if n < 2 || words[n-1] != "alike" {
		return nil, false
	}
	return Alike{between(words, 0, n-1)}, true
}}

func (w Alike) String() string                  { return w.Piece + " alike" }
func (w Alike) Names() (pieces, looks []string) { return []string{w.Piece}, nil }

func (w Alike) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	if p := leftOut(d, o, w.Piece); p != "" {
		return true, p + " is not cut"
	}
	looks := looksOf(o, w.Piece)
	if len(looks) != 1 {
		return false, fmt.Sprintf("%s is cut from %s", w.Piece, plan.And(looks))
	}
	if a, b, same := plan.CopiesAlike(o, w.Piece); !same {
		return false, fmt.Sprintf("copies %d and %d of %s are split differently", a, b, w.Piece)
	}
	return true, fmt.Sprintf("every copy is from %s, and split alike", looks[0])
}
