package check

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"eke/split/plan"
)

const (
	// flatMM is how far a flattened edge may be from its curve.
	flatMM = 0.01
	// maxPoints is how many points all the edges that are looked at together
	// may flatten to; a few lines of text can ask for more than there is
	// memory for.
	maxPoints = 500_000
)

// drawnEdge is an edge with its path data flattened.
type drawnEdge struct {
	*plan.Edge
	line     []point
	lengthMM float64
}

// drawn flattens the edges of a piece or a part, and counts the points.
func drawn(edges []plan.Edge, points *int) ([]drawnEdge, error) {
	out := make([]drawnEdge, len(edges))
	for i := range edges {
		line, err := flatten(edges[i].D, maxPoints-*points)
		*points += len(line)
		if err != nil {
			return nil, fmt.Errorf("edge %d of %d %q: %w", i+1, len(edges), edges[i].Name, err)
		}
		out[i] = drawnEdge{&edges[i], line, length(line)}
	}
	return out, nil
}

// flatten reads SVG path data of one line in absolute M, L and C, and gives it
// as points within flatMM, about most of them at most.
func flatten(d string, most int) ([]point, error) {
	var line []point
	var command byte
	rest := strings.TrimLeft(d, " \t\r\n")
	for rest != "" {
		if c := rest[0]; c == 'M' || c == 'L' || c == 'C' {
			if (c == 'M') != (line == nil) {
				return nil, fmt.Errorf("path data %.40q has M other than once at its start", d)
			}
			command, rest = c, rest[1:]
		} else if command == 'M' {
			command = 'L'
		}
		var points [3]point
		n := 1
		if command == 'C' {
			n = 3
		}
		for k := range n {
			for i := range 2 {
				var err error
				if points[k][i], rest, err = number(rest); err != nil {
					return nil, fmt.Errorf("path data %.40q: %w", d, err)
				}
			}
		}
		switch command {
		case 'M', 'L':
			line = append(line, points[0])
		case 'C':
			line = bezier(line, line[len(line)-1], points[0], points[1], points[2])
		default:
			return nil, fmt.Errorf("path data %.40q does not start with M", d)
		}
		if len(line) > most {
			return line, fmt.Errorf("path data %.40q: all edges together flatten to more than %d points", d, maxPoints)
		}
		rest = strings.TrimLeft(rest, " \t\r\n")
	}
	if len(line) < 2 {
		return nil, fmt.Errorf("path data %.40q draws no line", d)
	}
	return line, nil
}

// number reads a number off the front of s.
func number(s string) (x float64, rest string, err error) {
	s = strings.TrimLeft(s, " ,\t\r\n")
	n := 0
	for n < len(s) && strings.IndexByte("+-.0123456789eE", s[n]) >= 0 {
		n++
	}
	x, err = strconv.ParseFloat(s[:n], 64)
	if err != nil || !(math.Abs(x) <= largestMM) {
		return 0, "", fmt.Errorf("a coordinate is missing or out of range at %.20q", s)
	}
	return x, s[n:], nil
}

// bezier adds the cubic from a to d, without a, to the line.
func bezier(line []point, a, b, c, d point) []point {
	bend := func(p, q, r point) float64 { return math.Hypot(p[0]-2*q[0]+r[0], p[1]-2*q[1]+r[1]) }
	n := math.Ceil(math.Sqrt(0.75 * math.Max(bend(a, b, c), bend(b, c, d)) / flatMM))
	n = math.Max(1, math.Min(n, 5000))
	for k := 1.0; k < n; k++ {
		t := k / n
		u := 1 - t
		var p point
		for i := range 2 {
			p[i] = u*u*u*a[i] + 3*u*u*t*b[i] + 3*u*t*t*c[i] + t*t*t*d[i]
		}
		line = append(line, p)
	}
	return append(line, d)
}
