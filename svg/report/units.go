package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// centimetres is a length in mm for reading: "48.2 cm".
func centimetres(mm float64) string { return fixed(mm/10, 1) + " cm" }

// millimetres is a short length: "10 mm", "2.5 mm".
func millimetres(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*10)/10+0, 'f', -1, 64) + " mm"
}

// squareCentimetres is an area in mm² for reading.
func squareCentimetres(mm2 float64) string { return fixed(mm2/100, 0) + " cm²" }

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
