package curve

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// A segment shorter than these is a hair: once its ends are written to a
// ten-thousandth of a millimetre its direction is chance, and an allowance of
// a few centimetres square to it is off by more than can be forgiven.
const (
	// HairMM is the shortest segment that is read as one.
	HairMM = 0.05
	// StubMM is the shortest segment that may be made, a little more: what
	// is written can be read again as it was.
	StubMM = 0.06
)

// hairCornerDeg is the turn at which two hairs that follow each other are not
// one line.
const hairCornerDeg = 20

// WithoutHairs is a path without segments shorter than mm. Hairs that go on in
// one direction become one straight segment, and what stays too short goes to
// the neighbour whose direction is nearer to its own, which keeps its shape.
// So the path hardly moves by more than mm. The ends of an open path stay; a
// closed one stays closed. A path of one segment is left as it is.
func (p Path) WithoutHairs(mm float64) Path {
	closed := len(p) > 0 && p.Start() == p.End()
	for p.hasHair(mm) && len(p) > 1 {
		p = p.gathered(mm, closed).absorbed(mm, closed)
	}
	return p
}

func (p Path) hasHair(mm float64) bool {
	for _, s := range p {
		if s.Length() < mm {
			return true
		}
	}
	return false
}

// gathered makes one segment of hairs that go on in one direction, until it is
// no hair.
func (p Path) gathered(mm float64, closed bool) Path {
	goOn := func(a, b Segment) bool {
		return a.Length() < mm && b.Length() < mm && a.TurnDeg(b) < hairCornerDeg
	}
	var out Path
	for _, s := range p {
		if n := len(out); n > 0 && goOn(out[n-1], s) {
			out[n-1] = Line(out[n-1].P0, s.P1)
			continue
		}
		out = append(out, s)
	}
	if n := len(out); closed && n > 1 && goOn(out[n-1], out[0]) {
		out[0] = Line(out[n-1].P0, out[0].P1)
		out = out[:n-1]
	}
	return out
}

// absorbed joins each hair to the neighbour whose direction is nearer to its
// own: the neighbour is stretched to the hair's far end. In one pass a segment
// takes one hair at most. So a row of hairs, such as small steps, is thinned out
// evenly, and does not become one straight line.
func (p Path) absorbed(mm float64, closed bool) Path {
	out := append(Path{}, p...)
	got := make([]bool, len(out))
	for i := 0; i < len(out) && len(out) > 1; i++ {
		hair, n := out[i], len(out)
		if hair.Length() >= mm || got[i] {
			continue
		}
		before, after := (i+n-1)%n, (i+1)%n
		toBefore := i > 0 || closed
		if toBefore && (i < n-1 || closed) {
			toBefore = out[before].TurnDeg(hair) < hair.TurnDeg(out[after])
		}
		switch {
		case toBefore && !got[before]:
			out[before], got[before] = out[before].WithEnds(out[before].P0, hair.P1), true
		case !toBefore && !got[after]:
			out[after], got[after] = out[after].WithEnds(hair.P0, out[after].P1), true
		default:
			continue
		}
		out, got = append(out[:i], out[i+1:]...), append(got[:i], got[i+1:]...)
		i--
	}
	return out
}

// WithEnds is a segment with its ends moved a little and its shape kept.
func (s Segment) WithEnds(from, to orb.Point) Segment {
	if !s.Curved {
		return Line(from, to)
	}
	return Cubic(from, plane.Add(s.C0, plane.Sub(from, s.P0)), plane.Add(s.C1, plane.Sub(to, s.P1)), to)
}

// TurnDeg is the unsigned angle in degrees between the end of a segment and the
// start of the next.
func (s Segment) TurnDeg(next Segment) float64 {
	return math.Abs(plane.TurnDeg(s.Tangent(1), next.Tangent(0)))
}
