package split

import (
	"fmt"
	"math"
	"strings"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Panel is a straight line along the grain. At the middle of a piece it is
// the centre seam. Its level is measured across the grain, left to right,
// from the page's origin.
type Panel struct {
	CentreOnly bool // nothing but the centre seam
}

// Centre is the kind of a panel down the middle of its piece.
const Centre = "centre"

func (p Panel) Kind() string {
	if p.CentreOnly {
		return Centre
	}
	return "panel"
}

func (Panel) Sides() (near, far string) { return "left", "right" }

func (p Panel) Spans(b *Body) []Span {
	spans := straightSpans(b, b.Frame.Right)
	if !p.CentreOnly {
		return spans
	}
	if c := CentreOf(b); In(spans, c) {
		return []Span{{c, c}}
	}
	return nil
}

func (Panel) Line(b *Body, levelMM float64) curve.Path {
	return curve.Polyline(b.Frame.At(levelMM, b.Hi[1]+10), b.Frame.At(levelMM, b.Lo[1]-10))
}

func (Panel) LevelOf(b *Body, q orb.Point) float64 {
	across, _ := b.Frame.Place(q)
	return across
}

// Welcome is the drawn levels that run along the grain, where seams of the
// garment meet a band, and the piece's centre.
func (Panel) Welcome(b *Body) []float64 {
	var out []float64
	for _, l := range b.Piece.Levels {
		across1, down1 := b.Frame.Place(l.Start())
		across2, down2 := b.Frame.Place(l.End())
		if dx, dy := across2-across1, down2-down1; dx*dx < dy*dy {
			out = append(out, (across1+across2)/2)
		}
	}
	return append(append(out, AtSeams(Panel{}, b)...), CentreOf(b))
}

func (p Panel) Traits() Traits {
	t := Traits{Runs: Along, Plain: true}
	if p.CentreOnly {
		t.Within = Panel{}.Kind()
	}
	return t
}

func (Panel) KindAt(b *Body, levelMM float64) string {
	if math.Abs(levelMM-CentreOf(b)) < 1 {
		return Centre
	}
	return Panel{}.Kind()
}

// Called is centre seam down the middle of a piece that is worn in the middle, and not
// down that of one front of two, or of a sleeve, nor of one on the bias.
func (Panel) Called(kind string, _ curve.Path, p *piece.Piece) string {
	switch {
	case onBias(p):
		return diagonalSeam
	case kind == Centre && !p.Mirrored && !p.SewnToItself():
		return "centre seam"
	}
	return "lengthwise seam"
}

func (Panel) Cost(s *PiecingSeam, p *piece.Piece) (terms []Term, uneven bool) {
	if s.Kind == Centre {
		runs := "down"
		if onBias(p) {
			runs = "through"
		}
		return []Term{{Name: Panel{}.Called(Centre, nil, p), Detail: fmt.Sprintf("seam %s runs %s the middle of %s", s.Name, runs, p.ID()), Points: pointsCentre}}, false
	}
	return nil, true
}

func (Panel) Instead(*PiecingSeam) []Way { return nil }

// FromCentre is the level of a panel seam so far from the centre of the
// garment: to the right of the fold, as the piece was drawn; into the piece from
// the edge that is its centre; or right of its middle, where it has neither.
func FromCentre(b *Body, mm float64) float64 {
	if b.Piece.Centre == nil {
		if level, ok := centreEdge(b); ok {
			return level + math.Copysign(mm, (b.Lo[0]+b.Hi[0])/2-level)
		}
	}
	if b.Piece.Flipped {
		mm = -mm
	}
	return CentreOf(b) + mm
}

// centreEdge is where across the grain the one edge lies that is named for the
// centre of the garment and runs along the grain.
func centreEdge(b *Body) (level float64, found bool) {
	const slant = 0.1 // a shaped centre back is that far off the grain, not more
	for _, e := range b.Piece.Outline {
		if !strings.HasPrefix(e.Name, "centre") && !strings.HasPrefix(e.Name, "center") {
			continue
		}
		a1, d1 := b.Frame.Place(e.Line.Start())
		a2, d2 := b.Frame.Place(e.Line.End())
		switch {
		case math.Abs(a2-a1) > slant*math.Abs(d2-d1):
		case found:
			return 0, false
		default:
			level, found = (a1+a2)/2, true
		}
	}
	return level, found
}

// CentreOf is the level of a body's centre seam: the fold it was unfolded
// about, where that runs along the grain, or else half its width.
func CentreOf(b *Body) float64 {
	if c := b.Piece.Centre; c != nil {
		a1, d1 := b.Frame.Place(c.A)
		a2, d2 := b.Frame.Place(c.B)
		if math.Abs(a2-a1) < 0.02*math.Abs(d2-d1) {
			return (a1 + a2) / 2
		}
	}
	return (b.Lo[0] + b.Hi[0]) / 2
}
