package split

import (
	"math"
	"reflect"
	"slices"
	"sort"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// DartReachMM is how far a dart's apex may usually be moved onto a seam that
// takes the dart in.
const DartReachMM = allowance.TakeInMM

// Taken is a dart that a piecing seam took in: its legs are sewn together in
// the seam, or closed in the paper, and what lay between them is gone.
type Taken[Dart any] struct {
	Drawn  Dart // as the piece had it
	Sewn   Dart // where it lies on the parts, each apex on the seam
	Closed bool // in the paper: it lay beside the seam, in one part, whose edge is bent there instead
}

// TakenDart is a dart with one point that a seam took in.
type TakenDart = Taken[piece.Dart]

// halves is a body cut in two along one seam, with the darts that the seam
// took in.
type halves struct {
	near, far *Body
	name      string     // of the seam
	line      curve.Path // of the seam, as long as it is sewn
	from, to  float64    // where along it near and far lie edge to edge; beyond, a dart parts them
	taken     []TakenDart
	eyes      []TakenFishEye
	divided   []DividedDart
	across    int          // other darts with two points, or halves of them, that the seam crosses
	trued     []plan.Trued // where a closed dart put a corner into a line
}

// halve cuts a body along a chord of a line. Darts whose apex is within
// reachMM of the seam are taken into it; 0 leaves all as they are.
func halve(b *Body, line curve.Path, c Chord, s Seam, reachMM float64) *halves {
	near, far, seam := cutAlong(b.Outline, line, c, s)
	h := &halves{near: b.with(near), far: b.with(far), name: s.Name, line: seam, to: seam.Length()}
	if reachMM > 0 {
		for _, k := range outermostFirst(b.Piece.Darts, seam, reachMM) {
			if liesWhole(b.Outline, b.Piece.Darts[k]) {
				h.takeIn(k, reachMM)
			}
		}
		h.forgetTaken(b)
		h.takeInEyes(reachMM)
	}
	h.divide(b, reachMM)
	return h
}

// mark puts the seam's notches on both parts, and gives their edges on it,
// drawn the seam's way.
func (h *halves) mark(notches []piece.Notch) (sides [2]curve.Path) {
	for k, half := range []*Body{h.near, h.far} {
		half.Outline = append(piece.Outline{}, half.Outline...)
		for i, e := range half.Outline {
			if e.Seam != h.name {
				continue
			}
			if k == 0 {
				e = e.Reverse()
			}
			e.Notches = append([]piece.Notch(nil), notches...)
			sides[k] = e.Line
			if k == 0 {
				e = e.Reverse()
			}
			half.Outline[i] = e
		}
	}
	return sides
}

// outermostFirst is the order in which darts are taken in: what a dart turns
// then holds none that is still to come.
func outermostFirst(darts []piece.Dart, seam curve.Path, reachMM float64) []int {
	length := seam.Length()
	fromEnd := map[int]float64{}
	var order []int
	for k, d := range darts {
		if along, away := seam.Nearest(d.Apex); d.Seam == "" && away <= reachMM {
			fromEnd[k] = math.Min(along, length-along)
			order = append(order, k)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return fromEnd[order[i]] < fromEnd[order[j]] })
	return order
}

// takeIn takes in the body's k-th dart, where that leaves two sound parts: it
// turns no other piecing seam and no part of another dart, no notch is lost,
// the parts still lie side by side, all that were taken in end on the seam, and
// it leads no seam across a keep zone that kept clear of them.
func (h *halves) takeIn(k int, reachMM float64) {
	d := h.near.Piece.Darts[k]
	got, err := allowance.TakeIn(h.near.Outline, h.far.Outline, h.name, d, reachMM)
	if err != nil {
		return
	}
	if h.meetsOther(k, got.Dart) {
		return
	}
	next := *h
	next.near, next.far = h.near.with(got.Near), h.far.with(got.Far)
	if drawnNotches(got.Near)+drawnNotches(got.Far) < drawnNotches(h.near.Outline)+drawnNotches(h.far.Outline) {
		return
	}
	along, _ := h.line.Nearest(got.Dart.Apex)
	length := h.line.Length()
	if len(got.Turned) == 0 {
		// The seam runs down the dart, whose mouth is at one end of it; near
		// has the first leg.
		if plane.Distance(h.line.End(), got.Dart.Leg1) < plane.Distance(h.line.Start(), got.Dart.Leg1) {
			next.line = append(h.line.Between(0, along), curve.Line(got.Dart.Apex, got.Dart.Leg1))
			next.to = math.Min(h.to, along)
		} else {
			next.line = append(curve.Path{curve.Line(got.Dart.Leg1, got.Dart.Apex)}, h.line.Between(along, length)...)
			longer := next.line.Length() - length
			along += longer
			next.from, next.to = math.Max(h.from+longer, along), h.to+longer
		}
		next.trueMouth()
	} else {
		turned, was := next.far, h.far
		_, edge := offSeam(was.Outline, h.name)
		if !reflect.DeepEqual(got.Near, h.near.Outline) {
			turned, was = next.near, h.near
			_, edge = offSeam(was.Outline, h.name)
			edge = edge.Reverse()
		}
		if !turnable(was, h.name, got, k) {
			return
		}
		turned.carry(got, k)
		if h.offMouth(k, was, turned) {
			return
		}
		next.foundCorner(got.Trued, turned.Outline)
		if turnsStart(edge, got) {
			next.from = math.Max(h.from, along)
		} else {
			next.to = math.Min(h.to, along)
		}
	}
	if next.to-next.from < 1 {
		return
	}
	if _, crosses := piece.SelfCrossing(rejoin(next.near.Outline, next.far.Outline, h.name, next.from, next.to).Ring()); crosses {
		return
	}
	sewn := got.Dart
	if plane.Distance(sewn.Leg1, d.Leg1) > plane.Distance(sewn.Leg1, d.Leg2) {
		sewn.Leg1, sewn.Leg2 = sewn.Leg2, sewn.Leg1
	}
	next.taken = append(append([]TakenDart(nil), h.taken...), TakenDart{Drawn: h.near.drawn[k], Sewn: sewn, Closed: len(got.Turned) > 0})
	if next.apexesOn() && (crossesKeep(h.near.Piece, h.line) || !crossesKeep(h.near.Piece, next.line)) {
		*h = next
	}
}

// crossesKeep reports whether a line crosses what no piecing seam of the piece
// may cross.
func crossesKeep(p *piece.Piece, line curve.Path) bool {
	for _, k := range p.Keeps {
		if len(curve.Crossings(k.Line, line)) > 0 {
			return true
		}
	}
	return false
}

// apexesOn reports whether every dart that was taken in still ends on the seam,
// wherever the last of them has led it.
func (h *halves) apexesOn() bool {
	const offMM = 0.05
	for _, t := range h.taken {
		if _, away := h.line.Nearest(t.Sewn.Apex); away > offMM {
			return false
		}
	}
	return true
}

// trueMouth smooths the line across the mouth of a dart that the seam runs
// down, where the two parts' lines run on once the seam is sewn.
func (h *halves) trueMouth() {
	i, j := seamEdge(h.near.Outline, h.name), seamEdge(h.far.Outline, h.name)
	near, far, found := allowance.TrueAcross(h.near.Outline, i, h.far.Outline, j)
	for _, f := range found {
		h.foundCorner(f, h.near.Outline)
	}
	if found[0].MovedMM == 0 && found[1].MovedMM == 0 {
		return
	}
	h.near, h.far = h.near.with(near), h.far.with(far)
	was := h.line
	h.line = near[i].Line.Reverse()
	if atStart := plane.Distance(was.Start(), h.line.Start()) > plane.Distance(was.End(), h.line.End()); atStart {
		longer := h.line.Length() - was.Length()
		h.from, h.to = h.from+longer, h.to+longer
	}
}

// foundCorner keeps what trueing found at a place on the outline.
func (h *halves) foundCorner(t allowance.Trued, o piece.Outline) {
	if t.MovedMM == 0 && !t.Left {
		return
	}
	name, near := "", math.Inf(1)
	for _, e := range o {
		if _, away := e.Line.Nearest(t.At); e.Seam == "" && away < near {
			name, near = e.Name, away
		}
	}
	h.trued = append(slices.Clone(h.trued), truedOn(h.near.Piece, name, t))
}

// seamEdge is the place of a seam's edge on an outline that it has just cut.
func seamEdge(o piece.Outline, seam string) int {
	for i, e := range o {
		if e.Seam == seam {
			return i
		}
	}
	return -1
}

// forgetTaken takes the darts that are gone off the two parts' pieces.
func (h *halves) forgetTaken(b *Body) {
	if len(h.taken) == 0 {
		return
	}
	gone := map[piece.Dart]bool{}
	for _, t := range h.taken {
		gone[t.Drawn] = true
	}
	for _, half := range []*Body{h.near, h.far} {
		p := *half.Piece
		p.Darts = nil
		var drawn []piece.Dart
		for k, d := range half.Piece.Darts {
			if !gone[half.drawn[k]] {
				p.Darts = append(p.Darts, d)
				drawn = append(drawn, half.drawn[k])
			}
		}
		half.Piece, half.drawn = &p, drawn
	}
}

// turnsStart reports whether taking in a dart turns a part before its apex on
// the seam, whose line is given in the seam's direction, or beyond it.
func turnsStart(line curve.Path, t allowance.Taken) bool {
	const aside = 5.0
	at, _ := line.Nearest(t.Dart.Apex)
	before, _ := line.At(math.Max(0, at-aside))
	after, _ := line.At(math.Min(line.Length(), at+aside))
	return outside(t.Turned, before) < outside(t.Turned, after)
}

func drawnNotches(o piece.Outline) int {
	n := 0
	for _, e := range o {
		for _, k := range e.Notches {
			if k.For == "" {
				n++
			}
		}
	}
	return n
}

// turnable reports whether the bit of a part that taking in its k-th dart
// would turn is free to: no other piecing seam ends it, and each other dart
// is turned as a whole or not at all.
func turnable(b *Body, seam string, t allowance.Taken, k int) bool {
	for _, e := range b.Outline {
		if mid, _ := e.Line.At(e.Line.Length() / 2); e.Seam != "" && e.Seam != seam && within(t.Turned, mid) {
			return false
		}
	}
	for i, d := range b.Piece.Darts {
		if i == k {
			continue
		}
		if on, off := parted(curve.Polyline(d.Leg1, d.Apex, d.Leg2), t.Turned); on && (off || d.Seam != "") {
			return false
		}
	}
	for _, f := range b.Piece.FishEyes {
		if on, off := parted(f.Line(), t.Turned); on && (off || !f.Inside(b.Outline.Path())) {
			return false
		}
	}
	return true
}

// offMouth reports whether a leg of another dart than the k-th ended on the
// outline of a body as it was and does so no more: the line that was smoothed
// across the closed mouth runs past it.
func (h *halves) offMouth(k int, was, now *Body) bool {
	for i, d := range was.Piece.Darts {
		if i == k || h.hasTaken(was.drawn[i]) {
			continue
		}
		e := now.Piece.Darts[i]
		if onOutline(was.Outline, d.Leg1) && !onOutline(now.Outline, e.Leg1) || onOutline(was.Outline, d.Leg2) && !onOutline(now.Outline, e.Leg2) {
			return true
		}
	}
	return false
}

// parted reports whether more than a hair of a line lies in a ring, and
// whether more than a hair does not.
func parted(line curve.Path, r orb.Ring) (on, off bool) {
	const hairMM = 0.2
	var in float64
	stops := []float64{0}
	for _, c := range curve.Crossings(curve.Polyline(plane.Close(r)...), line) {
		stops = append(stops, c.OnQ)
	}
	stops = append(stops, line.Length())
	slices.Sort(stops)
	for i := 1; i < len(stops); i++ {
		if mid, _ := line.At((stops[i-1] + stops[i]) / 2); within(r, mid) {
			in += stops[i] - stops[i-1]
		}
	}
	return in > hairMM, line.Length()-in > hairMM
}

// liesWhole reports whether a dart lies in an outline from its mouth to its
// apex, with no seam across it.
func liesWhole(o piece.Outline, d piece.Dart) bool {
	if !onOutline(o, d.Leg1) || !onOutline(o, d.Leg2) {
		return false
	}
	_, off := parted(curve.Polyline(d.Leg1, d.Apex, d.Leg2), o.Ring())
	return !off
}

// meetsOther reports whether a dart, laid where the seam takes it in, would
// lie over another one than the k-th that is still to be sewn.
func (h *halves) meetsOther(k int, sewn piece.Dart) bool {
	legs := curve.Polyline(sewn.Leg1, sewn.Apex, sewn.Leg2)
	for _, half := range []*Body{h.near, h.far} {
		for i, d := range half.Piece.Darts {
			if i == k || h.hasTaken(half.drawn[i]) {
				continue
			}
			if through(curve.Polyline(d.Leg1, d.Apex, d.Leg2), sewn.Leg1, sewn.Apex, sewn.Leg2) || through(legs, d.Leg1, d.Apex, d.Leg2) {
				return true
			}
		}
		for _, f := range half.Piece.FishEyes {
			if _, off := parted(f.Line(), orb.Ring{sewn.Leg1, sewn.Apex, sewn.Leg2}); !off || len(curve.Crossings(legs, f.Line())) > 0 {
				return true
			}
		}
	}
	return false
}

func (h *halves) hasTaken(drawn piece.Dart) bool {
	return slices.ContainsFunc(h.taken, func(t TakenDart) bool { return t.Drawn == drawn })
}

// within reports whether a point is inside a ring or a hair off it.
func within(r orb.Ring, q orb.Point) bool { return outside(r, q) < 0.1 }

// outside is how far a point is outside a ring, 0 for one inside.
func outside(r orb.Ring, q orb.Point) float64 {
	closed := plane.Close(r)
	if planar.RingContains(closed, q) {
		return 0
	}
	return planar.DistanceFrom(orb.LineString(closed), q)
}

// carry turns what is drawn on the bit of the body that taking in its k-th
// dart has turned.
func (b *Body) carry(t allowance.Taken, k int) {
	p := *b.Piece
	p.Darts = append([]piece.Dart(nil), p.Darts...)
	for i, d := range p.Darts {
		if i == k {
			continue
		}
		for _, q := range []orb.Point{d.Leg1, d.Apex, d.Leg2} {
			if within(t.Turned, q) {
				p.Darts[i] = piece.Dart{Leg1: t.Turning.Apply(d.Leg1), Apex: t.Turning.Apply(d.Apex), Leg2: t.Turning.Apply(d.Leg2), Seam: d.Seam}
				break
			}
		}
	}
	p.FishEyes = slices.Clone(p.FishEyes)
	for i, f := range p.FishEyes {
		if within(t.Turned, f.Apex[0]) {
			p.FishEyes[i] = f.Transform(t.Turning)
		}
	}
	turned := func(line curve.Path) bool {
		for _, q := range line.Flatten(1) {
			if within(t.Turned, q) {
				return true
			}
		}
		return false
	}
	p.Keeps = nil
	for _, k := range b.Piece.Keeps {
		p.Keeps = append(p.Keeps, k)
		if turned(k.Line) {
			p.Keeps = append(p.Keeps, piece.Keep{Line: k.Line.Transform(t.Turning), Closed: k.Closed})
		}
	}
	p.Levels = append([]curve.Path(nil), p.Levels...)
	for i, l := range p.Levels {
		if turned(l[:1]) && turned(l[len(l)-1:]) {
			p.Levels[i] = l.Transform(t.Turning)
		}
	}
	b.Piece = &p
	var ring orb.Ring
	for _, q := range t.Turned {
		ring = append(ring, t.Turning.Apply(q))
	}
	b.turns = append(append([]turn(nil), b.turns...), turn{ring, undo(t.Turning)})
}

// turn is a bit of a body that a dart's closing has turned: where it is now,
// and the way back.
type turn struct {
	ring orb.Ring
	back curve.Matrix
}

// undo is the matrix that takes back a turn and shift.
func undo(m curve.Matrix) curve.Matrix {
	return curve.Matrix{m[0], m[2], m[1], m[3], -m[0]*m[4] - m[1]*m[5], -m[2]*m[4] - m[3]*m[5]}
}

// asDrawn is where a point of the body was on the piece, before darts were
// closed.
func (b *Body) asDrawn(q orb.Point) orb.Point {
	for i := len(b.turns) - 1; i >= 0; i-- {
		if t := b.turns[i]; within(t.ring, q) {
			q = t.back.Apply(q)
		}
	}
	return q
}

// rejoin is the outline of two parts that lie edge to edge along their seam
// between two distances along it, and apart beyond.
func rejoin(near, far piece.Outline, seam string, from, to float64) piece.Outline {
	n, back := offSeam(near, seam) // the near part runs against the seam
	f, on := offSeam(far, seam)
	ahead, astern := on.Length(), back.Length()
	wedge := func(a, b curve.Path) piece.Outline {
		if line := append(a, b...); len(line) > 0 {
			return piece.Outline{{Line: line, Seam: seam}}
		}
		return nil
	}
	out := append(piece.Outline{}, n...)
	out = append(out, wedge(back.Between(0, astern-to), on.Between(to, ahead))...)
	out = append(out, f...)
	out = append(out, wedge(on.Between(0, from), back.Between(astern-from, astern))...)
	return close(out[:len(out)-1], out[len(out)-1])
}

// offSeam is an outline's run of edges off a seam, from the one after the
// seam, and the seam itself as one line.
func offSeam(o piece.Outline, seam string) (run piece.Outline, line curve.Path) {
	first := 0
	for i, e := range o {
		if e.Seam == seam && o[(i+1)%len(o)].Seam != seam {
			first = i + 1
		}
	}
	for i := range o {
		e := o[(first+i)%len(o)]
		if e.Seam == seam {
			line = append(line, e.Line...)
		} else {
			run = append(run, e)
		}
	}
	return run, line
}
