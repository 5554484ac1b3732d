package split

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// How alike two joined edges must be for a strip to change sides. They are
// sewn together, so on the body they are one line; on paper they may bow a
// little apart. (Common practice, no source.)
const (
	mostBowRatio = 1.0 / 12 // an edge's greatest distance from its chord, to its length
	mostDifferMM = 3.0      // how far the two lie apart, laid on each other
	alikeMM      = 1.0      // the difference of their lengths
	notchesMM    = 3.0      // how far notches that meet may be apart
	truedMM2     = 20.0     // the most that trueing may add to or take from a piece
	straightMM   = 0.2      // an edge that bows less is drawn straight
	cornerRoom   = 60.0     // degrees between the strip and the edge beside it: in less there is no room for their allowances
)

// transfer takes the strip along edge e of the giver to edge f of the taker.
type transfer struct {
	giver, taker *piece.Piece
	e, f         int
	byMM         float64
	sewn         map[piece.Ref]bool // the edges that are sewn to others

	rest, grown piece.Outline
	newF        int // the new edge of grown; that of rest is e
	differMM    float64
	trued       []plan.Trued
}

// run cuts the strip off and puts it on.
func (t *transfer) run(stays string) error {
	o := t.giver.Outline
	n := len(o)
	e, f := o[t.e], t.taker.Outline[t.f]
	before, after := o[(t.e+n-1)%n], o[(t.e+1)%n]
	if n < 3 {
		return fmt.Errorf("the piece has only %d edges", n)
	}
	if err := t.alike(e, f); err != nil {
		return err
	}
	lay := laidOn(e.Line, f.Line, 0.5)
	notches, err := together(e, f)
	if err != nil {
		return err
	}
	from, to := t.byMM, t.byMM
	switch {
	case stays == "":
	case stays == before.Name && stays != after.Name:
		from, lay = 0, laidOn(e.Line, f.Line, 0)
	case stays == after.Name && stays != before.Name:
		to, lay = 0, laidOn(e.Line, f.Line, 1)
	default:
		return fmt.Errorf("beside it lie the edges %q and %q, and %q is not the one of them", before.Name, after.Name, stays)
	}
	back, on, line, ok := newEdge(before.Line, e.Line, after.Line, from, to)
	if !ok {
		return fmt.Errorf("a strip of %.0f mm would take in more than the two neighbouring edges", t.byMM)
	}
	scale := line.Length() / e.Line.Length()
	for i := range notches {
		notches[i].AtMM *= scale
	}
	moved := e
	moved.Line, moved.Notches = line, notches
	kept, ends := before.Between(0, back), after.Between(on, after.Line.Length())
	t.rest = append(piece.Outline{}, o...)
	t.rest[(t.e+n-1)%n], t.rest[t.e], t.rest[(t.e+1)%n] = kept, moved, ends
	t.rest = close(t.rest[:n-1], t.rest[n-1])
	var strip piece.Outline // but for e, from its end round to its start
	add := func(x piece.Edge) {
		if len(x.Line) > 0 && x.Line.Length() > 1e-6 {
			x.From = t.giver.Name
			strip = append(strip, x)
		}
	}
	add(after.Between(0, on))
	t.newF = t.f + len(strip)
	taken := moved.Reverse()
	taken.Name, taken.Joins, taken.AllowanceMM, taken.Reflected = f.Name, f.Joins, f.AllowanceMM, f.Reflected
	strip = append(strip, taken)
	add(before.Between(back, before.Line.Length()))
	if err := t.clear(append(piece.Outline{e}, strip...)); err != nil {
		return err
	}
	if _, crosses := piece.SelfCrossing(t.rest.Ring()); crosses {
		return fmt.Errorf("what is left of %s would cross itself", t.giver.Name)
	}
	t.sew(strip, lay, plane.SignedArea(o.Ring())-plane.SignedArea(t.rest.Ring()))
	if _, crosses := piece.SelfCrossing(t.grown.Ring()); crosses {
		return fmt.Errorf("the strip would lie over %s", t.taker.Name)
	}
	if err := t.room(); err != nil {
		return err
	}
	if err := t.standsOut(stays == "" || stays != before.Name, stays == "" || stays != after.Name); err != nil {
		return err
	}
	t.smooth()
	t.markEnds()
	return nil
}

// backDeg is how far off straight back a turn is no turn to either side: more than the
// last digits of a line make of it.
const backDeg = 1e-3

// standsOut refuses a strip on a stretch of a longer line of the taker, as that of a
// bib on the top of a band, where it would stand out as a tab. It tells of an end of the
// giver's edge only where the strip has a width there.
func (t *transfer) standsOut(start, end bool) error {
	o := t.taker.Outline
	n := len(o)
	turn := func(a, b piece.Edge) float64 { return a.Line[len(a.Line)-1].TurnDeg(b.Line[0]) }
	f, before, after := o[t.f], o[(t.f+n-1)%n], o[(t.f+1)%n]
	if start && turn(f, after) < piece.MidLineDeg || end && turn(before, f) < piece.MidLineDeg { // sewn, they run against each other
		return fmt.Errorf("%s/%s is a stretch of a longer line, on which the strip would stand out", t.taker.Name, f.Name)
	}
	return nil
}

// room refuses a strip that lies along the taker's edge beside it, such as one of a
// front whose neckline starts out straight up from its centre: where the two meet
// neither could be sewn.
func (t *transfer) room() error {
	n := len(t.grown)
	for k, edge := range t.grown {
		next := t.grown[(k+1)%n]
		if (edge.From == t.giver.Name) == (next.From == t.giver.Name) || k == t.newF || (k+1)%n == t.newF {
			continue
		}
		u, v := edge.Line[len(edge.Line)-1].Tangent(1), next.Line[0].Tangent(0)
		turn := plane.TurnDeg(v, u)
		if turn < backDeg-180 {
			turn = 180 // straight back, whichever way the last digit says
		}
		if turn > 180-cornerRoom {
			beside := edge
			if edge.From == t.giver.Name {
				beside = next
			}
			return fmt.Errorf("the strip would leave %.0f° to %s/%s beside it, too little for seam allowances", 180-turn, t.taker.Name, beside.Name)
		}
	}
	return nil
}

// markEnds puts a notch where the seam was, on each edge of the taker that is sewn
// to another piece: that is what the end of a sleeve's seam, or the crown of its cap,
// was drawn to meet, and no seam shows it now.
func (t *transfer) markEnds() {
	n := len(t.grown)
	for _, k := range []int{t.newF - 1, t.newF + 1} {
		e := &t.grown[(k+n)%n]
		if e.From != t.giver.Name || !t.sewn[piece.Ref{Piece: e.From, Edge: e.Name}] {
			continue
		}
		at := 0.0
		if k > t.newF {
			at = e.Line.Length()
		}
		if !slices.ContainsFunc(e.Notches, func(n piece.Notch) bool { return math.Abs(n.AtMM-at) < meetsMM }) {
			e.Notches = append(slices.Clone(e.Notches), piece.Notch{AtMM: at, Count: 1})
			slices.SortFunc(e.Notches, func(a, b piece.Notch) int { return cmp.Compare(a.AtMM, b.AtMM) })
		}
	}
}

// sew puts the strip on the taker in place of edge f, laid by m. Where the two
// edges are not one line it lies a hair further out or in, so that the taker
// gains the area that the giver lost.
func (t *transfer) sew(strip piece.Outline, m curve.Matrix, area float64) {
	o := t.taker.Outline
	f := o[t.f].Line
	a, b := f.Start(), f.End()
	l := plane.Distance(a, b)
	out := orb.Point{(b[1] - a[1]) / l, (a[0] - b[0]) / l}
	shift := 0.0
	for range 4 {
		laid := strip.Transform(m.Then(curve.Shift(shift*out[0], shift*out[1])))
		grown := append(append(append(piece.Outline{}, o[:t.f]...), laid...), o[t.f+1:]...)
		t.grown = keeping(grown, t.f, t.newF)
		short := area - (plane.SignedArea(t.grown.Ring()) - plane.SignedArea(o.Ring()))
		if math.Abs(short) < 0.5 {
			break
		}
		shift += short / l
	}
}

// keeping is the edges made to meet exactly, the k-th left as it is, and those of the taker
// where the strip, which begins with the first-th, meets them.
func keeping(o piece.Outline, first, k int) piece.Outline {
	for i := range o {
		o[i].Line = append(curve.Path{}, o[i].Line...)
	}
	for i := range o {
		end, start := &o[i].Line[len(o[i].Line)-1].P1, &o[(i+1)%len(o)].Line[0].P0
		if next := (i + 1) % len(o); i == k || next == first && next != k {
			*start = *end
		} else {
			*end = *start
		}
	}
	return o
}

// alike refuses edges that are not nearly one line: that bend, differ in length
// or in shape, or have a dart open on them. A strip between them would not lie
// flat, or not fit where it goes.
func (t *transfer) alike(e, f piece.Edge) error {
	for _, side := range []struct {
		p    *piece.Piece
		edge piece.Edge
	}{{t.giver, e}, {t.taker, f}} {
		for _, d := range side.p.Darts {
			for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
				if _, away := side.edge.Line.Nearest(leg); away < 0.1 {
					return fmt.Errorf("a dart opens on %s/%s, and would open into the strip", side.p.Name, side.edge.Name)
				}
			}
		}
		if bend := bow(side.edge.Line); bend > mostBowRatio*side.edge.Line.Length() {
			return fmt.Errorf("the edges bend by %.1f mm", bend)
		}
	}
	if off := math.Abs(e.Line.Length() - f.Line.Length()); off > alikeMM {
		return fmt.Errorf("their lengths differ by %.1f mm", off)
	}
	laid := e.Line.Transform(laidOn(e.Line, f.Line, 0.5))
	for _, q := range laid.Flatten(curve.FlattenMM) {
		_, away := f.Line.Nearest(q)
		t.differMM = math.Max(t.differMM, away)
	}
	if t.differMM > mostDifferMM {
		return fmt.Errorf("they bend unlike, and lie up to %.1f mm apart", t.differMM)
	}
	return nil
}

// laidOn lays an edge on the one that it is sewn to, which runs against it, so that they meet
// a share of the way along it: at the end that stays, or half way, so that of two edges that
// differ a little in length a piece and its mirror image get the same.
func laidOn(e, f curve.Path, share float64) curve.Matrix {
	m := curve.Align(e.Start(), e.End(), f.End(), f.Start())
	meet := plane.Lerp(f.End(), f.Start(), share)
	at := m.Apply(plane.Lerp(e.Start(), e.End(), share))
	return m.Then(curve.Shift(meet[0]-at[0], meet[1]-at[1]))
}

// together are the notches of two joined edges, along the first: those that
// meet, or those of the edge that alone has any.
func together(e, f piece.Edge) ([]piece.Notch, error) {
	mates := f.Reverse().Notches
	switch {
	case len(e.Notches) == 0:
		return mates, nil
	case len(mates) == 0:
		return append([]piece.Notch(nil), e.Notches...), nil
	case len(mates) != len(e.Notches):
		return nil, fmt.Errorf("they have %d and %d notches", len(e.Notches), len(mates))
	}
	for i, n := range e.Notches {
		if n.Count != mates[i].Count || math.Abs(n.AtMM-mates[i].AtMM) > notchesMM {
			return nil, fmt.Errorf("their notches do not meet %.0f mm along them", n.AtMM)
		}
	}
	return append([]piece.Notch(nil), e.Notches...), nil
}

// clear refuses a strip that holds what must stay whole.
func (t *transfer) clear(strip piece.Outline) error {
	ring := strip.Ring()
	if _, crosses := piece.SelfCrossing(ring); crosses || plane.SignedArea(ring) <= 0 {
		return fmt.Errorf("a strip of %.0f mm would cross itself", t.byMM)
	}
	for _, d := range t.giver.Darts {
		for _, q := range []orb.Point{d.Leg1, d.Apex, d.Leg2} {
			if within(ring, q) {
				return fmt.Errorf("a dart lies in the strip")
			}
		}
	}
	for _, f := range t.giver.FishEyes {
		if len(curve.Crossings(strip.Path(), f.Line())) > 0 || within(ring, f.Apex[0]) {
			return fmt.Errorf("a dart lies in the strip")
		}
	}
	for _, k := range t.giver.Keeps {
		for _, q := range k.Line.Flatten(1) {
			if within(ring, q) {
				return fmt.Errorf("a keep zone lies in the strip")
			}
		}
	}
	return nil
}

// newEdge is the edge moved into a clockwise outline by a width that goes
// evenly from from at its start to to at its end, and carried on straight to
// where it meets the edges before and after, back and on mm along them. A
// width of 0 leaves that end where it is.
func newEdge(before, edge, after curve.Path, from, to float64) (back, on float64, line curve.Path, ok bool) {
	line = inward(edge, from, to)
	first, last := line[0], line[len(line)-1]
	reach := 3*math.Max(from, to) + 50
	back, on = before.Length(), 0
	start, end := 0.0, line.Length()
	if from > 0 {
		u := first.Tangent(0)
		line = append(curve.Path{curve.Line(orb.Point{first.P0[0] - reach*u[0], first.P0[1] - reach*u[1]}, first.P0)}, line...)
		end += reach
	}
	if to > 0 {
		u := last.Tangent(1)
		line = append(line, curve.Line(last.P1, orb.Point{last.P1[0] + reach*u[0], last.P1[1] + reach*u[1]}))
	}
	if from > 0 {
		back = -1
		for _, c := range curve.Crossings(before, line) {
			if c.OnP > back {
				back, start = c.OnP, c.OnQ
			}
		}
	}
	if to > 0 {
		on = math.Inf(1)
		for _, c := range curve.Crossings(after, line) {
			if c.OnP < on {
				on, end = c.OnP, c.OnQ
			}
		}
	}
	const least = 1.0
	if back < least || on > after.Length()-least || end-start < 10 {
		return 0, 0, nil, false
	}
	line = line.Between(start, end)
	if bow(edge) < straightMM {
		line = curve.Polyline(line.Start(), line.End())
	}
	const hairMM = 0.1 // more than curve.StubMM: corners are trued by the direction at the ends
	return back, on, line.WithoutHairs(hairMM), true
}

// inward is a line moved to its right by a width that goes evenly from from to
// to along it. A curve is moved at stations, and keeps its direction at each.
func inward(line curve.Path, from, to float64) curve.Path {
	length := line.Length()
	straight := bow(line) < straightMM
	at := func(mm float64) orb.Point {
		q, u := line.At(math.Max(0, math.Min(length, mm)))
		w := from + (to-from)*mm/length
		if straight {
			a, b := line.Start(), line.End()
			l := plane.Distance(a, b)
			u = orb.Point{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
			q = orb.Point{a[0] + u[0]*l*mm/length, a[1] + u[1]*l*mm/length}
		}
		return orb.Point{q[0] - w*u[1], q[1] + w*u[0]}
	}
	if straight {
		return curve.Polyline(at(0), at(length))
	}
	const stationMM = 12.0
	n := int(math.Ceil(length / stationMM))
	step := length / float64(n)
	slope := func(mm float64) orb.Point { // per mm
		lo, hi := math.Max(0, mm-0.05), math.Min(length, mm+0.05)
		a, b := at(lo), at(hi)
		return orb.Point{(b[0] - a[0]) / (hi - lo), (b[1] - a[1]) / (hi - lo)}
	}
	var out curve.Path
	for i := range n {
		a, b := float64(i)*step, float64(i+1)*step
		p, q, u, v := at(a), at(b), slope(a), slope(b)
		out = append(out, curve.Cubic(p, orb.Point{p[0] + u[0]*step/3, p[1] + u[1]*step/3}, orb.Point{q[0] - v[0]*step/3, q[1] - v[1]*step/3}, q))
		if i > 0 {
			out[i].P0 = out[i-1].P1
		}
	}
	return out
}

// smooth trues the lines that run on from the taker's own edges to the strip's
// ends, where the seam was, and looks at those that run on across it now.
func (t *transfer) smooth() {
	n := len(t.grown)
	for _, i := range []int{t.f - 1, t.newF + 1} {
		i = (i + n) % n
		j := (i + 1) % n
		a, b := t.grown[i], t.grown[j]
		if (a.From == t.giver.Name) == (b.From == t.giver.Name) || i == t.newF || j == t.newF {
			continue
		}
		out, found := allowance.True(t.grown, i)
		if found.CornerDeg > drawnDeg {
			continue
		}
		if math.Abs(plane.SignedArea(out.Ring())-plane.SignedArea(t.grown.Ring())) > truedMM2 {
			found.MovedMM, found.Left = 0, true
			out = t.grown
		} else if _, crosses := piece.SelfCrossing(out.Ring()); crosses {
			found.MovedMM, found.Left = 0, true
			out = t.grown
		}
		t.grown = out
		if found.MovedMM == 0 && !found.Left {
			continue
		}
		t.trued = append(t.trued, truedOn(t.taker, a.Name, found))
	}
	o, k := t.giver.Outline, len(t.rest)
	drawnStart, drawnEnd := allowance.AcrossDeg(o, t.e, t.taker.Outline, t.f)
	start, end := allowance.AcrossDeg(t.rest, t.e, t.grown, t.newF)
	line := t.rest[t.e].Line
	// A corner that was drawn where the seam's end stays is no new one.
	if line.Start() == o[t.e].Line.Start() {
		start = math.Max(0, start-drawnStart)
	}
	if line.End() == o[t.e].Line.End() {
		end = math.Max(0, end-drawnEnd)
	}
	look := func(deg float64, at orb.Point, name string) {
		if deg > cornerDeg {
			t.trued = append(t.trued, truedOn(t.giver, name, allowance.Trued{At: at, CornerDeg: deg, Left: true}))
		}
	}
	look(start, line.Start(), t.rest[(t.e+k-1)%k].Name)
	look(end, line.End(), t.rest[(t.e+1)%k].Name)
}

const (
	cornerDeg = 2.0  // a corner in a line that runs on that a maker would see
	drawnDeg  = 30.0 // a sharper one was meant, and the line does not run on
)

func inside(o piece.Outline, q orb.Point) bool {
	r := o.Ring()
	return planar.RingContains(append(r, r[0]), q)
}

// bow is the greatest distance of a line from its chord.
func bow(line curve.Path) float64 {
	chord := curve.Polyline(line.Start(), line.End())
	var most float64
	for _, q := range line.Flatten(curve.FlattenMM) {
		_, away := chord.Nearest(q)
		most = math.Max(most, away)
	}
	return most
}
