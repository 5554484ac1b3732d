package allowance

import (
	"eke/piece"
	"eke/piece/curve"
)

// CutPath is CutLine for drawing: closed, clockwise, straight beside straight
// edges and fitted Béziers beside curves. It has CutLine's very corners. Beside
// a curve it keeps within 0.05 mm of the true line, on either side, and within
// 0.09 mm of CutLine, which is what is placed and proved.
func CutPath(o piece.Outline) (curve.Path, error) { return CutPathWith(o, Corners{}) }

// CutPathPiece is the cutting line of a piece for drawing, its darts' mouths
// shaped.
func CutPathPiece(p *piece.Piece) (curve.Path, error) {
	return CutPathWith(p.Outline, Corners{Darts: p.Darts})
}

// CutPathWith is CutPath with corners as r says.
func CutPathWith(o piece.Outline, r Corners) (curve.Path, error) {
	runs, err := cutRuns(o, r)
	if err != nil {
		return nil, err
	}
	var path curve.Path
	for _, r := range runs {
		path = append(path, r.line...)
	}
	return path, nil
}

func cutRuns(o piece.Outline, r Corners) ([]run, error) {
	sides, err := sidesOf(o)
	if err != nil {
		return nil, err
	}
	ring, along, err := cutLine(o, sides, r)
	if err != nil {
		return nil, err
	}
	return fitRuns(o, sides, ring, along), nil
}
