package job

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
)

// sizeNote doubts a pattern whose largest piece is too small, or too large, to be
// worn: its page says another unit than it was drawn in. Between lie a doll's
// sleeve and a coat with a train.
func sizeNote(pieces []*piece.Piece) string {
	const smallMM, largeMM = 100.0, 3000.0
	var largest *piece.Piece
	most := 0.0
	for _, p := range pieces {
		b := p.Outline.Ring().Bound()
		if long := max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]); long > most {
			most, largest = long, p
		}
	}
	if largest == nil {
		return ""
	}
	said, otherwise := "", "otherwise"
	switch {
	case most < smallMM || most > largeMM:
	case most < leastOnABodyMM(pieces):
		said, otherwise = ", and hardly a newborn fits a garment whose front and back are no longer", "larger"
	default:
		return ""
	}
	return fmt.Sprintf("the largest piece, %s, is %.4g cm long%s; if you drew it %s, the width and height of the page, or its viewBox, say another unit: check them before you cut", largest.Name, most/10, said, otherwise)
}

// leastOnABodyMM is how long the largest piece is at least of a garment with these pieces
// that a newborn wears, and one born early may: of a top the back, of shorts a leg. It is 0
// where no front and back are named with an edge that only a body has, for a bag has a
// front and a back, too, and where a name says that the garment is a toy's or a cup's.
// (From memory.)
func leastOnABodyMM(pieces []*piece.Piece) float64 {
	const topMM, shortsMM = 200.0, 150.0
	if slices.ContainsFunc(pieces, func(p *piece.Piece) bool {
		return slices.ContainsFunc([]string{"doll", "toy", "teddy", "cup", "wing"}, func(w string) bool { return strings.Contains(strings.ToLower(p.Name), w) })
	}) {
		return 0
	}
	has := func(edges ...string) bool {
		return !slices.ContainsFunc([]string{"front", "back"}, func(of string) bool {
			return !slices.ContainsFunc(pieces, func(p *piece.Piece) bool {
				return strings.Contains(strings.ToLower(p.Name), of) && piece.TrimWord(p.Name) == "" && slices.ContainsFunc(p.Outline, func(e piece.Edge) bool {
					return slices.ContainsFunc(edges, func(name string) bool { return strings.Contains(strings.ToLower(e.Name), name) })
				})
			})
		})
	}
	switch {
	case has("shoulder", "armhole", "raglan"):
		return topMM
	case has("crotch", "inseam"):
		return shortsMM
	}
	return 0
}
