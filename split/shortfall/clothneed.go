package shortfall

import (
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"
	"eke/split/plan"
	"eke/split/search"
)

// cloth is what the pieces need and what is held for them, a row for pieces
// that may come from the same fabrics and kinds, and one for all.
func cloth(pieces []*piece.Piece, scraps []piece.Scrap, o search.Options) []plan.Cloth {
	groups := map[string][]*piece.Piece{}
	var order []string
	for _, p := range pieces {
		key := strings.TrimSpace(fabrics(p) + " " + p.Kind)
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], p)
	}
	var out []plan.Cloth
	for _, key := range order {
		row := needs(groups[key], scraps, o)
		row.Fabric = key
		out = append(out, row)
	}
	if len(out) > 1 {
		row := needs(pieces, scraps, o)
		row.All = true
		out = append(out, row)
	}
	return out
}

// fabrics is what a piece may be cut from, in words: "navy or cream".
func fabrics(p *piece.Piece) string {
	var names []string
	for _, f := range p.Fabrics {
		names = append(names, strings.ToLower(strings.TrimSpace(f)))
	}
	return strings.Join(names, " or ")
}

// needs is one row: the area of the pieces, and of the scraps that one of them
// may be cut from.
func needs(pieces []*piece.Piece, scraps []piece.Scrap, o search.Options) plan.Cloth {
	var row plan.Cloth
	for _, p := range pieces {
		row.Pieces = append(row.Pieces, p.Name)
		if cut, err := split.CutLine(p, p.Outline); err == nil {
			row.NeededMM2 += plane.SignedArea(cut) * float64(max(1, p.Count))
		}
	}
	for i := range scraps {
		s := &scraps[i]
		if !slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return o.MayCut(p, s) }) {
			continue
		}
		area := s.AreaMM2() * float64(max(1, s.Count))
		row.HeldMM2 += area
		k := slices.IndexFunc(row.Held, func(h plan.Held) bool { return strings.EqualFold(h.Fabric, s.Fabric) && h.Kind == s.Kind })
		if k < 0 {
			k = len(row.Held)
			row.Held = append(row.Held, plan.Held{Fabric: s.Fabric, Kind: s.Kind})
		}
		row.Held[k].AreaMM2 += area
	}
	return row
}
