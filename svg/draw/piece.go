package draw

import (
	"errors"
	"fmt"

	"eke/piece"
	"eke/piece/curve"
	"eke/split/plan"
)

// PieceShape is a whole pattern piece as it is drawn, with its cutting line
// given as a closed path in mm, whose curves stay curves.
func PieceShape(p *piece.Piece, cut curve.Path) (Shape, error) {
	of := &plan.Part{Name: p.Name, Piece: p.Name, Copy: 1, GrainDeg: p.GrainDeg}
	out := part{Part: of, cut: asWritten(cut), allowanceMM: piece.DefaultAllowanceMM}
	for i, e := range p.Outline {
		told := plan.Edge{Name: e.Name, Seam: e.Seam, AllowanceMM: e.AllowanceMM}
		for _, j := range e.Joins {
			told.Joins = append(told.Joins, j.String())
		}
		out.edges = append(out.edges, edge{Edge: told, path: asWritten(e.Line), says: edgeText(&told, nil, of)})
		for _, n := range e.Notches {
			at, toward := p.Outline.Out(i, n.AtMM)
			of.Notches = append(of.Notches, plan.Notch{At: plan.Point(at), For: e.Name, Count: n.Count, Toward: plan.Point(toward)})
		}
	}
	for _, d := range p.Darts {
		of.Darts = append(of.Darts, [3]plan.Point{plan.Point(d.Leg1), plan.Point(d.Apex), plan.Point(d.Leg2)})
	}
	for _, f := range p.FishEyes {
		var corners [4]plan.Point
		for k, q := range f.Corners() {
			corners[k] = plan.Point(q)
		}
		of.FishEyes = append(of.FishEyes, corners)
	}
	if err := errors.Join(follow(p.Name, out.edges), closed(p.Name, out.cut)); err != nil {
		return Shape{}, err
	}
	words := fmt.Sprintf("cut %d", max(1, p.Count))
	if p.Mirrored {
		words += ", half of them mirrored"
	}
	return out.shape(curve.Identity, inscription{words: []string{words}, edges: true}), nil
}

// PieceShapes is whole pattern pieces, each with its cutting line.
func PieceShapes(pieces []*piece.Piece, cuts []curve.Path) ([]Shape, error) {
	if len(pieces) != len(cuts) {
		return nil, fmt.Errorf("%d pieces were given with %d cutting lines", len(pieces), len(cuts))
	}
	out := make([]Shape, len(pieces))
	for i, p := range pieces {
		var err error
		if out[i], err = PieceShape(p, cuts[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// asWritten is a path to the ten-thousandth of a millimetre that path data has,
// so that a piece is drawn as the part is that is all of it.
func asWritten(p curve.Path) curve.Path { return roundedTo(p, 1e4) }
