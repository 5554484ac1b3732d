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
	for _, w := range wordsOf(name) {
		if slices.ContainsFunc(trims, func(t string) bool { return isTrimWord(w, t) }) {
			return w
		}
	}
	return ""
}

// HasTrimWord reports whether a name has one of the words of TrimWord, such as stand,
// which a standard front has not.
func HasTrimWord(name, word string) bool {
	return slices.ContainsFunc(wordsOf(name), func(w string) bool { return isTrimWord(w, word) })
}

// bodies are the words for pieces of the body that may be cut from ribbing, and finishes
// those for where a band of it goes, as on a back neck rib. The rib of a sleeve or a leg is
// its cuff. (Common practice, no source.)
var (
	bodies   = []string{"front", "back", "side", "body", "bodice", "yoke", "panel", "skirt", "gusset", "hood"}
	finishes = []string{"neck", "neckline", "hem", "waist", "wrist", "ankle", "armhole", "bottom", "edge", "opening"}
)

// wordsOf are the words of a name, in small letters and without the s of a plural. A
// piece that is called a rib, or ribbing, is a band of it, but for a piece of the body,
// such as a front rib.
func wordsOf(name string) []string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
	for i, w := range words {
		if !slices.Contains(trims, w) { // as bias is
			words[i] = strings.TrimSuffix(w, "s")
		}
	}
	has := func(known []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(known, w) })
	}
	if last := len(words) - 1; last >= 0 && (words[last] == "rib" || words[last] == "ribbing") && (has(finishes) || !has(bodies)) {
		words[last] = "band"
	}
	return words
}

func isTrimWord(w, trim string) bool {
	return w == trim || len(trim) >= leastSuffix && strings.HasSuffix(w, trim)
}
