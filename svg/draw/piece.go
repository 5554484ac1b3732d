package draw

import (
	"fmt"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/plan"
)

// PieceShape is a whole pattern piece as it is drawn, with its cutting line
// given as a closed path in mm, whose curves stay curves.
func PieceShape(p *piece.Piece, cut curve.Path) (Shape, error) {
	part := plan.Part{Name: p.Name, Piece: p.Name, Copy: 1, GrainDeg: p.GrainDeg, CutD: cut.D()}
	for _, q := range cut.Flatten(curve.FlattenMM) {
		part.CutLine = append(part.CutLine, plan.Point(q))
	}
	for _, e := range p.Outline {
		edge := plan.Edge{Name: e.Name, Seam: e.Seam, AllowanceMM: e.AllowanceMM, LengthMM: e.Line.Length(), D: e.Line.D()}
		for _, j := range e.Joins {
			edge.Joins = append(edge.Joins, j.String())
		}
		part.Edges = append(part.Edges, edge)
		for _, n := range e.Notches {
			at, dir := e.Line.At(n.AtMM)
			part.Notches = append(part.Notches, plan.Notch{At: plan.Point(at), For: e.Name, Count: n.Count, Toward: plan.Point{dir[1], -dir[0]}})
		}
	}
	for _, d := range p.Darts {
		part.Darts = append(part.Darts, [3]plan.Point{plan.Point(d.Leg1), plan.Point(d.Apex), plan.Point(d.Leg2)})
	}
	for _, f := range p.FishEyes {
		var corners [4]plan.Point
		for k, q := range f.Corners() {
			corners[k] = plan.Point(q)
		}
		part.FishEyes = append(part.FishEyes, corners)
	}
	words := fmt.Sprintf("cut %d", max(1, p.Count))
	if p.Mirrored {
		words += ", half of them mirrored"
	}
	d := &plan.Document{Settings: plan.Settings{AllowanceMM: piece.DefaultAllowanceMM}}
	return partShape(d, &plan.Option{}, &part, curve.Identity, inscription{words: []string{words}, edges: true})
}
