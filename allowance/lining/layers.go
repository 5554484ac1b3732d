package lining

import (
	"slices"

	"eke/allowance"
	"eke/piece"
)

// oneLayer is the pieces with each yoke that is cut in two layers, an outer and an inner one,
// cut in one: a lining has one layer of each place. (Common practice, no source.)
func (l *Lining) oneLayer(pieces []*piece.Piece) []*piece.Piece {
	var walked []allowance.Walked
	out := slices.Clone(pieces)
	for i, p := range pieces {
		if p.Count != 2 || p.Mirrored || !endsWord(p.Name, "yoke") || whyUnlined(p, pieces) != "" {
			continue
		}
		if walked == nil {
			walked = allowance.Walk(pieces)
		}
		if inLayers(p, walked) {
			c := *p
			c.Count = 1
			out[i] = &c
			l.note("%s is cut in two layers, an outer and an inner one: its lining is cut once", p.Name)
		}
	}
	return out
}

// inLayers reports whether each seam of a piece to others of the body takes in fewer of its
// edges than its copies have. A collar or its stand may be in layers as well, each sewn to one.
func inLayers(p *piece.Piece, walked []allowance.Walked) bool {
	sewn := false
	for _, w := range walked {
		if w.Stretch || slices.ContainsFunc(slices.Concat(w.A, w.B), func(r piece.Ref) bool { return piece.TrimWord(r.Piece) != "" }) {
			continue
		}
		for k, row := range [][]piece.Ref{w.A, w.B} {
			for i, r := range row {
				if r.Piece != p.Name {
					continue
				}
				sewn = true
				if [][]int{w.TimesA, w.TimesB}[k][i]*w.Seams >= p.Count*len(p.Outline.Edge(r.Edge)) {
					return false
				}
			}
		}
	}
	return sewn
}
