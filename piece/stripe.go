package piece

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Stripe is how the stripes of a cloth run. They are counted from the top of its
// outline down, square to them; where that is level rather than upright, from the
// left. FirstMM is to the middle of the first stripe: so the stripes are in the
// same places again when the cloth is turned round.
type Stripe struct {
	RepeatMM float64 // from one stripe to the next one like it; 0 for cloth without stripes
	FirstMM  float64
	Along    bool // along the grain, and not across it
}

// Striped reports whether the cloth says that it has stripes.
func (s *Scrap) Striped() bool { return s.Stripe.RepeatMM > 0 }

// AcrossStripes is the unit vector square to stripes, in the direction in which
// they are counted.
func AcrossStripes(grainDeg float64, along bool) orb.Point {
	if along {
		grainDeg += 90
	}
	sin, cos := math.Sincos(grainDeg * math.Pi / 180)
	if math.Abs(sin) >= math.Abs(cos) && sin < 0 || math.Abs(sin) < math.Abs(cos) && cos < 0 {
		sin, cos = -sin, -cos
	}
	return orb.Point{cos, sin}
}

// Top is where an outline begins, in mm from the origin of its coordinates, in the
// direction in which its stripes are counted.
func (s Stripe) Top(outline orb.Ring, grainDeg float64) float64 {
	across, top := AcrossStripes(grainDeg, s.Along), math.Inf(1)
	for _, q := range outline {
		top = math.Min(top, plane.Dot(q, across))
	}
	return top
}

// On are the stripes as they are counted on another outline that lies on the same
// cloth, such as a bit of it.
func (s Stripe) On(outline, was orb.Ring, grainDeg float64) Stripe {
	if s.RepeatMM <= 0 {
		return s
	}
	first := math.Mod(s.Top(was, grainDeg)+s.FirstMM-s.Top(outline, grainDeg), s.RepeatMM)
	if first < 0 {
		first += s.RepeatMM
	}
	s.FirstMM = first
	return s
}

// StripePlace is where stripes are to run on a piece, so that they meet those of
// its neighbours. It is asked of cloth whose repeat is RepeatMM, or goes into that
// a whole number of times.
type StripePlace struct {
	RepeatMM float64
	Along    bool
	AtMM     float64 // a stripe's middle, from the origin of the piece's coordinates, in the direction of StripesOf
	Linked   bool    // it is to come from such cloth and no other
	Loose    bool    // whole, it may have its stripes anywhere
}

// StripesOf is the unit vector of a piece along which its StripePlace is measured:
// along its grain for stripes across that, and square to it for others.
func (p *Piece) StripesOf(along bool) orb.Point {
	deg := p.GrainDeg
	if along {
		deg -= 90
	}
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return orb.Point{cos, sin}
}

// Tied is the piece when it is cut in parts: these have their stripes in one
// place.
func (p *Piece) Tied() *Piece {
	if p.Stripes == nil || !p.Stripes.Loose {
		return p
	}
	tied, place := *p, *p.Stripes
	place.Loose = false
	tied.Stripes = &place
	return &tied
}

// WholeMultiple reports whether one repeat goes into another a whole number of
// times.
func WholeMultiple(repeatMM, ofMM float64) bool {
	n := repeatMM / ofMM
	return n > 0.5 && math.Abs(n-math.Round(n)) < 1e-6
}

// StripeRule keeps a piece whose stripes are to meet others to cloth that has such
// stripes.
type StripeRule struct{}

func (StripeRule) MayCut(p *Piece, s *Scrap) bool {
	at := p.Stripes
	switch {
	case at == nil:
		return true
	case !s.Striped():
		return !at.Linked
	case at.Loose:
		return true
	}
	return s.Stripe.Along == at.Along && WholeMultiple(at.RepeatMM, s.Stripe.RepeatMM)
}

func (StripeRule) String() string { return "stripes" }
