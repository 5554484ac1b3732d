package svg

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// number reads an SVG number at the start of s: its value and how many bytes
// it takes, 0 where there is none. `1e` before anything but digits is the
// number 1, as in `1em`.
func number(s string) (float64, int) {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	digits := 0
	run := func() {
		for i < len(s) && s[i] >= '0' && s[i] <= '9' {
			i++
			digits++
		}
	}
	run()
	if i < len(s) && s[i] == '.' {
		i++
		run()
	}
	if digits == 0 {
		return 0, 0
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '+' || s[j] == '-') {
			j++
		}
		if j < len(s) && s[j] >= '0' && s[j] <= '9' {
			for j < len(s) && s[j] >= '0' && s[j] <= '9' {
				j++
			}
			i = j
		}
	}
	x, _ := strconv.ParseFloat(s[:i], 64) // out of range is ±Inf, refused where coordinates are checked
	return x, i
}

func isSpace(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' }

// separator is how many bytes of white space with at most one comma start s.
func separator(s string) int {
	i := spaces(s)
	if i < len(s) && s[i] == ',' {
		i++
		i += spaces(s[i:])
	}
	return i
}

func spaces(s string) int {
	i := 0
	for i < len(s) && isSpace(s[i]) {
		i++
	}
	return i
}

// numbers reads a list of plain numbers.
func numbers(s string) ([]float64, error) {
	s = strings.TrimSpace(s)
	var out []float64
	for len(s) > 0 {
		x, n := number(s)
		if n == 0 {
			return nil, fmt.Errorf("a number is missing at %q", start(s))
		}
		if math.IsInf(x, 0) {
			return nil, fmt.Errorf("the number %q is too large", start(s))
		}
		out = append(out, x)
		s = s[n:]
		s = s[separator(s):]
	}
	return out, nil
}

// start is the first few characters of s, for messages.
func start(s string) string {
	const most = 20
	s = clean(s)
	if r := []rune(s[:min(len(s), 4*most)]); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// pxPerInch and mmPerInch are exact by definition: CSS Values and Units
// Module Level 3, section 5.2, and the international inch of 1959.
const (
	pxPerInch = 96
	mmPerInch = 25.4
	mmPerPx   = mmPerInch / pxPerInch
)

var pxPerUnit = map[string]float64{
	"": 1, "px": 1, "in": pxPerInch,
	"mm": pxPerInch / mmPerInch, "cm": pxPerInch / 2.54, "q": pxPerInch / 101.6,
	"pt": pxPerInch / 72.0, "pc": pxPerInch / 6.0,
}

// length is a number and its unit, in user units; a percentage is of whole.
func length(s string, whole float64) (float64, error) {
	s = strings.TrimSpace(s)
	x, n := number(s)
	unit := strings.ToLower(strings.TrimSpace(s[n:]))
	switch {
	case n == 0:
		return 0, fmt.Errorf("%q is not a length", start(s))
	case math.IsInf(x, 0):
		return 0, fmt.Errorf("the length %q is too large", start(s))
	case unit == "%":
		return x / 100 * whole, nil
	}
	px, ok := pxPerUnit[unit]
	if !ok {
		return 0, fmt.Errorf("the unit of %q is not known", start(s))
	}
	return x * px, nil
}
