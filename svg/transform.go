package svg

import (
	"fmt"
	"math"
	"strings"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// transforms reads a transform list, as an attribute or as a CSS property:
// the matrix that takes the element's user units to its parent's. Percentages
// are of the viewport.
func transforms(s string, viewport orb.Point) (curve.Matrix, error) {
	m := curve.Identity
	if len(s) > maxTransform {
		return m, fmt.Errorf("its transform is longer than %d characters", maxTransform)
	}
	rest := strings.TrimSpace(s)
	if rest == "none" {
		return m, nil
	}
	for rest != "" {
		open := strings.IndexByte(rest, '(')
		shut := strings.IndexByte(rest, ')')
		if open < 0 || shut < open {
			return m, fmt.Errorf("its transform %q is broken", start(s))
		}
		name := strings.TrimSpace(rest[:open])
		f, err := transform(name, rest[open+1:shut], viewport)
		if err != nil {
			return m, fmt.Errorf("its transform %q is broken: %v", start(rest), err)
		}
		m = f.Then(m) // the last in the list is applied first
		rest = rest[shut+1:]
		rest = rest[separator(rest):]
	}
	for _, x := range m {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return m, fmt.Errorf("its transform %q has numbers that are too large", start(s))
		}
	}
	return m, nil
}

// transform is one function of a transform list.
func transform(name, args string, viewport orb.Point) (curve.Matrix, error) {
	given := splitArgs(args)
	var err error
	value := func(i int, read func(string) (float64, error)) float64 {
		if i >= len(given) {
			return 0
		}
		x, e := read(given[i])
		if e != nil && err == nil {
			err = e
		}
		return x
	}
	across := func(s string) (float64, error) { return length(s, viewport[0]) }
	down := func(s string) (float64, error) { return length(s, viewport[1]) }
	count := func(least, most int) {
		if err == nil && (len(given) < least || len(given) > most) {
			err = fmt.Errorf("it has %d numbers", len(given))
		}
	}
	m := curve.Identity
	switch name {
	case "matrix":
		count(6, 6)
		for i := range m {
			m[i] = value(i, plain)
		}
	case "translate":
		count(1, 2)
		m = curve.Shift(value(0, across), value(1, down))
	case "translateX":
		count(1, 1)
		m = curve.Shift(value(0, across), 0)
	case "translateY":
		count(1, 1)
		m = curve.Shift(0, value(0, down))
	case "scale":
		count(1, 2)
		m[0], m[3] = value(0, plain), value(max(0, len(given)-1), plain)
	case "scaleX":
		count(1, 1)
		m[0] = value(0, plain)
	case "scaleY":
		count(1, 1)
		m[3] = value(0, plain)
	case "rotate":
		count(1, 3)
		if len(given) == 2 {
			count(1, 1)
		}
		m = curve.Turn(value(0, angle), orb.Point{value(1, across), value(2, down)})
	case "skewX":
		count(1, 1)
		m[2] = math.Tan(value(0, angle) * math.Pi / 180)
	case "skewY":
		count(1, 1)
		m[1] = math.Tan(value(0, angle) * math.Pi / 180)
	case "skew":
		count(1, 2)
		m[2], m[1] = math.Tan(value(0, angle)*math.Pi/180), math.Tan(value(1, angle)*math.Pi/180)
	default:
		err = fmt.Errorf("%q is not a flat transform", start(name))
	}
	return m, err
}

// splitArgs cuts a function's arguments at commas and white space.
func splitArgs(s string) []string {
	var out []string
	for s = strings.TrimSpace(s); s != ""; {
		_, n := number(s)
		end := n
		for end < len(s) && (s[end] == '%' || s[end]|0x20 >= 'a' && s[end]|0x20 <= 'z') {
			end++
		}
		if n == 0 {
			return append(out, s) // not a number: the reader of the value says so
		}
		out = append(out, s[:end])
		s = s[end:]
		s = s[separator(s):]
	}
	return out
}

func plain(s string) (float64, error) {
	x, n := number(s)
	if n == 0 || n != len(s) {
		return 0, fmt.Errorf("%q is not a number", start(s))
	}
	return x, nil
}

// angle is in degrees.
func angle(s string) (float64, error) {
	x, n := number(s)
	if n == 0 {
		return 0, fmt.Errorf("%q is not an angle", start(s))
	}
	switch strings.ToLower(s[n:]) {
	case "", "deg":
		return x, nil
	case "rad":
		return x * 180 / math.Pi, nil
	case "grad":
		return x * 0.9, nil
	case "turn":
		return x * 360, nil
	}
	return 0, fmt.Errorf("the unit of %q is not known", start(s))
}

// origin reads a transform-origin.
func origin(s string, viewport orb.Point) (orb.Point, error) {
	words := strings.Fields(strings.ToLower(s))
	if len(words) == 1 {
		if words[0] == "top" || words[0] == "bottom" {
			words = []string{"center", words[0]}
		} else {
			words = append(words, "center")
		}
	}
	if len(words) < 2 {
		return orb.Point{}, nil
	}
	if words[0] == "top" || words[0] == "bottom" || words[1] == "left" || words[1] == "right" {
		words[0], words[1] = words[1], words[0]
	}
	named := map[string]string{"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
	var at orb.Point
	for i := range at {
		w := words[i]
		if n, ok := named[w]; ok {
			w = n
		}
		x, err := length(w, viewport[i])
		if err != nil {
			return at, fmt.Errorf("its transform-origin: %v", err)
		}
		at[i] = x
	}
	return at, nil
}
