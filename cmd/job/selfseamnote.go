package job

import (
	"fmt"
	"slices"

	"eke/piece"
)

// selfSeamNote names a pair whose copies lie side by side along another piece's edge
// and that has no seam to itself, such as the two backs along a waistband: where the
// band may be pieced to meet that seam is then not known.
func selfSeamNote(pieces []*piece.Piece) string {
	for _, p := range pieces {
		for _, e := range p.Outline {
			for k := range len(e.Joins) - 1 {
				of := pieceNamed(pieces, e.Joins[k].Piece)
				if e.Joins[k] != e.Joins[k+1] || of == nil || of.Count < 2 || !of.Mirrored || sewnToItself(of) {
					continue
				}
				return fmt.Sprintf("%s of %s goes along both copies of %s, one beside the other, and no edge of %s says that they are sewn to each other; if they are, write joins: %s/EDGE on that edge, with its own name, so that seams can meet there",
					e.Name, p.Name, of.Name, of.Name, of.Name)
			}
		}
	}
	return ""
}

func pieceNamed(pieces []*piece.Piece, name string) *piece.Piece {
	if i := slices.IndexFunc(pieces, func(p *piece.Piece) bool { return p.Name == name }); i >= 0 {
		return pieces[i]
	}
	return nil
}

func sewnToItself(p *piece.Piece) bool {
	return slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
		return slices.Contains(e.Joins, piece.Ref{Piece: p.Name, Edge: e.Name})
	})
}
