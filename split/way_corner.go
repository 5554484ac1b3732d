package split

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Corner is a straight line at a slant, for a piece of which only a corner
// hangs off the scrap. Its level is the distance along the direction Deg, in
// degrees clockwise from across the grain; near is what lies before the line.
type Corner struct{ Deg float64 }

func (Corner) Kind() string              { return "corner" }
func (Corner) Sides() (near, far string) { return "corner", "main" }

func (c Corner) dir(b *Body) orb.Point {
	sin, cos := math.Sincos(c.Deg * math.Pi / 180)
	return b.Frame.At(cos, sin)
}

func (c Corner) Spans(b *Body) []Span { return straightSpans(b, c.dir(b)) }

func (c Corner) Line(b *Body, levelMM float64) curve.Path {
	d := c.dir(b)
	mid := b.Frame.At((b.Lo[0]+b.Hi[0])/2, (b.Lo[1]+b.Hi[1])/2)
	off := levelMM - (mid[0]*d[0] + mid[1]*d[1])
	reach := b.Hi[0] - b.Lo[0] + b.Hi[1] - b.Lo[1] + 20
	foot := orb.Point{mid[0] + off*d[0], mid[1] + off*d[1]}
	along := orb.Point{d[1], -d[0]} // near, against d, lies on its left
	return curve.Polyline(
		orb.Point{foot[0] - reach*along[0], foot[1] - reach*along[1]},
		orb.Point{foot[0] + reach*along[0], foot[1] + reach*along[1]})
}

func (c Corner) LevelOf(b *Body, q orb.Point) float64 {
	d := c.dir(b)
	return q[0]*d[0] + q[1]*d[1]
}

func (Corner) Traits() Traits                                 { return Traits{Runs: Slanting} }
func (c Corner) KindAt(*Body, float64) string                 { return c.Kind() }
func (Corner) Called(string, curve.Path, *piece.Piece) string { return "corner seam" }
func (Corner) Instead(*PiecingSeam) []Way                     { return nil }

func (Corner) Cost(s *PiecingSeam, _ *piece.Piece) (terms []Term, uneven bool) {
	return []Term{{Name: "slant", Detail: fmt.Sprintf("seam %s runs at a slant", s.Name), Points: pointsSlant}}, true
}

// Welcome is nothing: a corner goes where the cloth ends.
func (Corner) Welcome(*Body) []float64 { return nil }
