package split

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// The points of the cost. Fewer seams always come first in the ranking; these
// weigh plans with as many seams against each other. They are judgement, from
// what makers avoid (common practice, no source).
const (
	pointsPerSeam    = 10.0
	pointsPer100MM   = 1.0
	pointsBulk       = 2.0  // an end within bulkMM of an underarm point, a notch or another seam's end
	pointsArmhole    = 3.0  // an end in an armhole or a neckline
	pointsMeets      = -3.0 // meets the neighbour's seam at the same level across a join
	pointsWelcome    = -3.0 // runs along a level that was drawn
	pointsAtSeam     = -2.0 // a seam of a band, cuff or facing goes on from a seam of the garment
	pointsAtShoulder = -3.0 // from the shoulder's or a raglan, which is the first place to piece a band
	pointsCentre     = -1.0 // a centre seam rather than a panel line off the middle
	pointsUneven     = 3.0  // a left that differs from its right
	pointsDart       = -4.0 // takes in a dart
	pointsWidest     = -1.0 // divides a dart with two points where it is widest
	pointsBent       = 2.0  // divides it elsewhere: the legs of one half bend
	pointsAcross     = 20.0 // crosses a dart that can only be sewn across the seam: more than is likely to speak against another line
	pointsMove       = 4.0
	pointsPerMoved10 = 0.5  // for every 10 mm that a seam moves, on the average along it
	pointsSlant      = 3.0  // a corner piece shows more than a straight yoke
	pointsCurve      = 0.5  // a curve takes more care to sew
	pointsUnlike     = 12.0 // copies of a piece in unlike looks
	pointsPerApart10 = 2.0  // for every 10 mm by which the lines between two looks that were wished for lie lower on one copy: they are seen side by side
	pointsTwoLooks   = 4.0  // a seam between two looks, which shows more than one within a look
	pointsStops      = 3.0  // such a seam ends at a join and is not carried on: a block that stops
	pointsManyLooks  = 4.0  // each look in a garment beyond mostLooks
	pointsBroken     = 6.0  // a stripe in a look that is not its turn's, or two blocks side by side in one look
	pointsPreferred  = 8.0  // a preferred wish that is not kept
	pointsPerTurn15  = 1.0  // for every 15 degrees that a carried line turns at a join: it does not look like one line

	bulkMM      = 15.0
	meetsMM     = 3.0
	seenApartMM = 5.0
)

// Term is a line of the cost, as the report shows it.
type Term = plan.Term

// Cost is how intrusive a plan is, term by term. The terms add up to the
// plan's intrusion; less is better.
func Cost(m *Made) []Term {
	var out []Term
	add := func(points float64, name, format string, args ...any) {
		if points != 0 {
			out = append(out, Term{Name: name, Detail: fmt.Sprintf(format, args...), Points: points})
		}
	}
	added, length := m.unwished()
	if wished := len(m.Seams) - added; wished > 0 {
		out = append(out, Term{Name: "seams wished for", Detail: fmt.Sprintf("%d, %.0f mm long, at no points", wished, m.LengthMM()-length)})
	}
	if added > 0 {
		add(float64(added)*pointsPerSeam, "seams added", "%d at %g points", added, pointsPerSeam)
		add(length/100*pointsPer100MM, "their length", "%.0f mm at %g point per 100 mm", length, pointsPer100MM)
	}
	uneven := unevenCopies(m)
	for i := range m.Seams {
		s := &m.Seams[i]
		p := m.Plan.Pieces[s.Piece]
		darts := dartTerms(s, p, !slices.Contains(uneven, p.Name))
		if m.wished(s) {
			out = append(out, darts...)
			continue
		}
		for _, end := range s.Ends {
			if what := bulkAt(m, i, end); what != "" {
				add(pointsBulk, "bulk", "seam %s ends within %g mm of %s", s.Name, bulkMM, what)
			}
			if (isArmhole(end.Edge.Name) || hasWord(end.Edge.Name, "neck")) && seamEndAt(p, end.At) == "" {
				add(pointsArmhole, "ends in a curve", "seam %s ends in the %s", s.Name, end.Edge.Name)
			}
		}
		if onLevel(s, p) {
			add(pointsWelcome, "welcome level", "seam %s runs where the pattern welcomes one", s.Name)
		}
		if seam := meetsSeam(s, p); seam != "" {
			points := pointsAtSeam
			if seamOrder(seam) == 0 {
				points = pointsAtShoulder
			}
			add(points, "meets a garment seam", "seam %s of %s is at the %s", s.Name, p.ID(), seam)
		}
		terms, offMiddle := s.Way.Cost(s, p)
		out = append(out, terms...)
		out = append(out, darts...)
		if offMiddle && p.Centre != nil {
			add(pointsUneven, "left and right differ", "seam %s is off the middle of %s", s.Name, p.ID())
		}
	}
	for _, pair := range meetings(m) {
		if m.wishedNamed(pair[0]) || m.wishedNamed(pair[1]) {
			continue
		}
		add(pointsMeets, "meets its neighbour", "seams %s and %s run on across a join", pair[0], pair[1])
	}
	if m.Plan.Carry != nil {
		if at := m.Plan.Carry.Sharpest(); at.TurnDeg > plan.SmoothDeg {
			add(at.TurnDeg/15*pointsPerTurn15, "turns at a join", "the carried line turns by up to %.0f° where %s is sewn to %s", at.TurnDeg, at.Join[0], at.Join[1])
		}
	}
	for _, name := range uneven {
		add(pointsUneven, "left and right differ", "the copies of %s are split differently", name)
	}
	for _, name := range m.Plan.Blocks {
		if mm := m.LinesApartMM(name); mm > seenApartMM {
			add(mm/10*pointsPerApart10, "lines at two heights", "between the looks of %s, by %.0f mm", name, mm)
		}
	}
	out = append(out, LookTerms(m)...)
	for _, wish := range m.Plan.Unkept {
		add(pointsPreferred, "a preferred wish", "%q is not kept", wish)
	}
	for _, mv := range m.Plan.Moves {
		add(pointsMove+mv.meanMM()/10*pointsPerMoved10, "moved seam", "%s", mv)
	}
	return out
}

// dartTerms is what a seam costs for the darts that it comes to. A dart taken in is a gain
// where the piece's other copies are split alike: else theirs is sewn, and elsewhere.
func dartTerms(s *PiecingSeam, p *piece.Piece, alike bool) (out []Term) {
	add := func(points float64, name, format string, args ...any) {
		if points != 0 {
			out = append(out, Term{Name: name, Detail: fmt.Sprintf(format, args...), Points: points})
		}
	}
	if n := len(s.Taken) + len(s.TakenEyes); n > 0 && alike {
		add(float64(n)*pointsDart, "darts taken in", "seam %s takes in %d", s.Name, n)
	}
	widest := 0
	for _, d := range s.Divided {
		if d.Widest {
			widest++
		}
	}
	add(float64(widest)*pointsWidest, "darts divided", "seam %s divides %d with two points where they are widest", s.Name, widest)
	bent := len(s.Divided) - widest
	add(float64(bent)*pointsBent, "darts divided", "seam %s divides %d with two points, not where they are widest", s.Name, bent)
	add(float64(s.Across)*pointsAcross, "crosses darts", "seam %s crosses %d with two points, to be sewn across it", s.Name, s.Across)
	for _, c := range s.Crossed {
		add(pointsAcross, "crosses a dart", "seam %s runs across the %s", s.Name, dartName(p, c.Drawn))
	}
	return out
}

// Intrusion adds the terms up.
func Intrusion(terms []Term) float64 {
	var sum float64
	for _, t := range terms {
		sum += t.Points
	}
	return sum
}

// bulkAt names what an end lies too near to.
func bulkAt(m *Made, seam int, end End) string {
	s := &m.Seams[seam]
	p := m.Plan.Pieces[s.Piece]
	for _, u := range Underarms(p.Outline) {
		if plane.Distance(u, end.At) < bulkMM {
			return "an underarm point"
		}
	}
	for _, e := range p.Outline {
		for _, n := range e.Notches {
			at, _ := e.Line.At(n.AtMM)
			if plane.Distance(at, end.At) < bulkMM && (seamEndAt(p, end.At) == "" || seamEndAt(p, at) == "") {
				return "a notch"
			}
		}
	}
	for k := range m.Seams {
		if k == seam || m.Seams[k].Piece != s.Piece {
			continue
		}
		for _, other := range m.Seams[k].Ends {
			if plane.Distance(other.At, end.At) < bulkMM {
				return "the end of seam " + m.Seams[k].Name
			}
		}
	}
	return ""
}

func onLevel(s *PiecingSeam, p *piece.Piece) bool {
	for _, l := range p.Levels {
		if d, ok := s.Way.(*Drawn); ok && plane.Distance(d.Path.Start(), l.Start()) <= meetsMM && plane.Distance(d.Path.End(), l.End()) <= meetsMM {
			return true // a dart that it takes in moves its ends
		}
		if _, a := s.Line.Nearest(l.Start()); a > 3 {
			if _, a = l.Nearest(s.Line.Start()); a > 3 {
				continue
			}
		}
		if _, a := s.Line.Nearest(l.End()); a <= 3 {
			return true
		}
		if _, a := l.Nearest(s.Line.End()); a <= 3 {
			return true
		}
	}
	return false
}

// meetings are the pairs of seams of different copies whose ends come together
// across a join.
func meetings(m *Made) [][2]string {
	var out [][2]string
	var sewn *mates // of all copies, once two seams end on edges that are joined
	for i := range m.Seams {
		for k := i + 1; k < len(m.Seams); k++ {
			a, b := &m.Seams[i], &m.Seams[k]
			if a.Piece == b.Piece || !endsJoined(m, a, b) {
				continue
			}
			if sewn == nil {
				sewn = m.mates()
			}
			if sewn.run(a, b) {
				out = append(out, [2]string{a.Name, b.Name})
			}
		}
	}
	return out
}

// MeetingPoints are the points of a copy's outline that are sewn to the ends of other
// copies' seams: one that ends there goes on from them.
func (m *Made) MeetingPoints(of int) (out []orb.Point) {
	var sewn *mates
	for i := range m.Seams {
		s := &m.Seams[i]
		for _, end := range s.Ends {
			for k, e := range m.Plan.Pieces[of].Outline {
				if s.Piece == of || len(end.Edge.Line) == 0 || !Joined(e, m.Plan.Pieces[of], end.Edge, m.Plan.Pieces[s.Piece]) {
					continue
				}
				if sewn == nil {
					sewn = m.mates()
				}
				if from := sewn.endAt(s, end); from.edgeAt != none {
					if mm, ok := sewn.on(edgeAt{of, k}, from); ok {
						at, _ := e.Line.At(mm)
						out = append(out, at)
					}
				}
			}
		}
	}
	return out
}

// endsJoined reports whether two seams end on edges of which the pattern joins the one
// to the other, of whichever copies.
func endsJoined(m *Made, a, b *PiecingSeam) bool {
	pa, pb := m.Plan.Pieces[a.Piece], m.Plan.Pieces[b.Piece]
	for _, x := range a.Ends {
		for _, y := range b.Ends {
			if Joined(x.Edge, pa, y.Edge, pb) {
				return true
			}
		}
	}
	return false
}

// Joined reports whether edge e of p is sewn to edge f of q.
func Joined(e piece.Edge, p *piece.Piece, f piece.Edge, q *piece.Piece) bool {
	for _, j := range e.Joins {
		if j.Piece == q.Name && j.Edge == f.Name {
			return true
		}
	}
	for _, j := range f.Joins {
		if j.Piece == p.Name && j.Edge == e.Name {
			return true
		}
	}
	return false
}

// Mate is how far along edge e the point lies that is sewn to the point mm
// along edge f: right sides together the one runs against the other, and ease
// is spread evenly.
func Mate(e, f piece.Edge, mm float64) float64 {
	l := f.Line.Length()
	return (l - mm) / l * e.Line.Length()
}

// unevenCopies names the pieces whose copies are not all split alike; see CutAlike.
func unevenCopies(m *Made) []string {
	copies := map[string][]int{}
	var order []string
	for i, p := range m.Plan.Pieces {
		if p.Count < 2 {
			continue
		}
		if copies[p.Name] == nil {
			order = append(order, p.Name)
		}
		copies[p.Name] = append(copies[p.Name], i)
	}
	var out []string
	for _, name := range order {
		if !CutAlike(m, copies[name]) {
			out = append(out, name)
		}
	}
	return out
}

// CutAlike reports whether some copies are all split alike: by the same ways in
// the same order, and where a seam runs across the grain at the same level. Levels
// along the grain differ between mirror images.
func CutAlike(m *Made, copies []int) bool {
	for _, i := range copies {
		if shapeOf(m.Plan.Trees[i]) != shapeOf(m.Plan.Trees[copies[0]]) {
			return false
		}
	}
	return true
}

func shapeOf(t *Tree) string {
	if t.Way == nil {
		return "·"
	}
	level := ""
	if t.Way.Traits().Runs == Across { // mirror images share only their levels down the grain
		level = fmt.Sprintf("%.0f", t.LevelMM/meetsMM)
	}
	return strings.Join([]string{t.Way.Kind(), level, shapeOf(t.Near), shapeOf(t.Far)}, "(")
}
