package allowance

import (
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// The limits of trueing. (Common practice, no source.)
const (
	smoothDeg = 1.0  // a smaller corner is none
	trueMM    = 1.0  // the trued line keeps this near to the drawn one
	leastRun  = 20.0 // mm on each side of the corner; a shorter blend is a bump
	mostRun   = 80.0
)

// Trued is what trueing found at one place and what it did.
type Trued struct {
	At        orb.Point
	CornerDeg float64 // how sharply the line turned there
	MovedMM   float64 // how far the line was moved at most; 0 if it was left
	Left      bool    // the corner is more than can be smoothed within 1 mm, and is as it was
}

// True smooths the line that runs on from edge i of an outline to the next,
// where a cut or a moved seam has put a corner into it. The trued line is
// within 1 mm of the drawn one; a corner that would need more is reported and
// left. o itself is not changed.
func True(o piece.Outline, i int) (piece.Outline, Trued) {
	j := (i + 1) % len(o)
	a, b := o[i].Line, o[j].Line
	t := Trued{At: b.Start(), CornerDeg: turnDeg(a, b)}
	if t.CornerDeg < smoothDeg || i == j {
		return o, t
	}
	head, tail, moved, ok := blend(a, b)
	if !ok {
		t.Left = true
		return o, t
	}
	t.MovedMM = moved
	out := append(piece.Outline{}, o...)
	out[i], out[j] = reshaped(o[i], head, false), reshaped(o[j], tail, true)
	return out, t
}

// turnDeg is the angle without sign by which b turns from the end of a.
func turnDeg(a, b curve.Path) float64 {
	return a[len(a)-1].TurnDeg(b[0])
}

// blend draws one smooth line in place of the end of a and the start of b, and
// divides it at the point nearest to the corner. It takes the longest stretch
// on either side for which the line stays within trueMM of what was drawn.
func blend(a, b curve.Path) (head, tail curve.Path, movedMM float64, ok bool) {
	first, second := a.Ruler(), b.Ruler()
	la, lb := first.Length(), second.Length()
	corner := b.Start()
	for run := math.Min(mostRun, 0.6*math.Min(la, lb)); run >= leastRun; run *= 0.9 {
		p, from := first.At(la - run)
		q, to := second.At(run)
		smooth := curve.Path{curve.Cubic(p, plane.Along(p, from, run*0.8), plane.Along(q, to, -run*0.8), q)}.Ruler()
		at, movedMM := smooth.Nearest(corner)
		if movedMM > trueMM {
			continue
		}
		drawn := append(first.Between(la-run, la), second.Between(0, run)...)
		for k := 0; k < 33 && movedMM <= trueMM; k++ {
			s, _ := smooth.At(smooth.Length() * float64(k) / 32)
			_, away := drawn.Nearest(s)
			movedMM = math.Max(movedMM, away)
		}
		if movedMM > trueMM {
			continue
		}
		head = append(first.Between(0, la-run), smooth.Between(0, at)...)
		tail = append(smooth.Between(at, smooth.Length()), second.Between(run, lb)...)
		return head, tail, movedMM, true
	}
	return nil, nil, 0, false
}

// reshaped is the edge with a new line, its notches as far as they were from
// the end that did not change.
func reshaped(e piece.Edge, line curve.Path, startChanged bool) piece.Edge {
	notches := append([]piece.Notch(nil), e.Notches...)
	length := line.Length()
	if startChanged {
		longer := length - e.Line.Length()
		for i := range notches {
			notches[i].AtMM += longer
		}
	}
	for i := range notches {
		notches[i].AtMM = math.Max(0, math.Min(length, notches[i].AtMM))
	}
	e.Line, e.Notches = line, notches
	return e
}

// AcrossDeg is how sharply the lines that run on across a seam turn there,
// where edge i of a is sewn to edge j of b: at the start and at the end of
// edge i, in degrees.
func AcrossDeg(a piece.Outline, i int, b piece.Outline, j int) (atStart, atEnd float64) {
	before, after := (i+len(a)-1)%len(a), (i+1)%len(a)
	return turnDeg(a[before].Line, laid(a, i, b, j, false)[(j+1)%len(b)].Line),
		turnDeg(laid(a, i, b, j, true)[(j+len(b)-1)%len(b)].Line, a[after].Line)
}

// TrueAcross smooths the lines that run on across a seam, where edge i of a is
// sewn to edge j of b, as True does within one outline: at the start of edge i
// and at its end. The seam's ends move with the smoothed line, alike on both
// edges. Places are given on a.
func TrueAcross(a piece.Outline, i int, b piece.Outline, j int) (trueA, trueB piece.Outline, found [2]Trued) {
	a, b = append(piece.Outline{}, a...), append(piece.Outline{}, b...)
	for end := range found {
		// The line comes from one outline and runs on along the other.
		there := laid(a, i, b, j, end == 1)
		back := curve.Align(there[j].Line.Start(), there[j].Line.End(), b[j].Line.Start(), b[j].Line.End())
		from, to := a, there
		f, t, seamFrom, seamTo := (i+len(a)-1)%len(a), (j+1)%len(b), i, j
		if end == 1 {
			from, to = there, a
			f, t, seamFrom, seamTo = (j+len(b)-1)%len(b), (i+1)%len(a), j, i
		}
		found[end] = Trued{At: to[t].Line.Start(), CornerDeg: turnDeg(from[f].Line, to[t].Line)}
		if found[end].CornerDeg < smoothDeg {
			continue
		}
		head, tail, moved, ok := blend(from[f].Line, to[t].Line)
		if !ok {
			found[end].Left = true
			continue
		}
		found[end].MovedMM = moved
		from[f], to[t] = reshaped(from[f], head, false), reshaped(to[t], tail, true)
		from[seamFrom] = reshaped(from[seamFrom], endMoved(from[seamFrom].Line, head.End(), true), true)
		to[seamTo] = reshaped(to[seamTo], endMoved(to[seamTo].Line, head.End(), false), false)
		b = there.Transform(back)
	}
	return a, b, found
}

// endMoved is a line with its start or its end moved to q, a little away.
func endMoved(line curve.Path, q orb.Point, start bool) curve.Path {
	out := append(curve.Path{}, line...)
	if start {
		out[0] = out[0].WithEnds(q, out[0].P1)
	} else {
		out[len(out)-1] = out[len(out)-1].WithEnds(out[len(out)-1].P0, q)
	}
	return out
}

// laid is b as it lies when its edge j is sewn to edge i of a, near the end of
// edge i or near its start.
func laid(a piece.Outline, i int, b piece.Outline, j int, end bool) piece.Outline {
	e, f := a[i].Line, b[j].Line
	if end {
		return b.Transform(curve.Align(f.Start(), plane.Add(f.Start(), f[0].Tangent(0)), e.End(), plane.Sub(e.End(), e[len(e)-1].Tangent(1))))
	}
	return b.Transform(curve.Align(f.End(), plane.Sub(f.End(), f[len(f)-1].Tangent(1)), e.Start(), plane.Add(e.Start(), e[0].Tangent(0))))
}
