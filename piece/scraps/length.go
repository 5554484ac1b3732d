package scraps

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

func printable(c rune) bool { return unicode.IsPrint(c) || unicode.IsSpace(c) }

// mmPerUnit holds the units a length may have: the metre's, and the
// international inch and yard of 1959, which are exact.
var mmPerUnit = map[string]float64{
	"mm": 1, "cm": 10, "m": 1000,
	"in": 25.4, "inch": 25.4, "inches": 25.4, `"`: 25.4, "″": 25.4, "”": 25.4,
	"yd": 914.4, "yard": 914.4, "yards": 914.4,
}

// ParseLength reads a length with its unit: `180mm`, `42 cm`, `1.5 m`, `5/8"`,
// `12 1/2 in`. It may be negative or zero. The result is finite, in mm.
func ParseLength(s string) (mm float64, err error) {
	x, unit, err := splitLength(s)
	if err != nil {
		return 0, err
	}
	if unit == "" {
		return 0, fmt.Errorf("%q has no unit; write it with mm, cm, m, in or yd, such as %smm", short(s), short(s))
	}
	k, ok := mmPerUnit[unit]
	if !ok {
		return 0, fmt.Errorf("the unit of %q is not known; write it with mm, cm, m, in or yd", short(s))
	}
	if mm = x * k; math.Abs(mm) > 1e9 {
		return 0, fmt.Errorf("%q is too large", short(s))
	}
	return mm, nil
}

// ParseAngle reads an angle in degrees: `2deg`, `1.5°`. The result is finite
// and within a full turn either way.
func ParseAngle(s string) (deg float64, err error) {
	x, unit, err := splitLength(s)
	if err != nil {
		return 0, err
	}
	switch unit {
	case "deg", "°", "degree", "degrees":
	default:
		return 0, fmt.Errorf("%q is not in degrees; write it with deg, such as 2deg", short(s))
	}
	if math.Abs(x) > 360 {
		return 0, fmt.Errorf("%q is more than a full turn", short(s))
	}
	return x, nil
}

// splitLength parts a figure from its unit, which is in lower case.
func splitLength(s string) (x float64, unit string, err error) {
	s = strings.TrimSpace(s)
	end := strings.IndexFunc(s, func(c rune) bool {
		return !(c >= '0' && c <= '9' || strings.ContainsRune("+-.,/ \u00a0½¼¾⅛⅜⅝⅞", c))
	})
	if end < 0 {
		end = len(s)
	}
	x, err = parseNumber(strings.TrimSpace(s[:end]))
	return x, strings.ToLower(strings.TrimSpace(s[end:])), err
}

var (
	decimal  = regexp.MustCompile(`^[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)$`)
	fraction = regexp.MustCompile(`^([+-]?)(?:([0-9]+)[ \x{a0}-])?([0-9]+)/([0-9]+)$`)
	thousand = regexp.MustCompile(`^[+-]?[1-9][0-9]{0,2},[0-9]{3}$`)
)

var vulgar = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8")

// parseNumber reads a decimal, with a point or a comma, or a fraction such as
// 5/8 or 12 1/2. `1,250` is refused: it is a thousand to one reader and a
// little over one to another.
func parseNumber(s string) (float64, error) {
	if thousand.MatchString(s) {
		return 0, fmt.Errorf("%q could be %s or %s; write one of these", short(s), strings.Replace(s, ",", ".", 1), strings.Replace(s, ",", "", 1))
	}
	return parseDecimal(s)
}

// parseDecimal is parseNumber where a comma is known to be a decimal one.
func parseDecimal(s string) (float64, error) {
	plain := strings.TrimSpace(vulgar.Replace(s))
	if m := fraction.FindStringSubmatch(plain); m != nil && len(plain) < 30 {
		whole, _ := strconv.ParseFloat("0"+m[2], 64)
		over, _ := strconv.ParseFloat(m[3], 64)
		under, _ := strconv.ParseFloat(m[4], 64)
		if under == 0 {
			return 0, fmt.Errorf("%q divides by nothing", short(s))
		}
		x := whole + over/under
		if m[1] == "-" {
			x = -x
		}
		return x, nil
	}
	if s == "" {
		return 0, fmt.Errorf("a number is missing")
	}
	if !decimal.MatchString(s) {
		return 0, fmt.Errorf("%q is not a number", short(s))
	}
	x, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, fmt.Errorf("%q is too large", short(s))
	}
	return x, nil
}
