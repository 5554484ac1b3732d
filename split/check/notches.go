package check

import (
	"math"
	"sort"

	"eke/split/plan"
)

// mark is a notch as a distance along a line.
type mark struct {
	mm    float64
	count int
}

// marksOn are the notches for a seam (or, where that is empty, for no piecing
// seam) that lie on an edge of the part, in order along it.
func (p *partProof) marksOn(e drawnEdge, seam string) []mark {
	var out []mark
	for _, n := range p.Notches {
		if n.Level != "" || seam != "" && n.For != seam || seam == "" && (p.forSeam(n) || p.forBeside(n, e)) {
			continue
		}
		if mm, d := along(e.line, n.At); d <= markMM {
			out = append(out, mark{mm, n.Count})
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].mm < out[j].mm })
	return out
}

// forSeam reports whether a notch is one of a piecing seam's, and not one of
// an edge that happens to have the name of a seam.
func (p *partProof) forSeam(n plan.Notch) bool {
	for _, e := range p.edges {
		if e.Seam != "" && e.Seam == n.For && away(e.line, n.At) <= markMM {
			return true
		}
	}
	return false
}

// forBeside reports whether a notch within a mark's width of e, at its corner,
// is for the edge beside it, which it is as near to.
func (p *partProof) forBeside(n plan.Notch, e drawnEdge) bool {
	if n.For == e.Name {
		return false
	}
	for _, other := range p.edges {
		if other.Seam == "" && other.Name == n.For && away(other.line, n.At) <= markMM {
			return true
		}
	}
	return false
}

// mirrored is the marks of a line of that length seen from its other end.
func mirrored(marks []mark, lengthMM float64) []mark {
	out := make([]mark, len(marks))
	for i, m := range marks {
		out[len(marks)-1-i] = mark{lengthMM - m.mm, m.count}
	}
	return out
}

// meet reports whether two rows of marks lie on each other.
func meet(a, b []mark) bool { return alike(a, b, markMM) }

func alike(a, b []mark, slackMM float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].count != b[i].count || math.Abs(a[i].mm-b[i].mm) > slackMM {
			return false
		}
	}
	return true
}

// notches proves that each notch is where it can be found, that none of the
// piece's is lost, and that those of the piecing seams meet and tell the
// parts' right way round.
func (o *optionProof) notches() {
	for _, p := range o.parts {
		if !p.broken && p.piece != nil {
			o.places(p)
		}
	}
	o.drawnNotches()
	for _, s := range o.seams {
		o.mates(s)
	}
	o.levels()
}

// places proves that the notches of a part are on its seam line and point out
// of it, and that those for a piecing seam are on that seam.
func (o *optionProof) places(p *partProof) {
	ring := closed(p.seam.ring)
	for _, n := range p.Notches {
		f := Fault{Rule: NotchPlace, Part: p.label}
		if d := away(ring, n.At); d > markMM {
			o.fail(f, "a notch is %.2f mm off the seam line at %.1f, %.1f", d, n.At[0], n.At[1])
			continue
		}
		if n.Count < 1 {
			o.fail(f, "a notch at %.1f, %.1f is counted %d times", n.At[0], n.At[1], n.Count)
		}
		if math.Abs(math.Hypot(n.Toward[0], n.Toward[1])-1) > 0.001 {
			o.fail(f, "a notch at %.1f, %.1f has no direction", n.At[0], n.At[1])
			continue
		}
		const step = 3 * markMM
		out := point{n.At[0] + step*n.Toward[0], n.At[1] + step*n.Toward[1]}
		if within(p.seam.ring, out) && away(ring, out) > step/2 {
			o.fail(f, "a notch at %.1f, %.1f points into the part", n.At[0], n.At[1])
		}
	}
}

// drawnNotches proves that each notch of a piece is on one of its parts, and
// that no part has one which its piece does not. Where a seam was moved, a
// notch on the strip may be anywhere on the pieces that the seam joins, but
// none may be lost.
func (o *optionProof) drawnNotches() {
	var lost, extra [10]int // by count, where a seam was moved
	for _, at := range o.order {
		if o.pieces[at].Ready {
			continue
		}
		piece, parts := o.pieces[at], o.of[at]
		has := make([]bool, len(piece.Notches))
		for _, p := range parts {
			for _, n := range p.Notches {
				if n.Level != "" || p.forSeam(n) {
					continue
				}
				known := false
				for k, d := range piece.Notches {
					if distance(d.At, n.At) <= markMM && d.Count == n.Count {
						has[k], known = true, true
					}
				}
				switch {
				case known:
				case o.moved[at]:
					extra[min(max(n.Count, 0), 9)]++
				default:
					o.fail(Fault{Rule: LostNotch, Part: p.label}, "it has a notch for %q at %.1f, %.1f that its piece does not have", n.For, n.At[0], n.At[1])
				}
			}
		}
		for k, d := range piece.Notches {
			switch {
			case has[k]:
			case o.moved[at]:
				lost[min(max(d.Count, 0), 9)]++
			default:
				o.fail(Fault{Rule: LostNotch}, "piece %s has a notch for %q at %.1f, %.1f, and no part has it", at, d.For, d.At[0], d.At[1])
			}
		}
	}
	for count, n := range lost {
		if extra[count] < n {
			o.fail(Fault{Rule: LostNotch}, "%d notches were on strips that moved, and %d are on the pieces the strips went to", n, extra[count])
		}
	}
}

// mates proves that each notch of a piecing seam has its mate at the same
// distance along the seam, and that no part can be turned round unnoticed.
func (o *optionProof) mates(s *seamProof) {
	type found struct {
		mark
		part *partProof
	}
	var all []found
	if len(s.Line) < 2 {
		return
	}
	for _, p := range s.parts {
		if p.broken {
			return
		}
		f := Fault{Part: p.label, Seam: s.Name}
		for _, e := range p.edges {
			if e.Seam != s.Name {
				continue
			}
			start, forward, ok := s.startOf(e)
			if !ok {
				f.Rule = SeamLine
				o.fail(f, "an end of the part's edge is not on it")
				return
			}
			marks := p.marksOn(e, s.Name)
			for _, m := range marks {
				if forward {
					m.mm = start + m.mm
				} else {
					m.mm = start - m.mm
				}
				all = append(all, found{m, p})
			}
			if alike(marks, mirrored(marks, e.lengthMM), tellMM) {
				f.Rule = NotchTells
				o.fail(f, "its %d notches on the part are the same from both ends", len(marks))
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].mm < all[j].mm })
	f := Fault{Rule: NotchMate, Seam: s.Name}
	var at []float64
	for i := 0; i < len(all); i += 2 {
		a := all[i]
		if i+1 == len(all) || all[i+1].mm-a.mm > markMM || all[i+1].part == a.part || all[i+1].count != a.count {
			f.Part = a.part.label
			o.fail(f, "the notch %.2f mm along it has no mate", a.mm)
			return
		}
		at = append(at, a.mm)
	}
	said := append([]float64(nil), s.NotchesMM...)
	sort.Float64s(said)
	if len(said) != len(at) {
		o.fail(f, "%d notches are said to be along it, and %d are", len(said), len(at))
		return
	}
	for i := range at {
		if math.Abs(at[i]-said[i]) > markMM {
			o.fail(f, "a notch is said to be %.2f mm along it and is at %.2f", said[i], at[i])
			return
		}
	}
}

// startOf is how far along the seam the edge starts, and whether it runs the
// seam's way.
func (s *seamProof) startOf(e drawnEdge) (mm float64, forward, ok bool) {
	a, da := s.along(e.line[0])
	b, db := s.along(e.line[len(e.line)-1])
	return a, b > a, da <= markMM && db <= markMM
}
