package plan

import (
	"fmt"
	"slices"
	"strings"
)

// StripesMeetMM is how far off stripes may be that count as meeting at a seam.
const StripesMeetMM = 2.0

// StripeMatch is how the stripes of the cloth itself meet at the seams that they
// cross.
type StripeMatch struct {
	Runs     string       `json:"runs"`      // "across" the grain or "along" it
	RepeatMM float64      `json:"repeat_mm"` // of the cloth; or goes into this a whole number of times
	Seams    []StripeSeam `json:"seams"`
	// The piecing seams that stripes run on through, and how far they are off there
	// at most.
	Through      []string `json:"through,omitempty"`
	ThroughOffMM float64  `json:"through_off_mm,omitempty"`
}

// StripeSeam is a seam of the garment that stripes cross.
type StripeSeam struct {
	Edges    [2]string `json:"edges"`  // "front/side", "back/side"
	Copies   [2]int    `json:"copies"` // of the two pieces
	At       [2]Point  `json:"at"`     // points sewn to each other, where the stripes are to meet, in the coordinates of either piece
	Place    string    `json:"place"`  // in words: "at a notch"
	OffMM    float64   `json:"off_mm"` // there
	LengthMM float64   `json:"length_mm"`
	HoldsMM  float64   `json:"holds_mm"` // for how much of the seam, beside that place, they are off by no more than StripesMeetMM
	Meet     bool      `json:"meet"`
}

// Name is the seam in words.
func (s *StripeSeam) Name() string { return s.Edges[0] + " to " + s.Edges[1] }

// Words says it in a sentence.
func (m *StripeMatch) Words() string {
	var meet, off []string
	for _, g := range m.joins() {
		worst, holds, long := 0.0, g[0].HoldsMM, g[0].LengthMM
		for _, s := range g {
			worst, holds, long = max(worst, s.OffMM), min(holds, s.HoldsMM), max(long, s.LengthMM)
		}
		join := g[0].Name()
		switch {
		case !g[0].Meet:
			off = append(off, fmt.Sprintf("%s, %.0f mm off %s", join, worst, g[0].Place))
		case holds >= long-1:
			meet = append(meet, fmt.Sprintf("%s within %.1f mm all along", join, worst))
		default:
			meet = append(meet, fmt.Sprintf("%s within %.1f mm %s, and for %.0f of %.0f mm beside it within %.0f mm", join, worst, g[0].Place, holds, long, StripesMeetMM))
		}
	}
	said := "stripes meet at " + strings.Join(meet, "; ")
	if len(meet) == 0 {
		said = "stripes meet at no seam of the garment"
	}
	if len(m.Through) > 0 {
		said += fmt.Sprintf("; they run on through %s within %.1f mm", And(m.Through), m.ThroughOffMM)
	}
	if len(off) > 0 {
		said += "; they cannot meet too where the other seams have settled them already: " + strings.Join(off, "; ")
	}
	return said
}

// joins is the seams of one name together, those that meet before those that do
// not.
func (m *StripeMatch) joins() [][]StripeSeam {
	var out [][]StripeSeam
	for _, meet := range []bool{true, false} {
		for _, s := range m.Seams {
			if s.Meet != meet {
				continue
			}
			at := slices.IndexFunc(out, func(g []StripeSeam) bool { return g[0].Edges == s.Edges && g[0].Meet == meet })
			if at < 0 {
				out = append(out, nil)
				at = len(out) - 1
			}
			out[at] = append(out[at], s)
		}
	}
	return out
}
