package split

import "eke/piece"

// ByHand cuts every part of a piece that the line crosses: the first line cuts
// the whole, the next what is left of it. It reports how many seams it added.
func (t *Tree) ByHand(p *piece.Piece, w Way, levelMM float64) int {
	return t.byHand(NewBody(p, p.Outline), w, levelMM)
}

func (t *Tree) byHand(b *Body, w Way, levelMM float64) int {
	if t.Way == nil {
		if len(Chords(b.Outline, w.Line(b, levelMM))) != 1 {
			return 0
		}
		t.Way, t.LevelMM, t.Near, t.Far = w, levelMM, &Tree{}, &Tree{}
		return 1
	}
	near, far, _, err := Cut(b.Outline, t.Way.Line(b, t.LevelMM), Seam{})
	if err != nil {
		return 0
	}
	return t.Near.byHand(NewBody(b.Piece, near), w, levelMM) + t.Far.byHand(NewBody(b.Piece, far), w, levelMM)
}
