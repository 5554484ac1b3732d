package split

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
)

// mostLooks is how many looks a garment may have before more of them look
// accidental. (Common practice, no source.)
const mostLooks = 3

// LooksKnown reports whether the pile of a plan says what its scraps look like:
// one of them has a fabric or a look, and two of them unlike ones.
func (p *Plan) LooksKnown() bool {
	said := false
	for _, s := range p.Scraps {
		said = said || s.Fabric != "" || s.Look != ""
	}
	return said && slices.ContainsFunc(p.Scraps, func(s *piece.Scrap) bool {
		return !strings.EqualFold(s.TheLook(), p.Scraps[0].TheLook())
	})
}

func (m *Made) lookOf(part int) string {
	return strings.ToLower(m.Plan.Scraps[m.Parts[part].Leaf.Scrap].TheLook())
}

// What terms of a cost are called that tell of pairs and of looks that meet.
const (
	UnlikeCopies = "copies in unlike looks"
	TwoLooks     = "two looks in a piece"
)

// LookTerms is what a plan costs for how its cloth looks.
func LookTerms(m *Made) []Term {
	if !m.Plan.LooksKnown() {
		return nil
	}
	var out []Term
	add := func(points float64, name, format string, args ...any) {
		out = append(out, Term{Name: name, Detail: fmt.Sprintf(format, args...), Points: points})
	}
	out = append(out, m.brokenTerms()...)
	for _, t := range m.unlikeCopies() {
		add(pointsUnlike, UnlikeCopies, "%s", t)
	}
	meets := map[string]bool{}
	for _, pair := range meetings(m) {
		meets[pair[0]], meets[pair[1]] = true, true
	}
	for i := range m.Seams {
		s := &m.Seams[i]
		if s.Carried || m.Asked(s) || m.wished(s) {
			continue
		}
		looks := m.looksAt(s)
		if len(looks) < 2 {
			continue
		}
		add(pointsTwoLooks, TwoLooks, "seam %s joins %s", s.Name, strings.Join(looks, " and "))
		for _, end := range s.Ends {
			if len(end.Edge.Line) > 0 && len(end.Edge.Joins) > 0 && !meets[s.Name] {
				add(pointsStops, "a block that stops", "seam %s ends at the %s, and no seam runs on there", s.Name, named(end.Edge.Name))
				break
			}
		}
	}
	if looks := m.freeLooks(); len(looks) > mostLooks {
		add(float64(len(looks)-mostLooks)*pointsManyLooks, "many looks", "%d in one garment", len(looks))
	}
	return out
}

// LookPoints is what a plan costs for how its cloth looks; the least looks best.
func LookPoints(m *Made) float64 { return Intrusion(LookTerms(m)) }

// Asked reports whether a seam between two looks was wished for.
func (m *Made) Asked(s *PiecingSeam) bool {
	return slices.ContainsFunc(m.Plan.Blocks, func(name string) bool { return strings.EqualFold(name, m.Plan.Pieces[s.Piece].Name) })
}

// LinesApartMM is by how much the line between two looks lies lower on one copy of a piece
// than on another; 0 where not every copy has one such line across the grain.
func (m *Made) LinesApartMM(piece string) float64 {
	var levels []float64
	for copy, p := range m.Plan.Pieces {
		if !strings.EqualFold(p.Name, piece) {
			continue
		}
		lines := 0
		for i := range m.Seams {
			if s := &m.Seams[i]; s.Piece == copy && s.Way.Traits().Runs == Across && len(m.looksAt(s)) > 1 {
				levels = append(levels, s.LevelMM)
				lines++
			}
		}
		if lines != 1 {
			return 0
		}
	}
	if len(levels) < 2 {
		return 0
	}
	return slices.Max(levels) - slices.Min(levels)
}

// looksAt are the looks on both sides of a seam.
func (m *Made) looksAt(s *PiecingSeam) (out []string) {
	for _, k := range slices.Concat(s.Near, s.Far) {
		out = append(out, m.lookOf(k))
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// unlikeCopies says of which pieces the copies have unlike looks.
func (m *Made) unlikeCopies() (out []string) {
	byName := map[string]map[int][]string{}
	var order []string
	for k, part := range m.Parts {
		p := m.Plan.Pieces[part.Piece]
		if p.Count < 2 || m.striped(part.Piece) {
			continue
		}
		if byName[p.Name] == nil {
			byName[p.Name] = map[int][]string{}
			order = append(order, p.Name)
		}
		if l := m.lookOf(k); !slices.Contains(byName[p.Name][part.Piece], l) {
			byName[p.Name][part.Piece] = append(byName[p.Name][part.Piece], l)
		}
	}
	for _, name := range order {
		var all []string
		for _, looks := range byName[name] {
			slices.Sort(looks)
			all = append(all, strings.Join(looks, " with "))
		}
		slices.Sort(all)
		if all = slices.Compact(all); len(all) > 1 {
			out = append(out, fmt.Sprintf("%s: one from %s", name, strings.Join(all, ", another from ")))
		}
	}
	return out
}

// freeLooks are the looks of the pieces that ask for no fabric of their own, such
// as a neckband of rib does.
func (m *Made) freeLooks() (out []string) {
	for k, part := range m.Parts {
		if l := m.lookOf(k); len(m.Plan.Pieces[part.Piece].Fabrics) == 0 && !m.striped(part.Piece) && !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	return out
}
