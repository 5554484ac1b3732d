package split

import "eke/piece"

// ByHand cuts every part of a piece that the line crosses: the first line cuts
// the whole, the next what is left of it. Darts whose apex is within takeInMM
// of the line are taken into the seam. It returns how many seams it
// added, 0 where the line misses the piece.
func (t *Tree) ByHand(p *piece.Piece, w Way, levelMM, takeInMM float64) int {
	return t.byHand(NewBody(p, p.Outline), w, levelMM, takeInMM)
}

func (t *Tree) byHand(b *Body, w Way, levelMM, takeInMM float64) int {
	if t.Way == nil {
		if len(Chords(b.Outline, w.Line(b, levelMM))) != 1 {
			return 0
		}
		t.Way, t.LevelMM, t.TakeInMM, t.Near, t.Far = w, levelMM, takeInMM, &Tree{}, &Tree{}
		return 1
	}
	line := t.Way.Line(b, t.LevelMM)
	chords := Chords(b.Outline, line)
	if len(chords) != 1 {
		return 0
	}
	h := halve(b, line, chords[0], Seam{Name: "?"}, t.TakeInMM)
	return t.Near.byHand(h.near, w, levelMM, takeInMM) + t.Far.byHand(h.far, w, levelMM, takeInMM)
}
