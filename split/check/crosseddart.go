package check

import (
	"fmt"
	"math"
	"slices"

	"eke/split/plan"
)

const (
	// mostOfPiece is how many darts a piece can have and still be proved.
	mostOfPiece = 64
	// shortMM is how short a stretch of a leg may be and not be drawn.
	shortMM = 0.1
)

// leftDarts proves that each dart that no seam took in can be sewn once its
// piece's parts are joined: its legs are drawn on the parts all along, and
// where a seam crosses one, both sides have it at the same place of the seam,
// which says that it crosses the dart. Each is told as a dart to sew: whole on
// one part, or across seams.
func (o *optionProof) leftDarts() {
	for _, at := range o.order {
		p := o.pieces[at]
		if len(p.Darts) > mostOfPiece {
			o.fail(Fault{Rule: NotProvable}, "piece %s has %d darts, and %d can be proved", at, len(p.Darts), mostOfPiece)
			return
		}
		if len(o.of[at]) == 0 || o.shifted(at) {
			continue
		}
		var left [][3]point
		for _, d := range p.Darts {
			if !o.isTaken(at, d) {
				o.leftDart(at, d)
				o.isTold(at, d)
				left = append(left, d)
			}
		}
		o.legsMeet(at, left)
		for _, s := range o.seams {
			for _, d := range s.Crosses {
				if s.piece == p && (!hasDart(p.Darts, d) || o.isTaken(at, d) || !o.runsThrough(s, d)) {
					o.fail(Fault{Rule: CrossedDart, Seam: s.Name}, "it is said to cross a dart at %.1f, %.1f, and does not", d[1][0], d[1][1])
				}
			}
		}
	}
}

// shifted reports whether a moved seam has changed the piece, and perhaps its
// darts with it.
func (o *optionProof) shifted(at id) bool {
	for _, m := range o.MovedSeams {
		if m.From == at.name || m.To == at.name {
			return true
		}
	}
	return false
}

func (o *optionProof) isTaken(at id, d [3]point) bool {
	for _, t := range o.taken[at] {
		if dartsApart(t.Drawn, d) <= markMM {
			return true
		}
	}
	return false
}

func hasDart(all [][3]point, d [3]point) bool {
	for _, other := range all {
		if dartsApart(other, d) <= markMM {
			return true
		}
	}
	return false
}

func dartsApart(a, b [3]point) float64 {
	return math.Max(distance(a[1], b[1]), math.Min(
		math.Max(distance(a[0], b[0]), distance(a[2], b[2])),
		math.Max(distance(a[0], b[2]), distance(a[2], b[0]))))
}

// leftDart proves that the legs of one dart are drawn on the parts.
func (o *optionProof) leftDart(at id, d [3]point) {
	drawn, ok := o.legs(at)
	if !ok {
		return
	}
	for _, k := range []int{0, 2} {
		if q, ok := drawnSomewhere(drawn, o.liesOf(at, []point{d[1], d[k]})); !ok {
			o.fail(Fault{Rule: CrossedDart}, "a leg of a dart of piece %s is drawn on no part at %.1f, %.1f", at, q[0], q[1])
			return
		}
	}
}

// isTold proves that a dart is on the list of one part, on which it lies, or of
// seams that it is sewn across, and not of both.
func (o *optionProof) isTold(at id, d [3]point) {
	whole, across := 0, 0
	for _, p := range o.of[at] {
		for _, on := range p.Darts {
			if slices.ContainsFunc(o.liesOf(at, d[:]), func(l []point) bool { return dartsApart([3]point(l), on) <= markMM }) {
				whole++
				if q, off := p.outside(on); off > shortMM+markMM {
					o.fail(Fault{Rule: CrossedDart, Part: p.label}, "it is said to have a dart that is %.1f mm off it at %.1f, %.1f", off, q[0], q[1])
				}
			}
		}
	}
	for _, s := range o.seams {
		if s.piece.id == at && hasDart(s.Crosses, d) {
			across = 1
		}
	}
	if whole+across != 1 {
		o.fail(Fault{Rule: CrossedDart}, "the dart of piece %s at %.1f, %.1f is told %d times, and is to be once: whole on a part, or crossed by seams", at, d[1][0], d[1][1], whole+across)
	}
}

// outside is the corner of a dart that is furthest outside a part, and how far.
func (p *partProof) outside(d [3]point) (at point, offMM float64) {
	for _, q := range d {
		if within(p.seam.ring, q) {
			continue
		}
		if off := away(closed(p.seam.ring), q); off > offMM {
			at, offMM = q, off
		}
	}
	return at, offMM
}

// drawnSomewhere is drawnAlong for a line that may lie in several places, a
// stretch of it in each.
func drawnSomewhere(lines, lies [][]point) (at point, ok bool) {
	const stepMM = 1.0
	long := length(lies[0])
	n := math.Max(1, math.Ceil(math.Min(long, largestStretchMM)/stepMM))
	for k := 0.0; k < n; k++ {
		t := (k + 0.5) / n
		found := false
		for _, l := range lies {
			q := between(l[0], l[1], t)
			for _, line := range lines {
				if found = found || away(line, q) <= markMM; found {
					break
				}
			}
		}
		if !found {
			return between(lies[0][0], lies[0][1], t), false
		}
	}
	return at, true
}

// dartLeg is a place where a leg of a dart may lie.
type dartLeg struct {
	dart [3]point
	line []point // from the apex
}

// legsMeet proves that what is drawn of a leg on a part goes on beyond the
// seam at which it stops. A stretch that may be of several legs, one where it
// was drawn and one turned, has to do so as one of them.
func (o *optionProof) legsMeet(at id, left [][3]point) {
	var legs []dartLeg
	for _, d := range left {
		for _, k := range []int{0, 2} {
			for _, l := range o.liesOf(at, []point{d[1], d[k]}) {
				legs = append(legs, dartLeg{d, l})
			}
		}
	}
	for _, p := range o.of[at] {
		for _, l := range p.DartLegs {
			for _, end := range l {
				why := ""
				for _, leg := range legs {
					if away(leg.line, l[0]) > markMM || away(leg.line, l[1]) > markMM {
						continue
					}
					if why = o.stops(p, leg, end); why == "" {
						break
					}
				}
				if why != "" {
					o.fail(Fault{Rule: CrossedDart, Part: p.label}, "%s", why)
				}
			}
		}
	}
}

// stops says what is wrong with a leg that stops at a point of a part: it
// does so on a seam that crosses the dart, and another part has it there, too,
// or it is the leg's own end. Where seams meet, one of them is enough.
func (o *optionProof) stops(p *partProof, leg dartLeg, end point) (why string) {
	if distance(end, leg.line[0]) <= shortMM+markMM || distance(end, leg.line[1]) <= shortMM+markMM {
		return ""
	}
	why = fmt.Sprintf("a dart's leg stops at %.1f, %.1f, on no seam", end[0], end[1])
	for _, s := range o.seams {
		if o.seamOf(p, s.Name) != s {
			continue
		}
		mm, off := s.along(end)
		if off > markMM {
			continue
		}
		switch {
		case !hasDart(s.Crosses, leg.dart):
			why = fmt.Sprintf("seam %s crosses a dart at %.1f, %.1f, and does not say so", s.Name, end[0], end[1])
		case s.meets(p, mm):
			return ""
		default:
			why = fmt.Sprintf("a dart's leg comes to seam %s %.1f mm along it, and none does so from the other side", s.Name, mm)
		}
	}
	return why
}

// meets reports whether a leg on another part than p comes to the seam mm
// along it.
func (s *seamProof) meets(p *partProof, mm float64) bool {
	for _, q := range s.parts {
		for _, l := range q.DartLegs {
			for _, end := range l {
				if at, off := s.along(end); q != p && off <= markMM && math.Abs(at-mm) <= 2*markMM {
					return true
				}
			}
		}
	}
	return false
}

// runsThrough reports whether a seam has points between a dart's legs, or runs
// along one of them.
func (o *optionProof) runsThrough(s *seamProof, d [3]plan.Point) bool {
	for _, l := range o.liesOf(s.piece.id, d[:]) {
		for _, line := range s.lie {
			if away(line, between(l[0], l[1], 0.5)) <= markMM || away(line, between(l[1], l[2], 0.5)) <= markMM {
				return true
			}
			for i := 1; i < len(line); i++ {
				step := segment{a: line[i-1], b: line[i], box: boxOf(line[i-1], line[i])}
				for k := range l {
					a, b := l[k], l[(k+1)%3]
					if step.crosses(segment{a: a, b: b, box: boxOf(a, b)}) {
						return true
					}
				}
				if within(l, line[i]) {
					return true
				}
			}
		}
	}
	return false
}

// liesOf are the places where a line drawn on a piece may be: as drawn, or
// turned about the apexes of darts that were taken in.
func (o *optionProof) liesOf(at id, line []point) [][]point {
	out := [][]point{line}
	for k, d := range o.taken[at] {
		if k == mostDarts {
			break
		}
		angle := turnOf(d)
		for _, l := range out {
			out = append(out, rotated(l, d.Sewn[1], angle), rotated(l, d.Sewn[1], -angle))
		}
	}
	return out
}
