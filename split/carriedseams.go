package split

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/split/plan"
)

// carriedSeam is the name of the seam of a copy that is part of the carried line.
func (m *Made) carriedSeam(copy int) string {
	for i := range m.Seams {
		if m.Seams[i].Piece == copy && m.Seams[i].Carried {
			return m.Seams[i].Name
		}
	}
	return ""
}

// documentCarried is the carried line as plan.json has it.
func (m *Made) documentCarried(scraps []*piece.Scrap) []plan.Carried {
	line := m.Plan.Carry
	if line == nil {
		return nil
	}
	d := plan.Carried{Piece: line.Piece, To: line.To, OffMM: line.OffMM, TurnDeg: line.TurnDeg}
	if line.TurnDeg > plan.SmoothDeg {
		d.TurnsAt = line.TurnsAt[0].String() + " " + line.TurnsAt[1].String()
	}
	var above, below []string
	look := func(on *[]string, t *Tree) {
		for _, leaf := range t.Leaves() {
			if leaf.Scrap < len(scraps) {
				if l := lookOf(scraps[leaf.Scrap]); !slices.Contains(*on, l) {
					*on = append(*on, l)
				}
			}
		}
	}
	for _, cut := range line.Cuts {
		d.Seams = append(d.Seams, m.carriedSeam(cut.Copy))
		near, far := &above, &below
		if !cut.AboveNear {
			near, far = far, near
		}
		look(near, m.Plan.Trees[cut.Copy].Near)
		look(far, m.Plan.Trees[cut.Copy].Far)
	}
	slices.Sort(d.Seams)
	d.Above, d.Below = plan.And(above), plan.And(below)
	return []plan.Carried{d}
}

// carriedOrder says where the seams of a carried line meet when the pieces are
// sewn together, for the sewing order.
func (m *Made) carriedOrder() []string {
	line := m.Plan.Carry
	if line == nil {
		return nil
	}
	var meet []string
	for _, at := range line.Meets {
		meet = append(meet, fmt.Sprintf("%s meets %s (%s to %s)", m.carriedSeam(at.From), m.carriedSeam(at.To), at.Join[0], at.Join[1]))
	}
	return []string{fmt.Sprintf("The seams of the carried line go on from piece to piece. When you sew the pieces together, pin first where they meet, and baste there, so that the line runs on: %s.", strings.Join(slices.Compact(meet), "; "))}
}

func lookOf(s *piece.Scrap) string {
	if s.Fabric != "" {
		return s.Fabric
	}
	return s.Name
}
