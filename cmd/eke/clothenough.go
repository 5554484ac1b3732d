package main

import (
	"math"

	"eke/piece"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// clothEnough lays each part on a scrap of its own, the least rectangle along
// the grain that holds it, in whole millimetres: what a maker who has no
// scraps yet must look for.
func clothEnough(m *split.Made) []*piece.Scrap {
	var out []*piece.Scrap
	for i, part := range m.Parts {
		p := m.Plan.Pieces[part.Piece]
		at := fit.Placement{Deg: 90 - p.GrainDeg} // upright
		box := at.Apply(part.Cut).Bound()
		width, length := math.Ceil(box.Max[0]-box.Min[0]), math.Ceil(box.Max[1]-box.Min[1])
		at.DX = width/2 - box.Center()[0]
		at.DY = length/2 - box.Center()[1]
		part.Leaf.Scrap, part.Leaf.Placement = i, at
		cloth := &piece.Scrap{
			Name:     "cloth for " + part.Name,
			Outline:  orb.Ring{{0, 0}, {width, 0}, {width, length}, {0, length}},
			GrainDeg: 90, Kind: p.Kind, Use: p.Use, Count: 1, Copy: 1,
		}
		if len(p.Fabrics) > 0 {
			cloth.Fabric = p.Fabrics[0]
		}
		out = append(out, cloth)
	}
	return out
}
