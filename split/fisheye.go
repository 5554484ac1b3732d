package split

import (
	"fmt"
	"math"
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// legsMM is how much the legs of a dart may differ where a seam divides it: a
// maker eases that in without seeing it. (Common practice, no source.)
const legsMM = 1.0

// askewMM is how much further than its reach a corner of a dart's widest place may
// be moved, where the two corners do not lie square to each other: somewhat less
// than legsMM, so that rounding does not decide.
const askewMM = 0.9

// TakenFishEye is a dart with two points that a piecing seam running from one
// to the other took in: the seam's edges follow its sides.
type TakenFishEye = Taken[piece.FishEye]

// DividedDart is a dart with two points that a piecing seam across it makes
// two of, which open on the seam opposite each other. A half goes from the
// seam by its apex to the seam: three points for an ordinary dart, five where
// the widest place is on it.
type DividedDart struct {
	Drawn  piece.FishEye
	Halves [2][]orb.Point // on the near and on the far side, their ends alike
	Widest bool           // at the widest place: both are ordinary darts
}

// Divide tells what the seam of a cut makes of the darts with two points that
// it crosses as drawn: the piece as the near and as the far part have it.
func Divide(p *piece.Piece, o piece.Outline, seam curve.Path, name string) (near, far *piece.Piece) {
	if len(p.FishEyes) == 0 {
		return p, p
	}
	b := &Body{Piece: p, Outline: o, drawn: p.Darts, drawnEyes: p.FishEyes}
	n, f := *b, *b
	h := &halves{near: &n, far: &f, name: name, line: seam, to: seam.Length()}
	h.divide(b, 0)
	return h.near.Piece, h.far.Piece
}

// divide makes two ordinary darts of each dart with two points that the seam
// crosses. One whose point the seam but touches counts as crossed, too.
func (h *halves) divide(b *Body, reachMM float64) {
	gone := [2]map[int]bool{{}, {}}
	var opened [2][]piece.Dart
	path := b.Outline.Path()
	for i, f := range h.near.Piece.FishEyes {
		if f != h.far.Piece.FishEyes[i] {
			continue
		}
		if len(curve.Crossings(h.line, f.Line())) == 0 && (!f.Inside(path) || !h.touches(f)) {
			continue
		}
		d, ok := divided(f, h.line, reachMM)
		if !ok || !f.Inside(path) {
			h.across++
			continue
		}
		d.Drawn = h.near.drawnEyes[i]
		h.divided = append(h.divided, d)
		for k, half := range d.Halves {
			if len(half) == 3 {
				gone[k][i] = true
				opened[k] = append(opened[k], piece.Dart{Leg1: half[0], Apex: half[1], Leg2: half[2], Seam: h.name})
			}
		}
	}
	for _, d := range h.near.Piece.Darts {
		if d.Seam != "" && len(curve.Crossings(h.line, curve.Polyline(d.Leg1, d.Apex, d.Leg2))) > 0 {
			h.across++
		}
	}
	for k, half := range []*Body{h.near, h.far} {
		if len(opened[k]) == 0 {
			continue
		}
		half.dropEyes(gone[k])
		p := *half.Piece
		p.Darts = append(slices.Clone(p.Darts), opened[k]...)
		half.Piece, half.drawn = &p, append(slices.Clone(half.drawn), opened[k]...)
	}
}

// touches reports whether the seam comes so near to a dart that neither part
// has it inside.
func (h *halves) touches(f piece.FishEye) bool {
	const nearMM = 1.0 // more than a dart stays clear of an outline
	if !h.line.Bound().Pad(nearMM).Intersects(f.Line().Bound()) {
		return false
	}
	return !f.Inside(h.near.Outline.Path()) && !f.Inside(h.far.Outline.Path())
}

// mouths are where along the seam darts open on it.
func (h *halves) mouths() []Span {
	var out []Span
	for _, d := range h.divided {
		half := d.Halves[0]
		a, _ := h.line.Nearest(half[0])
		b, _ := h.line.Nearest(half[len(half)-1])
		out = append(out, Span{math.Min(a, b), math.Max(a, b)})
	}
	return out
}

// dropEyes takes darts with two points off a body.
func (b *Body) dropEyes(gone map[int]bool) {
	p := *b.Piece
	p.FishEyes = nil
	var drawn []piece.FishEye
	for i, f := range b.Piece.FishEyes {
		if !gone[i] {
			p.FishEyes, drawn = append(p.FishEyes, f), append(drawn, b.drawnEyes[i])
		}
	}
	b.Piece, b.drawnEyes = &p, drawn
}

// divided is what a seam makes of a dart that it crosses once on either side.
// At the widest place, and as near to it as reachMM, the widest place is moved
// onto the seam.
func divided(f piece.FishEye, seam curve.Path, reachMM float64) (d DividedDart, ok bool) {
	const (
		atMM    = 0.05 // how near to the widest place is on it
		leastMM = 5.0  // the shortest and the narrowest dart there is use in sewing is wider
	)
	if f.Bends() {
		return d, false
	}
	var mouth [2]orb.Point // on the first and on the second side
	var on [2]float64      // along the seam
	var beyond [2]bool     // the widest place: seen from the first apex
	for k := range 2 {
		hits := curve.Crossings(seam, f.Side(k))
		if len(hits) != 1 {
			return d, false
		}
		mouth[k], on[k] = hits[0].At, hits[0].OnP
		beyond[k] = hits[0].OnQ > plane.Distance(f.Apex[0], f.Wide[k])
	}
	axis := curve.Crossings(seam, curve.Polyline(f.Apex[0], f.Apex[1]))
	if len(axis) != 1 {
		return d, false
	}
	first := f.Apex[0] // on the near side, which is on the seam's left
	at, u := seam.At(axis[0].OnP)
	near := 0
	if u[1]*(first[0]-at[0])-u[0]*(first[1]-at[1]) < 0 {
		near = 1
	}
	far := 1 - near

	middle := segmentTo(f.Apex[0], f.Apex[1])
	var wide [2]float64 // of each side, off the middle line
	var place float64   // of the widest place along it
	for k := range 2 {
		along, left := middle.of(f.Wide[k])
		wide[k] = math.Abs(left)
		place += along / 2
	}
	hit, _ := middle.of(at)
	if math.Abs(hit-place) <= math.Max(reachMM, atMM) {
		moved := mouth
		for k := range 2 {
			mm := axis[0].OnP + math.Copysign(wide[k], on[k]-on[1-k])
			moved[k], _ = seam.At(mm)
		}
		d.Halves[near] = []orb.Point{moved[0], f.Apex[0], moved[1]}
		d.Halves[far] = []orb.Point{moved[0], f.Apex[1], moved[1]}
		d.Widest = true
		further := math.Max(plane.Distance(moved[0], f.Wide[0]), plane.Distance(moved[1], f.Wide[1]))
		if further <= reachMM+askewMM && sewable(d.Halves[near], leastMM) && sewable(d.Halves[far], leastMM) {
			return d, true
		}
	}
	if beyond[0] != beyond[1] {
		return d, false
	}
	plain, bent := 0, 1 // apexes: the widest place is on the second's half
	if beyond[0] {
		plain, bent = 1, 0
	}
	halves := map[int][]orb.Point{
		plain: {mouth[0], f.Apex[plain], mouth[1]},
		bent:  {mouth[0], f.Wide[0], f.Apex[bent], f.Wide[1], mouth[1]},
	}
	d.Halves[near], d.Halves[far], d.Widest = halves[0], halves[1], false
	return d, sewable(d.Halves[near], leastMM) && sewable(d.Halves[far], leastMM)
}

// sewable reports whether a half's legs are equally long and worth sewing.
func sewable(half []orb.Point, leastMM float64) bool {
	mid := len(half) / 2
	var legs [2]float64
	for i := 1; i < len(half); i++ {
		side := 0
		if i > mid {
			side = 1
		}
		legs[side] += plane.Distance(half[i-1], half[i])
	}
	return math.Abs(legs[0]-legs[1]) <= legsMM && math.Min(legs[0], legs[1]) >= leastMM && plane.Distance(half[0], half[len(half)-1]) >= 1
}

// takeInEyes takes in the darts with two points that the seam runs down, from
// one apex to the other.
func (h *halves) takeInEyes(reachMM float64) {
	gone := map[int]bool{}
	for i := range h.near.Piece.FishEyes {
		if h.near.Piece.FishEyes[i] == h.far.Piece.FishEyes[i] && h.takeInEye(i, reachMM) {
			gone[i] = true
		}
	}
	if len(gone) > 0 {
		h.near.dropEyes(gone)
		h.far.dropEyes(gone)
	}
}

// takeInEye takes in the i-th dart with two points, where the seam is straight
// beside it, both parts lie edge to edge there, and two sound parts are left.
// The dart is laid with its apexes on the seam and half of its width to either
// side, and each part's edge of the seam follows the side that is on it.
func (h *halves) takeInEye(i int, reachMM float64) bool {
	const (
		straightMM = 0.01
		endMM      = 1.0 // from an end of the seam
	)
	f := h.near.Piece.FishEyes[i]
	if f.Bends() || !f.Inside(rejoin(h.near.Outline, h.far.Outline, h.name, h.from, h.to).Path()) {
		return false
	}
	apexes := [2]int{0, 1} // in the seam's direction
	a, _ := h.line.Nearest(f.Apex[0])
	b, _ := h.line.Nearest(f.Apex[1])
	if b < a {
		apexes = [2]int{1, 0}
	}
	long := plane.Distance(f.Apex[0], f.Apex[1])
	from := (a + b - long) / 2
	to := from + long
	if from < h.from+endMM || to > h.to-endMM {
		return false
	}
	stretchOf := h.line.Between(from, to)
	if bow(stretchOf) > straightMM {
		return false
	}
	sewn := piece.FishEye{}
	sewn.Apex[apexes[0]], sewn.Apex[apexes[1]] = stretchOf.Start(), stretchOf.End()
	if math.Max(plane.Distance(sewn.Apex[0], f.Apex[0]), plane.Distance(sewn.Apex[1], f.Apex[1])) > reachMM {
		return false
	}
	drawn, seam := segmentTo(f.Apex[apexes[0]], f.Apex[apexes[1]]), segmentTo(stretchOf.Start(), stretchOf.End())
	var place, half float64
	near := 0 // the wide corner on the near side
	for k := range 2 {
		along, left := drawn.of(f.Wide[k])
		place, half = place+along/2, half+math.Abs(left)/2
		if left > 0 {
			near = k
		}
	}
	left := orb.Point{seam.along[1], -seam.along[0]}
	for k := range 2 {
		off := half
		if k != near {
			off = -half
		}
		sewn.Wide[k] = orb.Point{
			seam.from[0] + place*seam.along[0] + off*left[0],
			seam.from[1] + place*seam.along[1] + off*left[1],
		}
	}
	if crossesOther(h.near.Piece, i, sewn) {
		return false
	}
	by := func(line curve.Path, wide orb.Point) (curve.Path, bool) {
		p, _ := line.At(from)
		q, _ := line.At(to)
		if plane.Distance(p, seam.from) > straightMM || plane.Distance(q, stretchOf.End()) > straightMM {
			return nil, false
		}
		out := append(line.Between(0, from), curve.Line(stretchOf.Start(), wide), curve.Line(wide, stretchOf.End()))
		return append(out, line.Between(to, line.Length())...), true
	}
	next := *h
	line, ok := by(h.line, sewn.Wide[near])
	if !ok {
		return false
	}
	longer := line.Length() - h.line.Length()
	next.line, next.to = line, h.to+longer
	for k, half := range []*Body{h.near, h.far} {
		at := seamEdge(half.Outline, h.name)
		e := half.Outline[at]
		if k == 0 {
			e = e.Reverse()
		}
		wide := sewn.Wide[near]
		if k == 1 {
			wide = sewn.Wide[1-near]
		}
		if e.Line, ok = by(e.Line, wide); !ok {
			return false
		}
		if crossesKeep(half.Piece, e.Line) {
			return false
		}
		if k == 0 {
			e = e.Reverse()
		}
		o := slices.Clone(half.Outline)
		o[at] = e
		o = close(o[:len(o)-1:len(o)-1], o[len(o)-1])
		if _, crosses := piece.SelfCrossing(o.Ring()); crosses {
			return false
		}
		if k == 0 {
			next.near = half.with(o)
		} else {
			next.far = half.with(o)
		}
	}
	next.eyes = append(slices.Clone(h.eyes), TakenFishEye{Drawn: h.near.drawnEyes[i], Sewn: sewn})
	*h = next
	return true
}

// crossesOther reports whether a dart, laid elsewhere, would cross another one
// than the i-th with two points.
func crossesOther(p *piece.Piece, i int, f piece.FishEye) bool {
	for _, d := range p.Darts {
		if len(curve.Crossings(curve.Polyline(d.Leg1, d.Apex, d.Leg2), f.Line())) > 0 {
			return true
		}
	}
	for k, o := range p.FishEyes {
		if k != i && len(curve.Crossings(o.Line(), f.Line())) > 0 {
			return true
		}
	}
	return false
}

// eyesCrossedOn are the darts with two points of which a part has some and not
// all.
func eyesCrossedOn(part Part) [][4]plan.Point {
	var out [][4]plan.Point
	path := part.Outline.Path()
	for _, f := range part.Of.FishEyes {
		if !f.Inside(path) && slices.ContainsFunc(f.Line(), func(leg curve.Segment) bool { return len(insideOf(part.Outline, curve.Path{leg})) > 0 }) {
			out = append(out, fishEye(f))
		}
	}
	return out
}

// eyesCrossedNotes warn of the darts with two points that can only be sewn
// across a seam.
func (m *Made) eyesCrossedNotes() []string {
	var out []string
	for _, s := range m.Seams {
		darts, them := "a dart with two points", "the dart"
		if s.Across > 1 {
			darts, them = fmt.Sprintf("%d darts with two points", s.Across), "the darts"
		}
		if s.Across > 0 {
			out = append(out, fmt.Sprintf("seam %s crosses %s of %s: sew %s first, then %s across it", s.Name, darts, m.Plan.Pieces[s.Piece].ID(), s.Name, them))
		}
	}
	return out
}
