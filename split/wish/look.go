package wish

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"eke/piece"
	"eke/piece/spelling"
	"eke/split/plan"
)

// Named is a wish that speaks of pieces and of looks by name.
type Named interface {
	Wish
	// Names are the pieces and the looks that it names.
	Names() (pieces, looks []string)
}

// Validate refuses a wish that names a piece or a look which is not there.
func Validate(w Wish, pieces, looks []string) error {
	w = Plainly(w)
	n, ok := w.(Named)
	if !ok {
		return nil
	}
	of, in := n.Names()
	for _, s := range of {
		if !has(pieces, s) {
			return fmt.Errorf("the wish %q names a piece %q, and the pattern has none%s; its pieces are %s", w, s, meant(s, pieces), strings.Join(pieces, ", "))
		}
	}
	switch w := w.(type) {
	case Like:
		if strings.EqualFold(w.Piece, w.Other) {
			return fmt.Errorf("the wish %q names %s twice; name two pieces, or wish for %q", w, w.Piece, Alike{w.Piece})
		}
	case Unlike:
		if strings.EqualFold(w.Piece, w.Other) {
			return fmt.Errorf("the wish %q names %s twice; name two pieces", w, w.Piece)
		}
	}
	for _, s := range in {
		if !has(looks, s) {
			return fmt.Errorf("the wish %q names a look %q, and no scrap has it%s; the scraps look like %s", w, s, meant(s, looks), strings.Join(looks, ", "))
		}
	}
	return nil
}

// meant says which of some names was perhaps meant: those that have all its words, or of
// which it has all, or else the one with nearly its letters. A name counts as it is
// written: with one scrap more of black, black would be another wish.
func meant(s string, known []string) string {
	var near []string
	for _, k := range known {
		if within(s, k) || within(k, s) {
			near = append(near, fmt.Sprintf("%q", k))
		}
	}
	if one := spelling.Nearest(strings.ToLower(s), known); one != "" && len(near) == 0 {
		near = []string{fmt.Sprintf("%q", one)}
	}
	if len(near) == 0 {
		return ""
	}
	return fmt.Sprintf(" (perhaps %s is meant)", strings.Join(near, " or "))
}

// within reports whether all words of a name are among those of another.
func within(s, of string) bool {
	words := func(s string) []string {
		return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	}
	all := words(of)
	return len(words(s)) > 0 && !slices.ContainsFunc(words(s), func(w string) bool { return !slices.Contains(all, w) })
}

// has reports whether a name is among some; case does not matter.
func has(all []string, s string) bool {
	return slices.ContainsFunc(all, func(t string) bool { return strings.EqualFold(s, t) })
}

// looksOf are the looks of the parts of a piece, all copies, in order.
func looksOf(o *plan.Option, piece string) []string {
	var out []string
	for _, p := range o.Parts {
		if strings.EqualFold(p.Piece, piece) && p.Look != "" && !has(out, p.Look) {
			out = append(out, p.Look)
		}
	}
	slices.Sort(out)
	return out
}

// leftOut is the first of some pieces that an option leaves out, as it may where the
// piece is optional; empty where it has parts of all.
func leftOut(d *plan.Document, o *plan.Option, pieces ...string) string {
	for _, name := range pieces {
		of := func(p plan.Piece) bool { return strings.EqualFold(p.Name, name) }
		if at := slices.IndexFunc(d.Pieces, of); at >= 0 && d.Pieces[at].Optional && len(looksOf(o, name)) == 0 {
			return d.Pieces[at].Name
		}
	}
	return ""
}

// between is the words from one of a form's words to another.
func between(words []string, from, to int) string { return strings.Join(words[from:to], " ") }

// list is what stands between commas.
func list(s string) []string {
	var out []string
	for _, item := range strings.Split(s, ",") {
		if item = strings.TrimSpace(item); item != "" {
			out = append(out, item)
		}
	}
	return out
}

// Rules are the rules of what may be cut from what that wishes make, so that each
// scrap is asked about once.
func Rules(wishes []Wish) []piece.Rule {
	var out []piece.Rule
	for _, w := range wishes {
		switch w := w.(type) {
		case OnlyFor:
			out = append(out, w)
		case Carry, Block:
			if r := piece.Rule(piece.LookRule{}); !slices.Contains(out, r) {
				out = append(out, r)
			}
		case MatchStripes:
			out = append(out, piece.StripeRule{})
		}
	}
	return out
}
