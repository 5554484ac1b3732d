package piece

import (
	"strings"
	"unicode"
)

// EdgeName is a name as edges bear it: lower case, its words joined by `-`. Who writes
// `side seam`, in a drawing or on the command line, means `side-seam`.
func EdgeName(s string) string { return strings.Join(NameParts(s), "-") }

// NameParts are the words of a name in a drawing, in lower case: what blanks and the
// signs - _ : part.
func NameParts(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(c rune) bool {
		return unicode.IsSpace(c) || unicode.IsControl(c) || c == '-' || c == '_' || c == ':'
	})
}
