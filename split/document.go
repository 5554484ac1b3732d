package split

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// documentPieces is every copy of every piece as plan.json holds it, as
// drawn.
func documentPieces(copies []*piece.Piece) []plan.Piece {
	var out []plan.Piece
	for _, p := range copies {
		out = append(out, plan.Piece{
			Name: p.Name, Copy: p.Copy, SeamLine: points(p.Outline.Ring()), GrainDeg: p.GrainDeg,
			Fabric: strings.Join(p.Fabrics, " or "), Kind: p.Kind, Use: p.Use, Optional: p.Optional, Ready: p.Ready, Flipped: p.Flipped, Side: sideOf(p),
			Edges: stretched(edges(p.Outline), p), Notches: notches(p.Outline), Darts: each(p.Darts, dart), FishEyes: each(p.FishEyes, fishEye),
		})
	}
	return out
}

// sideOf is the side that tells a copy from others of its piece.
func sideOf(p *piece.Piece) string {
	if p.Count < 2 {
		return ""
	}
	return p.Side
}

// documentScraps is every copy of every scrap as plan.json holds it.
func documentScraps(scraps []*piece.Scrap) []plan.Scrap {
	var out []plan.Scrap
	for _, s := range scraps {
		d := plan.Scrap{
			Name: s.Name, Copy: max(1, s.Copy), Outline: points(s.Outline), GrainDeg: s.GrainDeg, Nap: s.Nap, Face: "one",
			SavedOf: s.SavedOf, Fabric: s.Fabric, Kind: s.Kind, Look: s.TheLook(), Use: s.Use, Shrink: s.Shrink, Colour: s.Colour, Note: s.Note,
		}
		if s.BothFaces {
			d.Face = "both"
		}
		if s.Striped() {
			d.StripeMM, d.FirstMM, d.StripeRuns = s.Stripe.RepeatMM, s.Stripe.FirstMM, "across"
			if s.Stripe.Along {
				d.StripeRuns = "along"
			}
		}
		for _, h := range s.Holes {
			d.Holes = append(d.Holes, points(h))
		}
		out = append(out, d)
	}
	return out
}

// seenDeg is the sharpest corner of an edge that goes without a word: to 20 mm on
// either side it is half a millimetre off a smooth line, less than chalk is wide
// (common practice, no source).
const seenDeg = 3.0

// option is a plan as one option of plan.json.
func (r *Record) option(m *Made, rank int) plan.Option {
	drawn, scraps := r.Drawn, r.Scraps
	o := plan.Option{Rank: rank, Seams: len(m.Seams), SeamLengthMM: m.LengthMM(), PiecingSeams: []plan.PiecingSeam{}, Cost: Cost(m)}
	o.Intrusion = Intrusion(o.Cost)
	o.BestLooking = m.BestLooking
	cutFrom := make([]float64, len(scraps))
	marks := m.levelMarks()
	for k, part := range m.Parts {
		p := m.Plan.Pieces[part.Piece]
		d := plan.Part{
			Name: part.Name, Piece: p.Name, Copy: p.Copy,
			SeamLine: points(part.Outline.Ring()), CutLine: points(part.Cut), Notches: notches(part.Outline),
			Placement: part.Leaf.placement(), GrainDeg: p.GrainDeg, Edges: edges(part.Outline), Flipped: p.Flipped, IsCut: slices.Contains(r.Cut, part.Name),
		}
		for _, l := range marks {
			if l.part == k {
				d.Notches = append(d.Notches, m.levelNotch(l))
			}
		}
		if path, err := CutPath(part.Of, part.Outline); err == nil {
			d.CutD = path.D() // or else the polygon is drawn
		}
		d.Darts, d.FishEyes, d.DartLegs = dartsOn(part)
		d.FishEyesCrossed = eyesCrossedOn(part)
		d.Crossed = crossedOn(part)
		if k := part.Leaf.Scrap; k < len(scraps) { // a split by hand has none
			d.Scrap, d.ScrapCopy, d.Look = scraps[k].Name, max(1, scraps[k].Copy), scraps[k].TheLook()
			cutFrom[k] += plane.SignedArea(part.Cut)
		}
		o.Parts = append(o.Parts, d)
	}
	for _, i := range m.inSewingOrder() {
		o.PiecingSeams = append(o.PiecingSeams, m.documentSeam(i))
		o.DartsTakenIn += len(m.Seams[i].Taken) + len(m.Seams[i].TakenEyes)
		o.Divided = append(o.Divided, m.documentDivided(i)...)
	}
	_, o.MovedSeams, o.Trued = m.Plan.moved(drawn)
	for i := range m.Seams {
		o.Trued = append(o.Trued, m.Seams[i].Trued...)
	}
	if m.BestLooking != "" {
		o.Notes = append(o.Notes, "of these options this one looks best: "+m.BestLooking)
	}
	o.Notes = append(o.Notes, m.crossedNotes()...)
	o.Notes = append(o.Notes, m.eyesCrossedNotes()...)
	if note := r.offGrainNote(&o, m.Parts); note != "" {
		o.Notes = append(o.Notes, note)
	}
	for _, t := range o.Trued {
		if t.Left && t.CornerDeg >= seenDeg {
			note := fmt.Sprintf("%s: a corner of %.0f° stays in the %s%s, for smoothing it would move the line by more than 1 mm: smooth it by eye where it shows", t.Piece, t.CornerDeg, named(t.Edge), m.alongEdge(t))
			if !slices.Contains(o.Notes, note) { // a left and a right copy have the same
				o.Notes = append(o.Notes, note)
			}
		}
	}
	for i, p := range m.Plan.Pieces {
		now := p.Outline
		if m.Whole[i] != nil {
			now = m.Whole[i]
		}
		if p != drawn[i] || m.Whole[i] != nil {
			o.Moved = append(o.Moved, plan.MovedPiece{
				Piece: p.Name, Copy: p.Copy, SeamLine: points(now.Ring()),
				Darts:    takenFrom(m, i, func(s *PiecingSeam) []TakenDart { return s.Taken }, dart),
				FishEyes: takenFrom(m, i, func(s *PiecingSeam) []TakenFishEye { return s.TakenEyes }, fishEye),
			})
		}
	}
	o.Spoilt = r.Spoilt
	for _, part := range r.Spoilt {
		for i, s := range scraps {
			if s.Name == part.Scrap && max(1, s.Copy) == part.ScrapCopy {
				cutFrom[i] += math.Abs(plane.SignedArea(ringOf(part.CutLine)))
			}
		}
	}
	for i, s := range scraps {
		o.Left = append(o.Left, plan.Left{Scrap: s.Name, Copy: max(1, s.Copy), AreaMM2: s.AreaMM2() - cutFrom[i], Untouched: cutFrom[i] == 0})
	}
	o.Carried = m.documentCarried(scraps)
	o.Stripes, o.Blocks = m.documentStripes(), m.documentBlocks()
	o.StripeMatch = m.documentStripeMatch(scraps)
	o.Joins = r.joins(m)
	o.SewingOrder, o.WaistStep = m.sewingOrder(marks, slices.Concat(drawn, r.Ready))
	o.Wear = m.wear()
	return o
}

func (m *Made) documentSeam(i int) plan.PiecingSeam {
	s := &m.Seams[i]
	p := m.Plan.Pieces[s.Piece]
	d := plan.PiecingSeam{
		Name: s.Name, Kind: s.Kind, Called: s.Way.Called(s.Kind, s.Line, p), Piece: p.Name, Copy: p.Copy,
		Line: line(s.Line.Flatten(curve.FlattenMM)), LengthMM: s.LengthMM, Press: m.press(s), Why: m.why(i),
	}
	for _, k := range append(append([]int{}, s.Near...), s.Far...) {
		d.Parts = append(d.Parts, m.Parts[k].Name)
		for _, e := range m.Parts[k].Outline {
			if e.Seam == s.Name {
				d.AllowanceMM = e.AllowanceMM
			}
		}
	}
	for _, c := range s.Crossed {
		d.Crosses = append(d.Crosses, dart(c.Drawn))
	}
	for _, n := range s.Notches {
		d.NotchesMM = append(d.NotchesMM, n.AtMM)
	}
	d.Cut = m.documentCut(i)
	return d
}

// press says which way a piecing seam's allowance lies (common practice, no
// source): a seam across is pressed down, away from the face it would show
// on; one along the grain, or across a band that goes round, is pressed open, which is
// flatter.
func (m *Made) press(s *PiecingSeam) string {
	if s.Way.Traits().Runs == Across && !liesAround(m.Plan.Pieces[s.Piece]) {
		return "down, toward the lower part"
	}
	return "open"
}

// moved makes the plan's moves again, on the copies as they were drawn, to tell
// what each did.
func (p *Plan) moved(drawn []*piece.Piece) (now []*piece.Piece, moved []plan.MovedSeam, trued []plan.Trued) {
	now = drawn
	for _, mv := range p.Moves {
		next, found, err := mv.apply(now)
		if err != nil {
			continue // it was made once: these are not the pieces it was made on
		}
		d := plan.MovedSeam{Join: mv.From.String() + " " + mv.To.String(), From: mv.From.Piece, To: mv.To.Piece, ByMM: mv.ByMM, Stays: mv.Stays}
		for _, t := range found {
			d.FromLengthMM, d.ToLengthMM = t.rest[t.e].Line.Length(), t.grown[t.newF].Line.Length()
			d.DifferMM = math.Max(d.DifferMM, t.differMM)
			trued = append(trued, t.trued...)
		}
		moved = append(moved, d)
		now = next
	}
	return now, moved, trued
}

// truedOn is what trueing found in a line of a piece.
func truedOn(p *piece.Piece, line string, t allowance.Trued) plan.Trued {
	return plan.Trued{Piece: p.Name, Copy: p.Copy, Edge: line, At: plan.Point(t.At), CornerDeg: t.CornerDeg, MovedMM: t.MovedMM, Left: t.Left}
}

// alongEdge says how far along its edge a corner is, for a tape measure, from the nearer
// end; it is empty where its edge is not found.
func (m *Made) alongEdge(t plan.Trued) string {
	const offMM = 2.0 // the edge was smoothed
	for _, p := range m.Plan.Pieces {
		if p.Name != t.Piece || p.Copy != t.Copy {
			continue
		}
		n := len(p.Outline)
		for i, e := range p.Outline {
			if e.Name != t.Edge || n > 1 && p.Outline[(i+n-1)%n].Name == t.Edge {
				continue
			}
			line, next := e.Line, i+1
			for ; p.Outline[next%n].Name == t.Edge && next < i+n; next++ {
				line = append(slices.Clone(line), p.Outline[next%n].Line...)
			}
			mm, away := line.Nearest(orb.Point(t.At))
			if away > offMM {
				continue
			}
			from := p.Outline[(i+n-1)%n].Name
			if long := line.Length(); mm > long/2 {
				mm, from = long-mm, p.Outline[next%n].Name
			}
			return fmt.Sprintf(", %.0f mm along it from the %s", mm, named(from))
		}
	}
	return ""
}

// named is an edge's name in a sentence.
func named(edge string) string {
	if edge == "" {
		return "outline"
	}
	return edge
}

// sewingOrder is what is sewn in which order, a sentence a step, and which step takes in
// the garment's waist, from 1; 0 for none.
func (m *Made) sewingOrder(marks []levelMark, drawn []*piece.Piece) (out []string, waist int) {
	out = m.dartsFirst()
	sewn := map[int]bool{}
	walked := allowance.Walk(broughtHome(firsts(drawn), firsts(m.Plan.Pieces)))
	for _, i := range m.inSewingOrder() {
		s := &m.Seams[i]
		sewn[i] = true
		if n := len(s.Divided); n > 0 {
			out = append(out, fmt.Sprintf("Sew the %d darts that open on %s, on both sides of it, and press them the same way: their legs meet there.", 2*n, s.Name))
		}
		out = append(out, fmt.Sprintf("Sew %s, a %s: %s to %s, right sides together, notches meeting; press the allowance %s.%s%s%s",
			s.Name, s.Way.Called(s.Kind, s.Line, m.Plan.Pieces[s.Piece]), m.names(s.Near), m.names(s.Far), m.press(s), m.takes(s), m.meetsMarks(i, marks), m.unmarked(i, marks, walked)))
		if s.Across > 0 {
			out = append(out, fmt.Sprintf("Sew the darts that %s crosses after it, across the seam.", s.Name))
		}
		out = append(out, m.dartsAcross(i, sewn)...)
	}
	garment, waist := garmentOrder(drawn, firsts(m.Plan.Pieces), m.Plan.Moves)
	if len(garment) == 0 {
		for _, mv := range m.Plan.Moves {
			out = append(out, fmt.Sprintf("Sew %s to %s as ever; the seam lies %.0f mm over on the side of %s.", mv.From, mv.To, mv.ByMM, mv.From.Piece))
		}
	}
	out = append(out, m.carriedOrder()...)
	whole := "no piece is pieced"
	if len(m.Seams) > 0 {
		whole = "each pieced piece is whole now"
	}
	if len(garment) > 0 {
		out = append(out, fmt.Sprintf("Go on with the garment, right sides together, notches meeting: %s. Press each seam before another crosses it.", whole))
		if waist > 0 {
			waist += len(out)
		}
		return append(out, garment...), waist
	}
	switch {
	case len(m.Seams) > 0:
		out = append(out, "Go on with the pattern as drawn: each pieced piece is whole now.")
	case len(m.Plan.Moves) > 0:
		out = append(out, "Go on with the pattern as drawn.")
	default:
		out = append(out, "Sew the pattern as drawn: no piece is pieced.")
	}
	return out, 0
}

func (m *Made) names(parts []int) string {
	var out []string
	for _, k := range parts {
		out = append(out, m.Parts[k].Name)
	}
	return strings.Join(out, " and ")
}

// points is a ring to a ten-thousandth of a millimetre, so that a point that
// two outlines share is one and the same in both. A ring that would then touch
// itself is left as it is.
func points(r orb.Ring) []plan.Point {
	rounded := line(orb.LineString(r))
	ring := make(orb.Ring, len(r))
	for i, q := range rounded {
		ring[i] = orb.Point(q)
	}
	if _, touches := piece.SelfCrossing(ring); touches {
		for i, q := range r {
			rounded[i] = plan.Point(q)
		}
	}
	return rounded
}

func ringOf(points []plan.Point) orb.Ring {
	out := make(orb.Ring, len(points))
	for i, q := range points {
		out[i] = orb.Point(q)
	}
	return out
}

// line is an open line to a ten-thousandth of a millimetre.
func line(l orb.LineString) []plan.Point {
	out := make([]plan.Point, len(l))
	for i, q := range l {
		out[i] = plan.Point{math.Round(q[0]*1e4) / 1e4, math.Round(q[1]*1e4) / 1e4}
	}
	return out
}

func edges(o piece.Outline) []plan.Edge {
	var out []plan.Edge
	for _, e := range o {
		d := plan.Edge{Name: e.Name, Seam: e.Seam, AllowanceMM: e.AllowanceMM, LengthMM: e.Line.Length(), Ease: e.Ease.String(), D: e.Line.D(), From: e.From}
		for _, j := range e.Joins {
			d.Joins = append(d.Joins, j.String())
		}
		out = append(out, d)
	}
	return out
}

// stretched tells on edges which bits of them are sewn to which others.
func stretched(edges []plan.Edge, p *piece.Piece) []plan.Edge {
	for _, s := range p.Stretches {
		e := &edges[s.Edge]
		e.Stretches = append(e.Stretches, plan.Stretch{To: s.To.String(), Copy: s.Copy, FromMM: s.FromMM, ToMM: s.ToMM})
	}
	return edges
}

func notches(o piece.Outline) []plan.Notch {
	out := []plan.Notch{}
	for i, e := range o {
		for _, n := range e.Notches {
			at, toward := o.Out(i, n.AtMM)
			d := plan.Notch{At: plan.Point(at), For: n.For, Count: n.Count, Toward: plan.Point(toward)}
			if d.For == "" {
				d.For = e.Name
			}
			out = append(out, d)
		}
	}
	return out
}

// each is every dart of one kind by its corners.
func each[D, C any](all []D, corners func(D) C) []C {
	var out []C
	for _, d := range all {
		out = append(out, corners(d))
	}
	return out
}

func dart(d piece.Dart) [3]plan.Point {
	return [3]plan.Point{plan.Point(d.Leg1), plan.Point(d.Apex), plan.Point(d.Leg2)}
}

func fishEye(f piece.FishEye) (out [4]plan.Point) {
	for k, q := range f.Corners() {
		out[k] = plan.Point(q)
	}
	return out
}

// dartsOn are the darts that lie wholly on a part, and the legs, as far as
// they are on it, of those that a seam divides.
func dartsOn(part Part) (whole [][3]plan.Point, eyes [][4]plan.Point, legs [][2]plan.Point) {
	for _, d := range part.Of.Darts {
		if isWhole(part.Outline, d) {
			whole = append(whole, dart(d))
			continue
		}
		for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
			legs = append(legs, insideOf(part.Outline, curve.Polyline(leg, d.Apex))...)
		}
	}
	path := part.Outline.Path()
	for _, f := range part.Of.FishEyes {
		if f.Inside(path) {
			eyes = append(eyes, fishEye(f))
			continue
		}
		for _, leg := range f.Line() {
			legs = append(legs, insideOf(part.Outline, curve.Path{leg})...)
		}
	}
	return whole, eyes, legs
}

// isWhole reports whether a dart lies on a part with its apex and its mouth,
// and no seam runs through it. Its apex may be on a seam, or a hair beyond one.
func isWhole(o piece.Outline, d piece.Dart) bool {
	if !onOutline(o, d.Leg1) || !onOutline(o, d.Leg2) {
		return false
	}
	if d.Seam != "" { // half of one with two points: a seam that it meets crosses it
		return inside(o, d.Apex)
	}
	if slices.ContainsFunc(o, func(e piece.Edge) bool { return e.Seam != "" && through(e.Line, d.Leg1, d.Apex, d.Leg2) }) {
		return false
	}
	_, away := o.Path().Nearest(d.Apex)
	return away <= tipMM || inside(o, d.Apex)
}

// insideOf are the stretches of a straight line that lie in an outline, less
// those that are but the tip of a dart.
func insideOf(o piece.Outline, line curve.Path) [][2]plan.Point {
	stops := []float64{0}
	for _, c := range curve.Crossings(o.Path(), line) {
		stops = append(stops, c.OnQ)
	}
	stops = append(stops, line.Length())
	var out [][2]plan.Point
	for i := 1; i < len(stops); i++ {
		from, _ := line.At(stops[i-1])
		mid, _ := line.At((stops[i-1] + stops[i]) / 2)
		to, _ := line.At(stops[i])
		if stops[i]-stops[i-1] > tipMM && inside(o, mid) {
			out = append(out, [2]plan.Point{plan.Point(from), plan.Point(to)})
		}
	}
	return out
}

// takenFrom are the darts of one kind that the seams of one copy took in.
func takenFrom[D, C any](m *Made, copy int, in func(*PiecingSeam) []Taken[D], corners func(D) C) []plan.Taken[C] {
	var out []plan.Taken[C]
	for i := range m.Seams {
		s := &m.Seams[i]
		if s.Piece != copy {
			continue
		}
		for _, t := range in(s) {
			out = append(out, plan.Taken[C]{Seam: s.Name, Drawn: corners(t.Drawn), Sewn: corners(t.Sewn)})
		}
	}
	return out
}

// documentDivided are the darts with two points that a seam divides.
func (m *Made) documentDivided(i int) []plan.DividedDart {
	s := &m.Seams[i]
	p := m.Plan.Pieces[s.Piece]
	var out []plan.DividedDart
	for _, t := range s.Divided {
		d := plan.DividedDart{Piece: p.Name, Copy: p.Copy, Seam: s.Name, Drawn: fishEye(t.Drawn)}
		for k, half := range t.Halves {
			for _, q := range half {
				d.Halves[k] = append(d.Halves[k], plan.Point(q))
			}
		}
		out = append(out, d)
	}
	return out
}
