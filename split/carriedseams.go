package split

import (
	"fmt"
	"math"
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

// documentCarried is the carried lines as plan.json has them: one, or one round
// each sleeve.
func (m *Made) documentCarried(scraps []*piece.Scrap) []plan.Carried {
	line := m.Plan.Carry
	if line == nil {
		return nil
	}
	all := plan.Carried{Piece: line.Piece, To: line.To}
	var above, below []string
	look := func(on *[]string, t *Tree) {
		for _, leaf := range t.Leaves() {
			if leaf.Scrap < len(scraps) {
				if l := scraps[leaf.Scrap].TheLook(); !slices.ContainsFunc(*on, func(o string) bool { return strings.EqualFold(o, l) }) {
					*on = append(*on, l)
				}
			}
		}
	}
	for _, cut := range line.Cuts {
		near, far := &above, &below
		if !cut.AboveNear {
			near, far = far, near
		}
		look(near, m.Plan.Trees[cut.Copy].Near)
		look(far, m.Plan.Trees[cut.Copy].Far)
	}
	all.Above, all.Below = plan.And(above), plan.And(below)
	var out []plan.Carried
	for _, copies := range line.apart() {
		one := all
		for _, i := range copies {
			one.Seams = append(one.Seams, m.carriedSeam(i))
			for _, past := range m.facingsPast(line.Cut(i)) {
				if !slices.Contains(one.Past, past) {
					one.Past = append(one.Past, past)
				}
			}
			for _, at := range line.Meets {
				if at.From != i {
					continue
				}
				one.Meets = append(one.Meets, plan.CarriedMeet{
					From: m.carriedSeam(at.From), To: m.carriedSeam(at.To), Join: [2]string{at.Join[0].String(), at.Join[1].String()}, OffMM: at.OffMM, TurnDeg: at.TurnDeg,
				})
				one.OffMM = math.Max(one.OffMM, at.OffMM)
				if at.TurnDeg > one.TurnDeg {
					one.TurnDeg, one.TurnsAt = at.TurnDeg, at.Join[0].String()+" "+at.Join[1].String()
				}
			}
		}
		if one.TurnDeg <= plan.SmoothDeg {
			one.TurnsAt = ""
		}
		one.OffMM, one.TurnDeg = math.Round(one.OffMM*1e3)/1e3, math.Round(one.TurnDeg*10)/10
		slices.Sort(one.Seams)
		out = append(out, one)
	}
	return out
}

// facingsPast are the facings behind the edges on which a line's cut of a copy ends, and
// that the line does not cross.
func (m *Made) facingsPast(cut *CarriedCut) (out []string) {
	p := m.Plan.Pieces[cut.Copy]
	for _, end := range cut.ends {
		for _, r := range p.Outline[end.edge].Joins {
			if isFacing(r.Piece) && !slices.Contains(out, r.Piece) {
				out = append(out, r.Piece)
			}
		}
	}
	return out
}

// apart is the copies that the line crosses, in groups that hang together.
func (l *CarriedLine) apart() [][]int {
	group := map[int]int{} // each copy's is named after a copy of it
	for _, c := range l.Cuts {
		group[c.Copy] = c.Copy
	}
	for _, at := range l.Meets {
		from, to := group[at.From], group[at.To]
		for i, g := range group {
			if g == to {
				group[i] = from
			}
		}
	}
	var out [][]int
	at := map[int]int{}
	for _, c := range l.Cuts {
		k, known := at[group[c.Copy]]
		if !known {
			k = len(out)
			at[group[c.Copy]], out = k, append(out, nil)
		}
		out[k] = append(out[k], c.Copy)
	}
	return out
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
		if at.From == at.To {
			meet = append(meet, fmt.Sprintf("%s comes round (%s to %s)", m.carriedSeam(at.From), at.Join[0], at.Join[1]))
			continue
		}
		meet = append(meet, fmt.Sprintf("%s meets %s (%s to %s)", m.carriedSeam(at.From), m.carriedSeam(at.To), at.Join[0], at.Join[1]))
	}
	return []string{fmt.Sprintf("The carried line goes on from seam to seam. When you sew the pieces together, pin first where they meet, and baste there, so that the line runs on: %s.", strings.Join(slices.Compact(meet), "; "))}
}
