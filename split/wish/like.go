package wish

import (
	"fmt"
	"slices"

	"eke/split/plan"
)

// Like has one piece in the look of another; Unlike in none that the other has.
type (
	Like   struct{ Piece, Other string }
	Unlike struct{ Piece, Other string }
)

var like = form{written: "sleeve like front", means: "both in the same look", read: func(words []string) (Wish, bool) {
	a, b, ok := twoPieces(words, "like")
	return Like{a, b}, ok
}}

var unlike = form{written: "sleeve unlike front", means: "no look in both", read: func(words []string) (Wish, bool) {
	a, b, ok := twoPieces(words, "unlike")
	return Unlike{a, b}, ok
}}

func twoPieces(words []string, word string) (a, b string, ok bool) {
	at := slices.Index(words, word)
	if at < 1 || at > len(words)-2 {
		return "", "", false
	}
	return between(words, 0, at), between(words, at+1, len(words)), true
}

func (w Like) String() string                    { return w.Piece + " like " + w.Other }
func (w Unlike) String() string                  { return w.Piece + " unlike " + w.Other }
func (w Like) Names() (pieces, looks []string)   { return []string{w.Piece, w.Other}, nil }
func (w Unlike) Names() (pieces, looks []string) { return []string{w.Piece, w.Other}, nil }

func (w Like) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	if p := leftOut(d, o, w.Piece, w.Other); p != "" {
		return true, p + " is not cut"
	}
	a, b := looksOf(o, w.Piece), looksOf(o, w.Other)
	if len(a) == 1 && slices.Equal(a, b) {
		return true, "both are from " + a[0]
	}
	return false, fmt.Sprintf("%s is from %s, and %s from %s", w.Piece, plan.And(a), w.Other, plan.And(b))
}

func (w Unlike) Kept(d *plan.Document, o *plan.Option) (kept bool, how string) {
	if p := leftOut(d, o, w.Piece, w.Other); p != "" {
		return true, p + " is not cut"
	}
	a, b := looksOf(o, w.Piece), looksOf(o, w.Other)
	how = fmt.Sprintf("%s is from %s, and %s from %s", w.Piece, plan.And(a), w.Other, plan.And(b))
	return !slices.ContainsFunc(a, func(l string) bool { return has(b, l) }), how
}
