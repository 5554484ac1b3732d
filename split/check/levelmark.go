package check

import (
	"math"
	"slices"

	"eke/split/plan"
)

// levelMark is a mark for the end of a piecing seam, as a distance along an edge.
type levelMark struct {
	seam string
	mm   float64
	part *partProof
}

// levelsOn are the level marks on an edge of the part.
func (p *partProof) levelsOn(e drawnEdge) []levelMark {
	var out []levelMark
	for _, n := range p.Notches {
		if n.Level == "" || n.For != e.Name || e.Seam != "" {
			continue
		}
		if mm, d := along(e.line, n.At); d <= markMM {
			out = append(out, levelMark{n.Level, mm, p})
		}
	}
	return out
}

// levels proves that each level mark on a piece that has the seam is at an end
// of it, and that each on another piece is as far along an edge that is sewn
// to one on which the first piece has its mark, and the other way round.
func (o *optionProof) levels() {
	var runs []run
	seen := map[string]bool{}
	for _, p := range o.parts {
		if p.broken || p.piece == nil {
			continue
		}
		for _, n := range p.Notches {
			if n.Level == "" {
				continue
			}
			f := Fault{Rule: LevelMark, Part: p.label, Seam: n.Level}
			on := slices.IndexFunc(p.edges, func(e drawnEdge) bool {
				return e.Name == n.For && e.Seam == "" && away(e.line, n.At) <= markMM
			})
			switch {
			case on < 0:
				o.fail(f, "a mark at %.1f, %.1f is on no edge %q", n.At[0], n.At[1], n.For)
				return
			case o.hasSeam(p, n.Level) && !o.endsAt(p, n.Level, n.At):
				o.fail(f, "the seam does not end at its mark at %.1f, %.1f", n.At[0], n.At[1])
				return
			}
			if ref := p.Piece + "/" + n.For; !seen[ref] {
				seen[ref] = true
				runs = append(runs, rejoined(o.edgesOf(p.Piece, n.For).edges)...)
			}
		}
	}
	for _, r := range runs {
		for _, l := range r.levels {
			if !o.levelHasMate(r, l, runs) {
				o.fail(Fault{Rule: LevelMark, Part: l.part.label, Seam: l.seam}, "the mark %.2f mm along %s has no mate", l.mm, nameOf(r.first.edge()))
				return
			}
		}
	}
}

func (o *optionProof) levelHasMate(r run, l levelMark, runs []run) bool {
	mine := o.hasSeam(l.part, l.seam)
	for _, other := range runs {
		ease := math.Abs(r.lengthMM - other.lengthMM)
		if !sewnTo(r, other) || ease > math.Max(mostEaseMM, mostEaseShare*math.Min(r.lengthMM, other.lengthMM)) {
			continue
		}
		for _, m := range other.levels {
			met := math.Abs(l.mm-(other.lengthMM-m.mm)) <= markMM+ease || math.Abs(l.mm-m.mm) <= markMM+ease // the one is drawn as its mirror image
			if ease > mostEaseMM {
				met = meetsEvenly(r, other, l.mm, m.mm)
			}
			if m.seam == l.seam && met && o.hasSeam(m.part, l.seam) != mine {
				return true
			}
		}
	}
	return false
}

// How much longer one edge may be than the one it is sewn to, for the same distance
// along both to be the same place, and for ease to lie evenly along both.
const (
	mostEaseMM    = 1.5
	mostEaseShare = 0.006
)

// meetsEvenly reports whether two places on edges that are sewn together are in the same
// proportion from notch to notch, where the edges have the same ones, or else from end
// to end.
func meetsEvenly(r, other run, mm, otherMM float64) bool {
	const alikeMM = 3.0 // how far notches that meet may be apart, beside the ease
	byNotches, evenly := false, false
	for _, to := range []struct {
		marks []mark
		mm    float64
	}{{other.marks, otherMM}, {mirrored(other.marks, other.lengthMM), other.lengthMM - otherMM}} {
		evenly = evenly || math.Abs(mm/r.lengthMM*other.lengthMM-to.mm) <= 2*markMM
		if len(to.marks) == 0 || !alike(r.marks, to.marks, alikeMM+math.Abs(r.lengthMM-other.lengthMM)) {
			continue
		}
		byNotches = true
		from, onto := mark{}, mark{}
		for k := range len(to.marks) + 1 {
			next, nextOnto := mark{mm: r.lengthMM}, mark{mm: other.lengthMM}
			if k < len(to.marks) {
				next, nextOnto = r.marks[k], to.marks[k]
			}
			share := (mm - from.mm) / math.Max(next.mm-from.mm, markMM)
			if share >= 0 && share <= 1 && math.Abs(onto.mm+share*(nextOnto.mm-onto.mm)-to.mm) <= 2*markMM {
				return true
			}
			from, onto = next, nextOnto
		}
	}
	return evenly && !byNotches
}

// sewnTo reports whether two edges are sewn together.
func sewnTo(a, b run) bool {
	x, y := a.first, b.first
	return slices.Contains(x.edge().Joins, y.part.Piece+"/"+y.edge().Name) || slices.Contains(y.edge().Joins, x.part.Piece+"/"+x.edge().Name)
}

// hasSeam reports whether a seam of that letter is one of the part's.
func (o *optionProof) hasSeam(p *partProof, name string) bool { return o.seamOf(p, name) != nil }

func (o *optionProof) endsAt(p *partProof, name string, at plan.Point) bool {
	line := o.seamOf(p, name).Line
	return len(line) > 1 && (distance(line[0], at) <= markMM || distance(line[len(line)-1], at) <= markMM)
}
