package search

import (
	"fmt"
	"sort"
	"strings"

	"eke/piece"
	"eke/split"
)

// signature is what a maker would see of a plan: which pieces are split, how,
// and from which cloth. Two plans that differ by millimetres, or by which of
// two like scraps a whole piece comes from, have the same.
func signature(m *split.Made, scraps []*piece.Scrap) string {
	var out []string
	for i, t := range m.Plan.Trees {
		p := m.Plan.Pieces[i]
		out = append(out, p.Name+":"+treeSignature(t, scraps))
	}
	sort.Strings(out) // the copies of a piece in either order
	for _, mv := range m.Plan.Moves {
		out = append(out, fmt.Sprintf("%v>%v", mv.From, mv.To))
	}
	return strings.Join(out, ";")
}

// exactSignature is signature with every scrap by its own name.
func exactSignature(m *split.Made) string {
	var out []string
	for i, t := range m.Plan.Trees {
		from := m.Plan.Pieces[i].ID() + ":" + treeShape(t)
		for _, leaf := range t.Leaves() {
			from += fmt.Sprintf(",%d", leaf.Scrap)
		}
		out = append(out, from)
	}
	for _, mv := range m.Plan.Moves {
		out = append(out, mv.String())
	}
	return strings.Join(out, ";")
}

func treeShape(t *split.Tree) string {
	if t.Way == nil {
		return ""
	}
	return wayID(t.Way) + "(" + treeShape(t.Near) + "," + treeShape(t.Far) + ")"
}

func treeSignature(t *split.Tree, scraps []*piece.Scrap) string {
	if t.Way == nil {
		s := scraps[t.Scrap]
		if s.Fabric != "" {
			return s.Fabric
		}
		return s.Name
	}
	return fmt.Sprintf("%s(%s,%s)", t.Way.Kind(), treeSignature(t.Near, scraps), treeSignature(t.Far, scraps))
}
