package split

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// Carried is the line across a piece that goes on from seams across its joins:
// from one mate to another, straight or in one smooth curve. From and To are
// places across and down the grain, From on the left; the rises are how steeply
// the line runs down there, mm a mm. At level 0 it runs through both.
type Carried struct {
	From, To         orb.Point
	RiseFrom, RiseTo float64
}

// CarriedStraight is the straight line between two places.
func CarriedStraight(from, to orb.Point) Carried {
	rise := (to[1] - from[1]) / (to[0] - from[0])
	return Carried{from, to, rise, rise}
}

// straight reports whether the line does not bend.
func (c Carried) straight() bool {
	rise := (c.To[1] - c.From[1]) / (c.To[0] - c.From[0])
	return math.Abs(c.RiseFrom-rise)+math.Abs(c.RiseTo-rise) < 1e-9
}

// kin is the way whose seams it is counted among.
func (c Carried) kin() Way {
	if c.straight() {
		return Yoke{}
	}
	return CurvedYoke{}
}

func (c Carried) Kind() string                 { return c.kin().Kind() }
func (c Carried) KindAt(*Body, float64) string { return c.Kind() }
func (Carried) Sides() (near, far string)      { return "upper", "lower" }
func (Carried) Traits() Traits                 { return Traits{Runs: Across} }
func (Carried) Welcome(*Body) []float64        { return []float64{0} }
func (Carried) Instead(*PiecingSeam) []Way     { return nil }

// Spans is where it cuts in two. It bends between the points of a straight side.
func (c Carried) Spans(b *Body) []Span {
	return spansOf(fine(b.Ring, true), b.Piece.Keeps, func(q orb.Point) float64 { return c.LevelOf(b, q) })
}

// Line goes on straight at both ends, past the body.
func (c Carried) Line(b *Body, levelMM float64) curve.Path {
	const past = 50.0 // wider than any allowance
	at := func(across, down float64) orb.Point { return b.Frame.At(across, down+levelMM) }
	left, right := math.Min(b.Lo[0], c.From[0])-past, math.Max(b.Hi[0], c.To[0])+past
	before := at(left, c.From[1]-c.RiseFrom*(c.From[0]-left))
	after := at(right, c.To[1]+c.RiseTo*(right-c.To[0]))
	if c.straight() {
		return curve.Polyline(before, after)
	}
	// A cubic whose controls lie a third of the way across is the graph of one.
	from, to, third := at(c.From[0], c.From[1]), at(c.To[0], c.To[1]), (c.To[0]-c.From[0])/3
	return curve.Path{
		curve.Line(before, from),
		curve.Cubic(from, at(c.From[0]+third, c.From[1]+c.RiseFrom*third), at(c.To[0]-third, c.To[1]-c.RiseTo*third), to),
		curve.Line(to, after),
	}
}

func (c Carried) LevelOf(b *Body, q orb.Point) float64 {
	across, down := b.Frame.Place(q)
	return down - c.down(across)
}

// down is how far down the line is, that far across: a cubic with the rises given
// at its ends (Hermite's), and straight past them.
func (c Carried) down(across float64) float64 {
	width := c.To[0] - c.From[0]
	t := (across - c.From[0]) / width
	switch {
	case t <= 0:
		return c.From[1] + c.RiseFrom*t*width
	case t >= 1:
		return c.To[1] + c.RiseTo*(t-1)*width
	}
	u := 1 - t
	return u*u*(1+2*t)*c.From[1] + t*t*(1+2*u)*c.To[1] + width*t*u*(u*c.RiseFrom-t*c.RiseTo)
}

// slantDeg is how far off the cross grain the line runs, from end to end.
func (c Carried) slantDeg() float64 {
	return math.Abs(math.Atan2(c.To[1]-c.From[1], c.To[0]-c.From[0])) * 180 / math.Pi
}

const (
	showsSlantDeg = 1.0 // a line that slants by less looks square to the grain
	pointsSlanted = 0.5 // a slanted cross seam is a little on the bias
)

func (c Carried) Called(_ string, line curve.Path, p *piece.Piece) string {
	name := acrossName(line, p)
	switch {
	case !c.straight():
		return "curved " + name
	case c.slantDeg() >= showsSlantDeg:
		return "slanted " + name
	}
	return name
}

func (c Carried) Cost(s *PiecingSeam, p *piece.Piece) (terms []Term, uneven bool) {
	if !c.straight() {
		terms, _ = CurvedYoke{}.Cost(s, p)
	}
	if c.slantDeg() >= showsSlantDeg {
		terms = append(terms, Term{Name: "slant", Detail: fmt.Sprintf("seam %s runs %.0f° off the cross grain", s.Name, c.slantDeg()), Points: pointsSlanted})
		uneven = true
	}
	return terms, uneven
}
