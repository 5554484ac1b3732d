package sheets

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
)

// Paper is a size of paper, upright. A roll has no height: its pages are as
// long as they need to be.
type Paper struct {
	Name              string
	WidthMM, HeightMM float64
}

const inchMM = 25.4

// papers are the sizes with a name. The a sizes are ISO 216's, the others
// ANSI/ASME Y14.1's A and B and the legal size of office paper.
var papers = map[string]Paper{
	"a4":      {"a4", 210, 297},
	"a3":      {"a3", 297, 420},
	"a2":      {"a2", 420, 594},
	"a1":      {"a1", 594, 841},
	"a0":      {"a0", 841, 1189},
	"letter":  {"letter", 8.5 * inchMM, 11 * inchMM},
	"legal":   {"legal", 8.5 * inchMM, 14 * inchMM},
	"tabloid": {"tabloid", 11 * inchMM, 17 * inchMM},
}

// A roll narrower than this has no room for the test squares; a wider one is
// a mistake.
const (
	narrowestMM = 150
	widestMM    = 5000
)

// ParsePaper reads a name, such as a4 or letter, or the width of a roll with
// its unit: 914mm, 91.4cm, 36in.
func ParsePaper(s string) (Paper, error) {
	s = strings.ToLower(strings.TrimSpace(s))
	if p, ok := papers[s]; ok {
		return p, nil
	}
	for unit, size := range map[string]float64{"mm": 1, "cm": 10, "in": inchMM} {
		digits, found := strings.CutSuffix(s, unit)
		if !found {
			continue
		}
		x, err := strconv.ParseFloat(strings.TrimSpace(digits), 64)
		if err != nil {
			break
		}
		if width := x * size; width >= narrowestMM && width <= widestMM {
			return Paper{Name: "roll of " + s, WidthMM: width}, nil
		}
		return Paper{}, fmt.Errorf("a roll %s wide: a width from %d mm to %d mm is wanted", s, narrowestMM, widestMM)
	}
	return Paper{}, fmt.Errorf("paper %q is not known; choose %s, or give the width of a roll, such as 914mm", s, strings.Join(PaperNames(), ", "))
}

// PaperNames is every size with a name, in order.
func PaperNames() []string {
	var names []string
	for n := range papers {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// Title is the paper's name as it is written: A4, letter.
func (p Paper) Title() string {
	if len(p.Name) == 2 {
		return strings.ToUpper(p.Name)
	}
	return p.Name
}

func (p Paper) roll() bool { return p.HeightMM == 0 }
