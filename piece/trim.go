package piece

import (
	"slices"
	"strings"
	"unicode"
)

// trims are the words for pieces that finish an edge or are set on, and are no part
// of the garment's body. (Common practice, no source.)
var trims = []string{
	"band", "cuff", "facing", "interfacing", "collar", "stand", "binding", "bias", "placket", "pocket", "flap", "tab", "loop",
	"belt", "strap", "tie", "welt", "ruffle", "frill", "appliqué", "applique", "swatch",
}

// leastSuffix is how many letters a word has that is known at the end of another,
// as band is in waistband and collar in undercollar: a shorter one ends too many.
const leastSuffix = 4

// TrimWord is the word in the name of a piece, or of an edge, that says that it is
// no part of the garment's body, such as waistband or cuff; empty for none.
func TrimWord(name string) string {
	for _, w := range strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) }) {
		one := strings.TrimSuffix(w, "s")
		if slices.Contains(trims, w) { // bias is one of them
			return w
		}
		if slices.ContainsFunc(trims, func(t string) bool { return one == t || len(t) >= leastSuffix && strings.HasSuffix(one, t) }) {
			return one
		}
	}
	return ""
}
