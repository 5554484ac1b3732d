package draw

import (
	"strings"
	"unicode"
)

// Width is about how wide a line of sans-serif text of the given size is, in
// the unit of the size, erring on the wide side. The figures are for the
// widest of the common faces.
func Width(s string, size float64) float64 {
	var em float64
	for _, r := range s {
		switch {
		case strings.ContainsRune("iljtfr.,:;|!'()[] -", r):
			em += 0.43
		case strings.ContainsRune("mwMW@%", r):
			em += 1
		case r >= 0x1100 && !unicode.Is(unicode.Latin, r) && !unicode.Is(unicode.Greek, r):
			em += 1.05
		case unicode.IsUpper(r):
			em += 0.78
		default:
			em += 0.64
		}
	}
	return em * size
}

// wrap breaks a name into lines of at most n characters, at blanks and
// hyphens where it has them; what goes beyond the third line is cut short.
func wrap(s string, n int) []string {
	const most = 3
	var lines []string
	rest := []rune(s)
	for len(rest) > n && len(lines) < most-1 {
		at := n
		for k := n; k > n/3; k-- {
			if rest[k-1] == '-' || rest[k] == ' ' {
				at = k
				break
			}
		}
		lines = append(lines, strings.TrimSpace(string(rest[:at])))
		rest = []rune(strings.TrimSpace(string(rest[at:])))
	}
	if len(rest) > n {
		rest = append(rest[:n-1], '…')
	}
	return append(lines, string(rest))
}
