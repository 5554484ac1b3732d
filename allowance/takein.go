package allowance

import (
	"errors"
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// TakeInMM is how far a dart's apex may usually be moved onto a piecing seam
// for the seam to take the dart in.
const TakeInMM = 15

// ErrAway is returned where a piecing seam passes too far from a dart's apex,
// or elsewhere through the dart, to take it in.
var ErrAway = errors.New("the seam does not pass near the dart's apex")

// Taken is a dart taken into a piecing seam.
type Taken struct {
	Near, Far piece.Outline // the two parts, the dart gone
	Dart      piece.Dart    // as it was sewn into the seam: its apex is on it
	MovedMM   float64       // how far the apex, or the mouth, was moved for that
	AngleDeg  float64       // the dart's intake
	SeamMM    float64       // the sewn length of the seam, the same on both parts
	Trued     Trued         // the line across the closed mouth, where one part holds both its sides

	// Where one part held the whole dart, what lay in Turned, in place of it
	// or of the part, was turned about the apex with its outline.
	Turned  orb.Ring
	Turning curve.Matrix
}

// Carry takes a point of the piece, such as the apex of another dart, to
// where it lies on the part now.
func (t Taken) Carry(q orb.Point) orb.Point {
	if len(t.Turned) > 0 && planar.RingContains(t.Turned, q) {
		return t.Turning.Apply(q)
	}
	return q
}

// TakeIn closes a dart and puts its intake into a piecing seam onto which its
// apex can be moved by no more than withinMM. near and far are the two parts of a piece,
// each with one edge whose Seam is seam; d is a dart of the whole piece.
//
// Where the seam passes across the dart's point, the part that holds the
// dart's mouth is cut along the legs, and its smaller side turned about the
// apex until the legs meet. Its edge of the seam is then bent by the dart's
// angle and as long as before. Where the seam runs down the dart and out of
// its mouth, no part is turned: each side's edge of the seam follows its own
// leg, and what lay between the legs is gone. Either way the apex is first
// moved onto the seam: along it or the dart's own middle line, to where both
// legs are equally long, or where that is too far as near to there as may be,
// if the legs then differ by no more than a maker eases in.
//
// ErrAway is returned for a dart that the seam cannot take in.
func TakeIn(near, far piece.Outline, seam string, d piece.Dart, withinMM float64) (Taken, error) {
	parts := [2]piece.Outline{near, far}
	var at [2]int
	for k, o := range parts {
		at[k] = -1
		for i, e := range o {
			if e.Seam == seam {
				at[k] = i
			}
		}
		if at[k] < 0 {
			return Taken{}, fmt.Errorf("a part has no edge of seam %s", seam)
		}
	}
	if _, away := parts[0][at[0]].Line.Nearest(d.Apex); away > withinMM {
		return Taken{}, ErrAway
	}
	if angle(d) < 0.5 {
		return Taken{}, ErrAway
	}
	holds := func(o piece.Outline, leg orb.Point) bool {
		for _, e := range o {
			if _, away := e.Line.Nearest(leg); e.Seam != seam && away < onLineMM {
				return true
			}
		}
		return false
	}
	// A leg that ends where the seam does is on both parts: the seam then runs
	// out of the mouth.
	if holds(near, d.Leg1) && holds(far, d.Leg2) {
		return splitDart(parts, at, d, withinMM)
	}
	if holds(near, d.Leg2) && holds(far, d.Leg1) {
		d.Leg1, d.Leg2 = d.Leg2, d.Leg1
		return splitDart(parts, at, d, withinMM)
	}
	for k, o := range parts {
		if holds(o, d.Leg1) && holds(o, d.Leg2) {
			return closeDart(parts, k, at[k], d, withinMM)
		}
	}
	return Taken{}, ErrAway
}

// angle is the angle between a dart's legs, in degrees.
func angle(d piece.Dart) float64 {
	return math.Abs(plane.TurnDeg(plane.Sub(d.Leg1, d.Apex), plane.Sub(d.Leg2, d.Apex)))
}

// closeDart turns one side of a dart that lies in one part, parts[k], until
// it closes.
func closeDart(parts [2]piece.Outline, k, seam int, d piece.Dart, withinMM float64) (Taken, error) {
	o := parts[k]
	edge := o[seam]
	apex, ok := onto(edge.Line, d)
	if !ok || plane.Distance(apex, d.Apex) > withinMM || math.Abs(legsDiffer(d, apex)) > trueMM {
		apex = evenest(edge.Line, d, withinMM)
	}
	moved := plane.Distance(apex, d.Apex)
	d.Apex = apex
	path := o.Path()
	round := path.Length()
	hinge := start(o, seam)
	along, _ := edge.Line.Nearest(apex)
	hinge += along
	// The legs in the order in which the outline comes to them from the apex.
	leg := func(q orb.Point) float64 {
		mm, _ := path.Nearest(q)
		return math.Mod(mm-hinge+round, round)
	}
	first, second := leg(d.Leg1), leg(d.Leg2)
	if first > second {
		first, second = second, first
		d.Leg1, d.Leg2 = d.Leg2, d.Leg1
	}
	kept, turned := stretchOf(o, hinge, hinge+first), stretchOf(o, hinge+second, hinge+round)
	if len(kept) == 0 || len(turned) == 0 {
		return Taken{}, ErrAway
	}
	if off := legsDiffer(d, apex); math.Abs(off) > trueMM {
		return Taken{}, fmt.Errorf("the dart's legs differ by %.1f mm where the seam would take it in: %w", math.Abs(off), ErrAway)
	}
	ringOf := func(run piece.Outline) orb.Ring {
		return append(orb.Ring(run.Path().Flatten(curve.FlattenMM)), apex)
	}
	t := Taken{Dart: d, MovedMM: moved, AngleDeg: angle(d)}
	t.Turning = curve.Align(apex, d.Leg2, apex, d.Leg1)
	t.Turned = ringOf(turned)
	if plane.SignedArea(ringOf(kept)) < plane.SignedArea(t.Turned) {
		t.Turning = curve.Align(apex, d.Leg1, apex, d.Leg2)
		t.Turned = ringOf(kept)
		kept = kept.Transform(t.Turning)
	} else {
		turned = turned.Transform(t.Turning)
	}
	out := append(append(piece.Outline{}, turned...), kept...)
	// The seam's two halves meet at the apex, and the edge across the mouth
	// in one line.
	at := len(turned)
	weld(out)
	out = merged(out, at-1)
	mouth := len(out) - 1
	out, t.Trued = True(out, mouth)
	if out[mouth].Name == out[0].Name && out[mouth].Seam == out[0].Seam && out[mouth].AllowanceMM == out[0].AllowanceMM {
		out = merged(out, mouth)
	}
	if _, crossed := piece.SelfCrossing(out.Ring()); crossed {
		return Taken{}, fmt.Errorf("the part would overlap itself with the dart closed: %w", ErrAway)
	}
	parts[k] = out
	t.Near, t.Far = parts[0], parts[1]
	t.SeamMM = edge.Line.Length()
	return t, nil
}

// onto is where a dart's middle line meets a seam, near its apex: there both
// legs stay equally long.
func onto(seam curve.Path, d piece.Dart) (orb.Point, bool) {
	u, v := plane.Sub(d.Leg1, d.Apex), plane.Sub(d.Leg2, d.Apex)
	mid := plane.Add(plane.Scale(u, 1/plane.Length(u)), plane.Scale(v, 1/plane.Length(v)))
	n := plane.Length(mid)
	if n < 1e-6 {
		return orb.Point{}, false
	}
	mid = plane.Scale(mid, 1/n)
	reach := math.Max(plane.Length(u), plane.Length(v))
	best, near := orb.Point{}, math.Inf(1)
	if _, away := seam.Nearest(d.Apex); away < 1e-6 {
		return d.Apex, true
	}
	for _, c := range curve.Crossings(seam, curve.Polyline(plane.Along(d.Apex, mid, reach*0.9), plane.Along(d.Apex, mid, -reach))) {
		if mm := plane.Distance(c.At, d.Apex); mm < near {
			best, near = c.At, mm
		}
	}
	return best, !math.IsInf(near, 1)
}

// evenest is the point of a seam, no further than withinMM from a dart's apex,
// from which the dart's legs differ least. The seam must pass that near.
func evenest(seam curve.Path, d piece.Dart, withinMM float64) orb.Point {
	off := func(mm float64) float64 {
		q, _ := seam.At(mm)
		return legsDiffer(d, q)
	}
	foot, _ := seam.Nearest(d.Apex)
	lo, hi := foot, foot
	for _, end := range []*float64{&lo, &hi} {
		out := seam.Length()
		if end == &lo {
			out = 0
		}
		*end = bisect(foot, out, func(mm float64) bool {
			q, _ := seam.At(mm)
			return plane.Distance(q, d.Apex) <= withinMM
		})
	}
	best := lo
	switch a, b := off(lo), off(hi); {
	case a*b <= 0:
		best = bisect(lo, hi, func(mm float64) bool { return off(mm)*a > 0 })
	case math.Abs(b) < math.Abs(a):
		best = hi
	}
	q, _ := seam.At(best)
	return q
}

// legsDiffer is how much longer a dart's first leg is than its second with the
// apex at a point.
func legsDiffer(d piece.Dart, apex orb.Point) float64 {
	return plane.Distance(apex, d.Leg1) - plane.Distance(apex, d.Leg2)
}

// bisect is the point nearest to b, on the way from a, up to which a condition
// holds that holds at a.
func bisect(a, b float64, holds func(float64) bool) float64 {
	if holds(b) {
		return b
	}
	for range 60 {
		if mid := (a + b) / 2; holds(mid) {
			a = mid
		} else {
			b = mid
		}
	}
	return a
}

// splitDart gives each part its own leg of a dart that the seam runs down.
// Leg1 is on the near part and Leg2 on the far one.
func splitDart(parts [2]piece.Outline, at [2]int, d piece.Dart, withinMM float64) (Taken, error) {
	// The seam from its plain end to the mouth, as the near part has it.
	seam := parts[0][at[0]]
	var outAtEnd [2]bool // the seam runs out of the mouth at its edge's end
	mouth := seam.Line.End()
	outAtEnd[0] = plane.Distance(mouth, d.Leg1) < plane.Distance(seam.Line.Start(), d.Leg1)
	if !outAtEnd[0] {
		mouth = seam.Line.Start()
	}
	other := parts[1][at[1]]
	outAtEnd[1] = plane.Distance(other.Line.End(), mouth) < plane.Distance(other.Line.Start(), mouth)
	// How far along each part's outline, from the mouth, its leg ends.
	stub := func(k int, leg orb.Point) float64 {
		mm, _ := parts[k].Path().Nearest(leg)
		from := start(parts[k], at[k])
		round := parts[k].Length()
		ahead := from - mm
		if outAtEnd[k] {
			ahead = mm - from - parts[k][at[k]].Line.Length()
		}
		if ahead = math.Mod(ahead+2*round, round); ahead > round-onLineMM {
			return 0 // the seam runs out at the very end of the leg
		}
		return ahead
	}
	was := [2]float64{stub(0, d.Leg1), stub(1, d.Leg2)}
	width := was[0] + was[1]
	line := seam.Line
	if !outAtEnd[0] {
		line = line.Reverse()
	}
	along, _ := line.Nearest(d.Apex)
	apex, _ := line.At(along)
	place := func(k int, mm float64) orb.Point { // on a part's outline, mm from the mouth
		round := parts[k].Length()
		from := start(parts[k], at[k])
		if outAtEnd[k] {
			mm = from + parts[k][at[k]].Line.Length() + mm
		} else {
			mm = from - mm
		}
		q, _ := parts[k].Path().At(math.Mod(mm+round, round))
		return q
	}
	lo, hi := 0.0, width
	longer := func(mm float64) float64 { // by how much the near leg is longer
		return plane.Distance(apex, place(0, mm)) - plane.Distance(apex, place(1, width-mm))
	}
	if longer(lo) > 0 || longer(hi) < 0 {
		return Taken{}, ErrAway
	}
	for range 60 {
		if mid := (lo + hi) / 2; longer(mid) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	ends := [2]float64{lo, width - lo}
	t := Taken{MovedMM: math.Max(plane.Distance(apex, d.Apex), math.Abs(lo-was[0]))}
	if t.MovedMM > withinMM {
		return Taken{}, ErrAway
	}
	for k := range parts {
		leg := place(k, ends[k])
		parts[k] = alongLeg(parts[k], at[k], outAtEnd[k], along, apex, leg, ends[k])
		if k == 0 {
			d.Leg1 = leg
		} else {
			d.Leg2 = leg
		}
	}
	d.Apex = apex
	t.Dart, t.AngleDeg = d, angle(d)
	t.Near, t.Far = parts[0], parts[1]
	t.SeamMM = along + plane.Distance(apex, d.Leg1)
	return t, nil
}

// alongLeg is a part whose seam, edge i, leaves its line at the apex, along mm
// from its plain end, and follows a leg; stub mm of the outline beyond it go.
func alongLeg(o piece.Outline, i int, outAtEnd bool, along float64, apex, leg orb.Point, stub float64) piece.Outline {
	e := o[i]
	length := e.Line.Length()
	round := o.Length()
	from := start(o, i)
	var rest piece.Outline
	if outAtEnd {
		e.Line = append(e.Line.Between(0, along), curve.Line(apex, leg))
		rest = stretchOf(o, from+length+stub, from+round)
	} else {
		e.Line = append(curve.Path{curve.Line(leg, apex)}, e.Line.Between(length-along, length)...)
		rest = stretchOf(o, from+length, from+round-stub)
	}
	longer := e.Line.Length() - length
	notches := append([]piece.Notch(nil), e.Notches...)
	for k := range notches {
		if !outAtEnd {
			notches[k].AtMM += longer
		}
		notches[k].AtMM = math.Max(0, math.Min(length+longer, notches[k].AtMM))
	}
	e.Notches = notches
	out := append(piece.Outline{e}, rest...)
	weld(out)
	return out
}

// start is where edge i begins, in mm round the outline.
func start(o piece.Outline, i int) float64 { return o[:i].Length() }

// stretchOf is the run of edges from from to to, in mm round the outline and
// perhaps past its start.
func stretchOf(o piece.Outline, from, to float64) piece.Outline {
	const hair = 1e-6
	var out piece.Outline
	at := 0.0
	round := o.Length()
	for at+round <= from {
		at += round
	}
	for at < to-hair {
		for _, e := range o {
			l := e.Line.Length()
			lo, hi := math.Max(from-at, 0), math.Min(to-at, l)
			if hi-lo > hair {
				if lo > hair || hi < l-hair {
					e = e.Between(lo, hi)
				}
				out = append(out, e)
			}
			at += l
		}
	}
	return out
}

// weld makes every edge end at the very point where the next starts; ends
// that are a little apart meet half way.
func weld(o piece.Outline) {
	for i := range o {
		o[i].Line = append(curve.Path{}, o[i].Line...)
	}
	for i := range o {
		next := o[(i+1)%len(o)].Line
		last := len(o[i].Line) - 1
		meet := plane.Scale(plane.Add(o[i].Line.End(), next.Start()), 0.5)
		o[i].Line[last] = o[i].Line[last].WithEnds(o[i].Line[last].P0, meet)
		next[0] = next[0].WithEnds(meet, next[0].P1)
	}
}

// merged is the outline with edge i and the next as one edge.
func merged(o piece.Outline, i int) piece.Outline {
	j := (i + 1) % len(o)
	e, length := o[i], o[i].Line.Length()
	e.Line = append(append(curve.Path{}, e.Line...), o[j].Line...)
	e.Notches = append([]piece.Notch(nil), e.Notches...)
	for _, n := range o[j].Notches {
		n.AtMM += length
		e.Notches = append(e.Notches, n)
	}
	out := append(piece.Outline{}, o...)
	out[i] = e
	return append(out[:j], out[j+1:]...)
}
