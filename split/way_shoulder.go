package split

import (
	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Shoulder is a straight line across the grain over one side of a piece only,
// above the lowest point of its neckline: it cuts a shoulder off. Its level is
// measured as that of a yoke. Outside the piece the line turns up through the
// opening of the neck, AtMM across.
type Shoulder struct {
	Right bool
	AtMM  float64
}

func (Shoulder) Kind() string                                         { return Yoke{}.Kind() }
func (Shoulder) Sides() (near, far string)                            { return "upper", "lower" }
func (Shoulder) KindAt(*Body, float64) string                         { return Yoke{}.Kind() }
func (Shoulder) Welcome(*Body) []float64                              { return nil }
func (Shoulder) Traits() Traits                                       { return Traits{Runs: Across} }
func (Shoulder) Instead(*PiecingSeam) []Way                           { return nil }
func (Shoulder) Cost(*PiecingSeam, *piece.Piece) ([]Term, bool)       { return nil, false }
func (Shoulder) LevelOf(b *Body, q orb.Point) float64                 { return Yoke{}.LevelOf(b, q) }
func (Shoulder) Called(_ string, l curve.Path, p *piece.Piece) string { return acrossName(l, p) }

func (w Shoulder) Line(b *Body, levelMM float64) curve.Path {
	top, turn := b.Frame.At(w.AtMM, b.Lo[1]-10), b.Frame.At(w.AtMM, levelMM)
	if w.Right {
		return curve.Polyline(top, turn, b.Frame.At(b.Hi[0]+10, levelMM))
	}
	return curve.Polyline(b.Frame.At(b.Lo[0]-10, levelMM), turn, top)
}

// Spans are those of a yoke over that side of the body.
func (w Shoulder) Spans(b *Body) []Span {
	far := w.AtMM
	var side orb.Ring
	for i, q := range b.Ring {
		next := b.Ring[(i+1)%len(b.Ring)]
		a, _ := b.Frame.Place(q)
		c, _ := b.Frame.Place(next)
		if (a > far) == w.Right {
			side = append(side, q)
		}
		if (a > far) != (c > far) {
			t := (far - a) / (c - a)
			side = append(side, orb.Point{q[0] + t*(next[0]-q[0]), q[1] + t*(next[1]-q[1])})
		}
	}
	if len(side) < 3 {
		return nil
	}
	return spansOf(side, b.Piece.Keeps, func(q orb.Point) float64 { return w.LevelOf(b, q) })
}
