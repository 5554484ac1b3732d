package split

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// levelMark is a notch that shows where the end of a piecing seam must meet
// the piece across a join. One is at the end of the seam, on each part there,
// and one as far along the edge that this is sewn to.
type levelMark struct {
	seam   int
	part   int
	own    bool // at the seam's own end
	at     orb.Point
	toward orb.Point // out of the part
	edge   string
}

const (
	onPartMM    = 0.05 // how far a mark may lie off the edge of a part that has it
	markAsideMM = 5.0  // a mark nearer to the end of an edge tells nothing that the end does not

	// By how much of its length an edge may be eased onto another, and lie on it evenly
	// from notch to notch. More, as the cap of a sleeve has, lies where the maker wants
	// it. (Common practice, no source.)
	evenEaseShare = 0.005
)

// levelMarks are the marks of every seam that ends on a join. There is none
// where the neighbour's own seam meets it, nor where it is not known which place on
// the one edge is sewn to a place on the other: where a dart opens on one, where
// taking darts in has turned a bit of one, and where more of one is eased or gathered
// onto the other than lies evenly.
func (m *Made) levelMarks() []levelMark {
	var out []levelMark
	for i := range m.Seams {
		s := &m.Seams[i]
		for _, end := range s.Ends {
			if end.Edge.Name == "" || end.Edge.From != "" || len(end.Edge.Line) == 0 || opensOn(m.Plan.Pieces[s.Piece], end.Edge) || !m.inPlace(s.Piece, end.Edge) {
				continue
			}
			// A part that has the place, but not this seam, lies beside another
			// seam that ends at the same place.
			own := slices.DeleteFunc(m.marksAt(s.Piece, end.Edge.Name, end.At), func(l levelMark) bool {
				return !slices.ContainsFunc(m.Parts[l.part].Outline, func(e piece.Edge) bool { return e.Seam == s.Name })
			})
			var across []levelMark
			for _, f := range m.sewnTo(s.Piece, end.Edge) {
				edge := m.Plan.Pieces[f.copy].Outline[f.edge]
				at := mateByNotches(edge, end.Edge, end.AlongMM)
				if at < markAsideMM || at > edge.Line.Length()-markAsideMM || m.endsOn(f, at) || !m.inPlace(f.copy, edge) {
					continue
				}
				q, _ := edge.Line.At(at)
				across = append(across, m.marksAt(f.copy, edge.Name, q)...)
			}
			if len(own) == 0 || len(across) == 0 {
				continue
			}
			for k := range own {
				own[k].own = true
			}
			for _, mark := range append(own, across...) {
				mark.seam = i
				out = append(out, mark)
			}
		}
	}
	return out
}

// opensOn reports whether a dart of the piece opens on an edge of it.
func opensOn(p *piece.Piece, e piece.Edge) bool {
	for _, d := range p.Darts {
		for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
			if _, away := e.Line.Nearest(leg); away < 0.1 {
				return true
			}
		}
	}
	return false
}

// inPlace reports whether an edge of a copy lies on its parts as it was drawn.
func (m *Made) inPlace(copy int, e piece.Edge) bool {
	var sum float64
	for _, part := range m.Parts {
		if part.Piece != copy {
			continue
		}
		for _, bit := range part.Outline {
			if bit.Name != e.Name || bit.Seam != "" || bit.From != "" {
				continue
			}
			_, start := e.Line.Nearest(bit.Line.Start())
			_, end := e.Line.Nearest(bit.Line.End())
			if math.Max(start, end) < onPartMM {
				sum += bit.Line.Length()
			}
		}
	}
	return math.Abs(sum-e.Line.Length()) < 2*onPartMM
}

// marksAt are marks at a point of a named edge of a copy, on each part that has
// that point of it.
func (m *Made) marksAt(copy int, edge string, at orb.Point) []levelMark {
	var out []levelMark
	for k, part := range m.Parts {
		if part.Piece != copy {
			continue
		}
		for i, e := range part.Outline {
			if e.Name != edge || e.Seam != "" || e.From != "" {
				continue
			}
			if along, away := e.Line.Nearest(at); away < onPartMM {
				q, toward := part.Outline.Out(i, along)
				out = append(out, levelMark{part: k, at: q, toward: toward, edge: edge})
				break
			}
		}
	}
	return out
}

// mateByNotches is what Mate is, with ease spread evenly from one notch to the next
// where both edges have the same ones.
func mateByNotches(e, f piece.Edge, mm float64) float64 {
	l, m := e.Line.Length(), f.Line.Length()
	mates := e.Reverse().Notches
	if math.Abs(l-m) <= alikeMM || len(mates) != len(f.Notches) {
		return Mate(e, f, mm)
	}
	from, to := [2]float64{}, [2]float64{m, l} // on f, and on e from its end
	for i, n := range f.Notches {
		switch {
		case n.Count != mates[i].Count || math.Abs(n.AtMM-mates[i].AtMM) > math.Abs(l-m)+notchesMM:
			return Mate(e, f, mm)
		case n.AtMM <= mm:
			from = [2]float64{n.AtMM, mates[i].AtMM}
		case to[0] == m:
			to = [2]float64{n.AtMM, mates[i].AtMM}
		}
	}
	if to[0] <= from[0] {
		return l - from[1]
	}
	return l - (from[1] + (mm-from[0])/(to[0]-from[0])*(to[1]-from[1]))
}

// sewnTo are the edges that the edge of a copy is sewn to, each point of it to a point
// that is known.
func (m *Made) sewnTo(copy int, e piece.Edge) []edgeAt {
	copies := m.Plan.Pieces
	at := edgeAt{copy, find(copies[copy].Outline, e)}
	if at.edge < 0 {
		return nil
	}
	var out []edgeAt
	here := piece.Ref{Piece: copies[copy].Name, Edge: e.Name}
	for _, j := range e.Joins {
		from, to := edgesOf(copies, here), edgesOf(copies, j)
		pairs, isStrip := pairsOfStrip(copies, from, to)
		switch {
		case isStrip:
		case j == here: // a left copy to the right one
			if len(to) == 2 && to[0].copy != to[1].copy {
				pairs = [][2]edgeAt{{to[0], to[1]}, {to[1], to[0]}}
			}
		case j.Piece == here.Piece:
		case len(from) == len(to):
			pairs = meeting(copies, from, to)
		default:
			pairs = m.meetingLayers(from, to)
		}
		for _, pair := range pairs {
			f := copies[pair[1].copy].Outline[pair[1].edge]
			if pair[0] == at && evenly(f.Line.Length(), e.Line.Length()) && !opensOn(copies[pair[1].copy], f) {
				out = append(out, pair[1])
			}
		}
	}
	return out
}

// meetingLayers are the edges that meet where one of two pieces that are sewn to each
// other alone is cut in layers, each of them with as many edges as the other has, as both
// of a yoke; and those of meeting where neither is.
func (m *Made) meetingLayers(from, to []edgeAt) [][2]edgeAt {
	copies := m.Plan.Pieces
	byCopy := func(of []edgeAt) (out [][]edgeAt) {
		for i, at := range of {
			if i == 0 || of[i-1].copy != at.copy {
				out = append(out, nil)
			}
			out[len(out)-1] = append(out[len(out)-1], at)
		}
		return out
	}
	alone := func(of []edgeAt) bool {
		return len(of) > 0 && len(copies[of[0].copy].Outline[of[0].edge].Joins) == 1
	}
	layers := func(of, other []edgeAt) [][]edgeAt {
		groups := byCopy(of)
		if len(other) < 2 || !alone(of) || !alone(other) || copies[of[0].copy].Mirrored || slices.ContainsFunc(groups, func(g []edgeAt) bool { return len(g) != len(other) }) {
			return nil
		}
		return groups
	}
	var out [][2]edgeAt
	for _, layer := range layers(to, from) {
		out = append(out, meeting(copies, from, layer)...)
	}
	for _, layer := range layers(from, to) {
		out = append(out, meeting(copies, layer, to)...)
	}
	if len(out) == 0 {
		return meeting(copies, from, to)
	}
	return out
}

// evenly reports whether edges so long lie on each other evenly, from notch to notch.
func evenly(a, b float64) bool {
	return math.Abs(a-b) <= math.Max(alikeMM, evenEaseShare*math.Min(a, b))
}

// endsOn reports whether a piecing seam ends that far along an edge.
func (m *Made) endsOn(f edgeAt, alongMM float64) bool {
	e := m.Plan.Pieces[f.copy].Outline[f.edge]
	for i := range m.Seams {
		for _, end := range m.Seams[i].Ends {
			if m.Seams[i].Piece == f.copy && find(piece.Outline{e}, end.Edge) == 0 && math.Abs(end.AlongMM-alongMM) < meetsMM {
				return true
			}
		}
	}
	return false
}

func (m *Made) levelNotch(l levelMark) plan.Notch {
	return plan.Notch{At: plan.Point(l.at), For: l.edge, Count: 1, Toward: plan.Point(l.toward), Level: m.Seams[l.seam].Name}
}

// meetsMarks says which pieces have a mark for the ends of a seam, and which other seams
// these meet, for the sewing order; nothing where none has.
func (m *Made) meetsMarks(seam int, marks []levelMark) string {
	var pieces []string
	for _, l := range marks {
		if name := m.Plan.Pieces[m.Parts[l.part].Piece].ID(); l.seam == seam && !l.own && !slices.Contains(pieces, name) {
			pieces = append(pieces, name)
		}
	}
	var meets []string
	if len(pieces) > 0 {
		meets = append(meets, fmt.Sprintf("the mark %s on %s", m.Seams[seam].Name, strings.Join(pieces, " and ")))
	}
	for _, pair := range meetings(m) {
		for k := range pair {
			if one := "seam " + pair[1-k]; pair[k] == m.Seams[seam].Name && !slices.Contains(meets, one) {
				meets = append(meets, one)
			}
		}
	}
	if len(meets) == 0 {
		return ""
	}
	return fmt.Sprintf(" Where it ends it meets %s.", strings.Join(meets, ", and "))
}

// unmarked says on which edges a seam ends where none of its marks shows on what they
// are sewn to, for one of the two is eased or gathered.
func (m *Made) unmarked(seam int, marks []levelMark, walked []allowance.Walked) string {
	s := &m.Seams[seam]
	if s.Carried {
		return "" // it goes on there
	}
	var out []string
	for _, end := range s.Ends {
		here := piece.Ref{Piece: m.Plan.Pieces[s.Piece].Name, Edge: end.Edge.Name}
		for _, w := range walked {
			to := w.B
			if !slices.Contains(w.A, here) {
				if to = w.A; !slices.Contains(w.B, here) {
					continue
				}
			}
			marked := slices.ContainsFunc(marks, func(l levelMark) bool {
				of := m.Plan.Pieces[m.Parts[l.part].Piece].Name
				return l.seam == seam && !l.own && slices.ContainsFunc(to, func(r piece.Ref) bool { return r.Piece == of })
			})
			if here.Edge == "" || marked || w.Stretch || evenly(w.AMM, w.BMM) {
				continue
			}
			how := "gathered or stretched"
			if w.EasesIn() {
				how = "eased in"
			}
			if one := fmt.Sprintf(" No mark shows on %s where it ends on %s, for cloth is %s there.", inRow(to), here, how); !slices.Contains(out, one) {
				out = append(out, one)
			}
		}
	}
	return strings.Join(out, "")
}
