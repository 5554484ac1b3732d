package draw

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// ParsePath reads path data as plan.json holds it: absolute M, L, C and Z,
// coordinates in mm, one run of segments. A segment of no length is kept.
func ParsePath(data string) (curve.Path, error) {
	f := strings.Fields(separate(data))
	var path curve.Path
	var at, start orb.Point
	begun, command := false, ""
	for i := 0; i < len(f); {
		if strings.ContainsAny(f[i], "MLCZ") {
			command = f[i]
			i++
			if command == "Z" {
				if begun && at != start {
					path, at = append(path, curve.Line(at, start)), start
				}
				continue
			}
		}
		n := map[string]int{"M": 1, "L": 1, "C": 3}[command]
		if n == 0 || !begun && command != "M" || begun && command == "M" {
			return nil, pathError(data, "one run of M, L, C and Z is wanted")
		}
		if i+2*n > len(f) {
			return nil, pathError(data, "it ends in the middle of a point")
		}
		var q [3]orb.Point
		for k := range 2 * n {
			x, err := strconv.ParseFloat(f[i+k], 64)
			if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
				return nil, pathError(data, fmt.Sprintf("%q is not a number", f[i+k]))
			}
			q[k/2][k%2] = x
		}
		i += 2 * n
		switch command {
		case "M":
			at, start, begun, command = q[0], q[0], true, "L"
		case "L":
			path, at = append(path, curve.Line(at, q[0])), q[0]
		case "C":
			path, at = append(path, curve.Cubic(at, q[0], q[1], q[2])), q[2]
		}
	}
	if len(path) == 0 {
		return nil, pathError(data, "it draws nothing")
	}
	return path, nil
}

// separate puts blanks round commands and in place of commas.
func separate(data string) string {
	var b strings.Builder
	for _, r := range data {
		switch {
		case r == ',':
			b.WriteByte(' ')
		case strings.ContainsRune("MLCZ", r):
			b.WriteString(" " + string(r) + " ")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func pathError(data, problem string) error {
	if len(data) > 60 {
		data = data[:60] + "…"
	}
	return fmt.Errorf("path data %q: %s", data, problem)
}

// cutPath is a part's cutting line, with its curves where the plan gives them.
func cutPath(p *plan.Part) (curve.Path, error) {
	if p.CutD == "" {
		return closedPath(p.CutLine), nil
	}
	path, err := ParsePath(p.CutD)
	if err != nil {
		return nil, fmt.Errorf("part %q, cutting line: %w", p.Name, err)
	}
	return path, closed(p.Name, path)
}

// closed refuses a cutting line that is not closed.
func closed(name string, cut curve.Path) error {
	if len(cut) == 0 || cut.Start() != cut.End() {
		return fmt.Errorf("part %q: the path of its cutting line is not closed", name)
	}
	return nil
}

// closedPath is a polygon without a closing repeat as a closed path.
func closedPath(points []plan.Point) curve.Path {
	var p curve.Path
	for i, a := range points {
		if b := points[(i+1)%len(points)]; a != b {
			p = append(p, curve.Line(orb.Point(a), orb.Point(b)))
		}
	}
	return p
}
