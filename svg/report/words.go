package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// points is a figure of the cost.
func points(x float64) string { return fixed(x, 1) }

// fixed is x to so many places, with no negative zero.
func fixed(x float64, places int) string {
	k := math.Pow10(places)
	return strconv.FormatFloat(math.Round(x*k)/k+0, 'f', places, 64)
}

// plural counts things: "1 seam", "2 seams".
func plural(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// sentence is a text with a capital and a full stop.
func sentence(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + strings.TrimRight(s[n:], ". ") + "."
}
