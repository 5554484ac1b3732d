package piece

import (
	"fmt"
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Scrap is a piece of cloth at hand, a single layer, right side up.
type Scrap struct {
	Name      string
	File      string // where it was described, for messages
	Fabric    string
	Kind      string   // "knit", "woven" or empty
	Look      string   // what the eye takes it for, where that is not its fabric; see TheLook
	Use       string   // "lining" for cloth that is set apart for it, or empty
	Shrink    float64  // in percent, along the grain and across it, when it is washed
	Stripe    Stripe   // none if zero
	Outline   orb.Ring // clockwise on the page, no closing repeat
	Holes     []orb.Ring
	GrainDeg  float64
	Nap       bool // one-way pile or print: the grain has a direction
	NoNap     bool // the maker says that it has none
	BothFaces bool // no right side: a part may be turned over
	Note      string
	Colour    string   // a CSS colour, or empty
	Notes     []string // what the reader assumed
	SavedOf   string   // the spoilt part that it is a rest of, or empty

	Count int
	Copy  int // 1, 2, … among its Count
}

// ID names one copy of a scrap.
func (s *Scrap) ID() string {
	if s.Count <= 1 {
		return s.Name
	}
	return fmt.Sprintf("%s %d", s.Name, s.Copy)
}

// Washed is the scrap as it will be once it is washed, smaller along the grain
// and across it. It still says by how much.
func (s *Scrap) Washed() Scrap {
	out := *s
	to := 1 - s.Shrink/100
	smaller := func(r orb.Ring) orb.Ring {
		ring := make(orb.Ring, len(r))
		for i, q := range r {
			ring[i] = plane.Scale(q, to)
		}
		return ring
	}
	out.Outline, out.Holes = smaller(s.Outline), nil
	out.Stripe.RepeatMM, out.Stripe.FirstMM = s.Stripe.RepeatMM*to, s.Stripe.FirstMM*to
	for _, h := range s.Holes {
		out.Holes = append(out.Holes, smaller(h))
	}
	return out
}

// AreaMM2 is the area of the cloth, holes taken off.
func (s *Scrap) AreaMM2() float64 {
	area := plane.SignedArea(s.Outline)
	for _, h := range s.Holes {
		a := plane.SignedArea(h)
		if a < 0 {
			a = -a
		}
		area -= a
	}
	return area
}

// Copies is every copy of the scrap.
func (s *Scrap) Copies() []*Scrap {
	n := max(1, s.Count)
	out := make([]*Scrap, n)
	for i := range out {
		c := *s
		c.Copy = i + 1
		out[i] = &c
	}
	return out
}

// TheLook is what the eye takes a scrap for: its look, else its fabric, else its
// name.
func (s *Scrap) TheLook() string {
	for _, l := range []string{s.Look, s.Fabric} {
		if l != "" {
			return l
		}
	}
	return s.Name
}

// GrainIn is a line along the grain, well inside a scrap's outline.
func (s *Scrap) GrainIn() (a, b orb.Point) {
	box := s.Outline.Bound()
	mid, room := box.Center(), 0.0
	const n = 16
	for i := range n * n {
		q := orb.Point{box.Min[0] + (float64(i%n)+0.5)/n*(box.Max[0]-box.Min[0]), box.Min[1] + (float64(i/n)+0.5)/n*(box.Max[1]-box.Min[1])}
		if d := plane.ToRing(s.Outline, q); d > room && plane.Holds(s.Outline, q) {
			mid, room = q, d
		}
	}
	long := math.Max(3, 0.9*room)
	sin, cos := math.Sincos(s.GrainDeg * math.Pi / 180)
	return orb.Point{mid[0] - long*cos, mid[1] - long*sin}, orb.Point{mid[0] + long*cos, mid[1] + long*sin}
}
