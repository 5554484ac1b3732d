package split

import (
	"fmt"
	"slices"
	"strings"
)

// wished reports whether a seam is one that stripes or blocks were wished for to
// have: a line between stripes, or any line of the grid. A seam that pieces a stripe
// is not.
func (m *Made) wished(s *PiecingSeam) bool {
	return m.striped(s.Piece) && (m.Plan.Striped.Blocks != nil || s.Way.Traits().Runs == Across)
}

// striped reports whether a copy is in stripes or blocks.
func (m *Made) striped(copy int) bool {
	return m.Plan.Striped != nil && slices.Contains(m.Plan.Striped.body, copy)
}

func (m *Made) wishedNamed(seam string) bool {
	return slices.ContainsFunc(m.Seams, func(s PiecingSeam) bool { return s.Name == seam && m.wished(&s) })
}

// Unwished is how many seams of a plan no stripes or blocks were wished for to have.
func Unwished(m *Made) int {
	n, _ := m.unwished()
	return n
}

// unwished counts the seams that were not wished for, and adds up their lengths.
func (m *Made) unwished() (n int, lengthMM float64) {
	for i := range m.Seams {
		if s := &m.Seams[i]; !m.wished(s) {
			n, lengthMM = n+1, lengthMM+s.LengthMM
		}
	}
	return n, lengthMM
}

// brokenTerms is what it costs that stripes do not follow one another as they were
// wished for, or that blocks of one look lie side by side.
func (m *Made) brokenTerms() (out []Term) {
	if m.Plan.Striped == nil {
		return nil
	}
	if m.Plan.Striped.Blocks != nil {
		if n := len(m.sideBySide()); n > 0 && m.blockLooks() > 1 {
			out = append(out, Term{Name: "blocks alike side by side", Detail: fmt.Sprintf("%d pairs at %g points", n, pointsBroken), Points: float64(n) * pointsBroken})
		}
		return out
	}
	for _, c := range m.Plan.Striped.Copies {
		for _, b := range c.Bands {
			if b.Wanted != "" {
				out = append(out, Term{Name: "the stripes break", Detail: fmt.Sprintf("a stripe of %s is %s and not %s", m.Plan.Pieces[c.Copy].ID(), b.Look, b.Wanted), Points: pointsBroken})
			}
		}
	}
	return out
}

// blockLooks is how many looks the blocks have.
func (m *Made) blockLooks() int {
	var looks []string
	for _, k := range m.blocked() {
		if l := strings.ToLower(m.lookOf(k)); !slices.Contains(looks, l) {
			looks = append(looks, l)
		}
	}
	return len(looks)
}
