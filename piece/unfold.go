package piece

import (
	"fmt"
	"math"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// unfold turns a half piece cut on the fold into the whole piece, since a
// scrap is a single layer.
func (p *Piece) unfold(d Draft) error {
	at := p.Outline.Edge(foldName)
	if len(at) == 0 {
		return nil
	}
	el := d.Folds[0].Element
	fold := p.Outline[at[0]].Line
	a, b := fold.Start(), fold.End()
	for _, q := range fold.Flatten(curve.FlattenMM) {
		if _, away := curve.Polyline(a, b).Nearest(q); away > 0.5 {
			return d.errorf(el, "the fold is not straight", "draw the fold along a straight edge of the outline")
		}
	}
	p.clearFold(at[0])
	m := curve.Mirror(a, b)
	// The half's edges in order, from the end of the fold round to its start.
	var half Outline
	for i := 1; i < len(p.Outline); i++ {
		half = append(half, p.Outline[(at[0]+i)%len(p.Outline)])
	}
	if len(half) == 0 {
		return d.errorf(el, "the fold covers the whole outline", "draw it along one straight edge")
	}
	for _, e := range half {
		for _, q := range e.Line.Flatten(curve.FlattenMM) {
			if side(a, b, q) < -0.5 {
				return d.errorf(el, fmt.Sprintf("the outline runs over the fold near x %.1f mm, y %.1f mm", q[0], q[1]), "draw only the half on one side of the fold")
			}
		}
	}
	for _, run := range []curve.Path{half[0].Line, half[len(half)-1].Line.Reverse()} {
		if mm, q := runsAlong(run, a, b); mm > foldRunsMM {
			return d.errorf(el, fmt.Sprintf("the straight edge runs on for %.1f mm past its end near x %.1f mm, y %.1f mm", mm, q[0], q[1]), "draw the fold as long as the edge; an opening there is a seam of its own, in a half without a fold")
		}
	}
	other := half.Transform(m)
	for i := range other {
		other[i].Reflected = true
	}
	p.Outline = append(append(Outline{}, half...), other...)
	p.Outline.weld()
	p.Outline.mergeAt(len(half))
	p.Outline.mergeAt(0)
	p.Darts = append(p.Darts, transformDarts(p.Darts, m)...)
	p.FishEyes = append(p.FishEyes, transformFishEyes(p.FishEyes, m)...)
	p.Levels = p.unfoldLevels(m)
	p.Keeps = append(p.Keeps, transformKeeps(p.Keeps, m)...)
	p.Centre = &Axis{a, b}
	return nil
}

// foldRunsMM is how far the outline may go on along the fold: more would be two edges
// on one line, which enclose nothing.
const foldRunsMM = 1.0

// runsAlong is how far a line that starts on the line through a and b stays on it.
func runsAlong(line curve.Path, a, b orb.Point) (mm float64, from orb.Point) {
	const onItMM = 0.05
	from = line.Start()
	last := from
	for _, q := range line.Flatten(curve.FlattenMM) {
		if math.Abs(side(a, b, q)) > onItMM {
			break
		}
		last = q
	}
	return plane.Distance(from, last), from
}

// clearFold moves the notches drawn at an end of the fold to the edge that
// meets it there, since the fold itself is not in the whole piece.
func (p *Piece) clearFold(at int) {
	n := len(p.Outline)
	fold, before, after := &p.Outline[at], &p.Outline[(at+n-1)%n], &p.Outline[(at+1)%n]
	length := fold.Line.Length()
	for _, k := range fold.Notches {
		switch {
		case k.AtMM < notchMM:
			k.AtMM = before.Line.Length()
			before.Notches = append(before.Notches, k)
		case length-k.AtMM < notchMM:
			k.AtMM = 0
			after.Notches = append([]Notch{k}, after.Notches...)
		default:
			p.Notes = append(p.Notes, fmt.Sprintf("%s: the notch in the middle of the fold is left out, for the whole piece has no edge there", p.Name))
		}
	}
	fold.Notches = nil
}

// side is how far q lies to the inside of the line from a to b, where a half
// that runs clockwise has its cloth.
func side(a, b, q orb.Point) float64 {
	l := plane.Distance(a, b)
	return ((b[0]-a[0])*(q[1]-a[1]) - (b[1]-a[1])*(q[0]-a[0])) / l
}

// mergeAt makes one edge of the edge at i and the one before it, where they
// are the two halves of one edge that the fold cut.
func (o *Outline) mergeAt(i int) {
	n := len(*o)
	if n < 3 {
		return
	}
	before, after := (*o)[(i+n-1)%n], (*o)[i]
	if before.Reflected == after.Reflected || before.Name != after.Name || before.AllowanceMM != after.AllowanceMM {
		return
	}
	if before.Name == "" && before.Line[len(before.Line)-1].TurnDeg(after.Line[0]) > cornerDeg {
		return
	}
	length := before.Line.Length()
	merged := before
	merged.Reflected = false
	merged.Line = append(append(curve.Path{}, before.Line...), after.Line...)
	merged.Notches = append([]Notch(nil), before.Notches...)
	for _, k := range after.Notches {
		k.AtMM += length
		if m := len(merged.Notches); m > 0 && k.AtMM-merged.Notches[m-1].AtMM < leastMM {
			continue // one notch on the fold, seen from both halves
		}
		merged.Notches = append(merged.Notches, k)
	}
	rest := append(Outline{}, (*o)...)
	rest[(i+n-1)%n] = merged
	*o = append(rest[:i], rest[i+1:]...)
}

// unfoldLevels carries each level on across the fold, as one line where it
// reaches it.
func (p *Piece) unfoldLevels(m curve.Matrix) []curve.Path {
	var out []curve.Path
	for _, l := range p.Levels {
		other := l.Transform(m).Reverse()
		switch {
		case plane.Distance(l.End(), other.Start()) < snapMM:
			out = append(out, bridge(l, other))
		case plane.Distance(other.End(), l.Start()) < snapMM:
			out = append(out, bridge(other, l))
		default:
			out = append(out, l, other.Reverse())
		}
	}
	return out
}

func bridge(a, b curve.Path) curve.Path {
	joined := append(curve.Path{}, a...)
	if plane.Distance(a.End(), b.Start()) > 1e-6 {
		joined = append(joined, curve.Line(a.End(), b.Start()))
	}
	return append(joined, b...)
}
