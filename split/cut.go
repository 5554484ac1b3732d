package split

import (
	"errors"
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// ErrMisses is returned for a line that does not cut the outline in two: it
// passes beside it, runs along an edge, or would leave more than two parts.
var ErrMisses = errors.New("the line does not cut the piece in two parts")

// Seam is what a cut writes on both new edges.
type Seam struct {
	Name        string // its letter
	AllowanceMM float64
	Notches     []piece.Notch // distances along the seam's line from its start
}

// Cut cuts an outline along a line that starts and ends outside it. Near is
// the part on the left of the line's direction, far the one on its right; the
// seam is the stretch of the line inside. All three keep their curves.
func Cut(o piece.Outline, line curve.Path, s Seam) (near, far piece.Outline, seam curve.Path, err error) {
	chords := Chords(o, line)
	if len(chords) != 1 {
		return nil, nil, nil, fmt.Errorf("%w (it crosses the piece in %d places)", ErrMisses, len(chords))
	}
	near, far, seam = cutAlong(o, line, chords[0], s)
	return near, far, seam, nil
}

// offStubs moves the ends of a chord that would leave a stub to where the
// segment of the edge ends.
func offStubs(o piece.Outline, c Chord) Chord {
	settled := c
	path, round := o.Path(), o.Length()
	for _, x := range []*curve.Crossing{&settled.From, &settled.To} {
		at, was, least := 0.0, x.OnP, curve.StubMM
		for _, s := range path {
			off := math.Abs(was - at)
			if off = math.Min(off, round-off); off < least {
				least, x.OnP, x.At = off, at, s.P0
			}
			at += s.Length()
		}
	}
	if settled.From.OnP == settled.To.OnP {
		return c
	}
	return settled
}

func cutAlong(o piece.Outline, line curve.Path, c Chord, s Seam) (near, far piece.Outline, seam curve.Path) {
	c = offStubs(o, c)
	seam = line.Between(c.From.OnQ, c.To.OnQ)
	// The ends on the outline, so that near, far and seam share their points.
	seam[0].P0, seam[len(seam)-1].P1 = c.From.At, c.To.At
	edge := piece.Edge{Line: seam, Seam: s.Name, AllowanceMM: s.AllowanceMM, Notches: s.Notches}
	near = close(between(o, c.From.OnP, c.To.OnP), edge.Reverse())
	far = close(between(o, c.To.OnP, c.From.OnP), edge)
	return near, far, seam
}

// Chord is a stretch of a line that runs inside an outline.
type Chord struct{ From, To curve.Crossing }

// Chords finds where a line runs inside an outline, in order along the line.
func Chords(o piece.Outline, line curve.Path) []Chord {
	crossings := curve.Crossings(o.Path(), line)
	if len(crossings) < 2 {
		return nil
	}
	ring := o.Ring()
	ring = append(ring, ring[0])
	var out []Chord
	for i := 1; i < len(crossings); i++ {
		a, b := crossings[i-1], crossings[i]
		if b.OnQ-a.OnQ < 1e-6 {
			continue
		}
		mid, _ := line.At((a.OnQ + b.OnQ) / 2)
		if !planar.RingContains(ring, mid) || onOutline(o, mid) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].To.OnQ > a.OnQ-1e-6 {
			out[n-1].To = b // the line only touched the outline between
			continue
		}
		out = append(out, Chord{a, b})
	}
	return out
}

// onOutline reports whether the middle of a chord lies on the outline, or so
// near that with its ends off stubs it would.
func onOutline(o piece.Outline, q orb.Point) bool {
	for _, e := range o {
		box := e.Line.Bound().Pad(0.1)
		if !box.Contains(q) {
			continue
		}
		if _, away := e.Line.Nearest(q); away < curve.StubMM+0.01 {
			return true
		}
	}
	return false
}

// between is the open run of edges from from to to, in mm round the outline,
// past its start if need be.
func between(o piece.Outline, from, to float64) piece.Outline {
	round := 0.0
	lengths := make([]float64, len(o))
	for i, e := range o {
		lengths[i] = e.Line.Length()
		round += lengths[i]
	}
	if to <= from {
		to += round
	}
	var out piece.Outline
	at := 0.0
	for range 2 {
		for i, e := range o {
			l := lengths[i]
			lo, hi := math.Max(from-at, 0), math.Min(to-at, l)
			if hi-lo > 1e-6 {
				if lo <= 1e-9 && hi >= l-1e-9 {
					out = append(out, e)
				} else if part := e.Between(lo, hi); len(part.Line) > 0 {
					out = append(out, part)
				}
			}
			at += l
		}
	}
	return out
}

// close makes a closed outline of a run of edges and the edge that leads from
// its end to its start, the ends made to meet exactly.
func close(run piece.Outline, last piece.Edge) piece.Outline {
	out := append(append(piece.Outline{}, run...), last)
	for i := range out {
		line := append(curve.Path{}, out[i].Line...)
		out[i].Line = line
	}
	for i := range out {
		next := out[(i+1)%len(out)].Line
		end := &out[i].Line[len(out[i].Line)-1]
		if i == len(out)-1 {
			next[0].P0 = end.P1
		} else {
			end.P1 = next[0].P0
		}
	}
	return out
}
