package curve

import (
	"math"
	"sort"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Crossing is a place where two paths meet: OnP and OnQ are the distances
// along them in mm.
type Crossing struct {
	OnP, OnQ float64
	At       orb.Point
}

// Crossings finds where p and q cross or touch, in order along q. Stretches
// that run along each other give no crossing but at their ends.
func Crossings(p, q Path) []Crossing {
	boxesQ := make([]orb.Bound, len(q))
	for j, s := range q {
		boxesQ[j] = s.hull()
	}
	var out []Crossing
	var alongP, alongQ Ruler // made when something meets
	for i, a := range p {
		box := a.hull()
		for j, b := range q {
			if !box.Intersects(boxesQ[j]) {
				continue
			}
			for _, tu := range crossSegments(a, b) {
				if alongP.path == nil {
					alongP, alongQ = p.Ruler(), q.Ruler()
				}
				out = append(out, Crossing{
					OnP: alongP.starts[i] + a.lengthTo(tu[0]), OnQ: alongQ.starts[j] + b.lengthTo(tu[1]), At: a.At(tu[0]),
				})
			}
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].OnQ < out[j].OnQ })
	const same = meetMM // one meeting found from both sides of a segment's end
	kept := out[:0]
	for _, c := range out {
		if n := len(kept); n == 0 || c.OnQ-kept[n-1].OnQ > same || math.Abs(c.OnP-kept[n-1].OnP) > same {
			kept = append(kept, c)
		}
	}
	return kept
}

// hull is a box that holds the segment and a hair around it.
func (s Segment) hull() orb.Bound {
	const hair = 1e-9
	box := orb.Bound{
		Min: orb.Point{min(s.P0[0], s.P1[0]) - hair, min(s.P0[1], s.P1[1]) - hair},
		Max: orb.Point{max(s.P0[0], s.P1[0]) + hair, max(s.P0[1], s.P1[1]) + hair},
	}
	if s.Curved {
		for i := range 2 {
			box.Min[i] = min(box.Min[i], min(s.C0[i], s.C1[i])-hair)
			box.Max[i] = max(box.Max[i], max(s.C0[i], s.C1[i])+hair)
		}
	}
	return box
}

// Distances in mm below which lines count as meeting, and curves as straight.
const (
	meetMM = 1e-6
	flatMM = 1e-3
)

// crossSegments gives the pairs of parameters at which two segments meet. It
// halves them until they are flat where they may meet, and finds the place
// with Newton's method; a stretch whose control points all lie to one side of
// the other's is passed over (T. W. Sederberg and T. Nishita, "Curve
// intersection using Bézier clipping", 1990: the fat line).
func crossSegments(a, b Segment) [][2]float64 {
	c := crosser{a: a, b: b, budget: 4000}
	c.search(a, b, [2]float64{0, 1}, [2]float64{0, 1})
	return c.found
}

type crosser struct {
	a, b   Segment // whole
	found  [][2]float64
	budget int // of steps, which only curves that lie on each other use up
}

// search finds where the part of a over the parameters ta meets the part of b
// over tb.
func (c *crosser) search(a, b Segment, ta, tb [2]float64) {
	if c.budget--; c.budget < 0 || !a.hull().Intersects(b.hull()) || apart(a, b) || apart(b, a) {
		return
	}
	stepsA, stepsB := a.steps(flatMM), b.steps(flatMM)
	if stepsA == 1 && stepsB == 1 {
		t, u, parallel, ok := crossChords(a.P0, a.P1, b.P0, b.P1)
		if ok {
			t, u = polish(c.a, c.b, ta[0]+t*(ta[1]-ta[0]), tb[0]+u*(tb[1]-tb[0]))
			if plane.Distance(c.a.At(t), c.b.At(u)) < meetMM {
				if c.fresh(t) {
					c.found = append(c.found, [2]float64{t, u})
				}
				return
			}
		}
		stepsA, stepsB = a.steps(meetMM/10), b.steps(meetMM/10)
		if parallel || stepsA == 1 && stepsB == 1 {
			return
		}
	}
	if stepsA >= stepsB {
		a0, a1 := a.Split(0.5)
		mid := (ta[0] + ta[1]) / 2
		c.search(a0, b, [2]float64{ta[0], mid}, tb)
		c.search(a1, b, [2]float64{mid, ta[1]}, tb)
		return
	}
	b0, b1 := b.Split(0.5)
	mid := (tb[0] + tb[1]) / 2
	c.search(a, b0, ta, [2]float64{tb[0], mid})
	c.search(a, b1, ta, [2]float64{mid, tb[1]})
}

func (c *crosser) fresh(t float64) bool {
	for _, f := range c.found {
		if plane.Distance(c.a.At(f[0]), c.a.At(t)) < meetMM {
			return false
		}
	}
	return true
}

// apart reports whether two segments certainly do not meet. a lies within a band
// along its own chord; b is apart if all of it lies to one side of that band.
func apart(a, b Segment) bool {
	chord := plane.Sub(a.P1, a.P0)
	l := plane.Length(chord)
	if l == 0 {
		return false
	}
	off := func(q orb.Point) float64 { return plane.Cross(chord, plane.Sub(q, a.P0)) / l }
	lo, hi := 0.0, 0.0
	if a.Curved {
		x, y := off(a.C0), off(a.C1)
		lo, hi = min(lo, min(x, y)), max(hi, max(x, y))
	}
	p, q := off(b.P0), off(b.P1)
	least, most := min(p, q), max(p, q)
	if b.Curved {
		x, y := off(b.C0), off(b.C1)
		least, most = min(least, min(x, y)), max(most, max(x, y))
	}
	return least > hi+meetMM || most < lo-meetMM
}

// crossChords meets the chord from a to b with the chord from c to d. A hair
// beyond their ends counts.
func crossChords(a, b, c, d orb.Point) (t, u float64, parallel, ok bool) {
	r, s := plane.Sub(b, a), plane.Sub(d, c)
	den := plane.Cross(r, s)
	if math.Abs(den) <= 1e-12*plane.Length(r)*plane.Length(s) {
		return 0, 0, true, false
	}
	t, u = plane.Cross(plane.Sub(c, a), s)/den, plane.Cross(plane.Sub(c, a), r)/den
	overT, overU := flatMM/plane.Length(r), flatMM/plane.Length(s)
	return t, u, false, t >= -overT && t <= 1+overT && u >= -overU && u <= 1+overU
}

// polish runs Newton's method on a.At(t) = b.At(u), inside [0, 1] both.
func polish(a, b Segment, t, u float64) (float64, float64) {
	t, u = inUnit(t), inUnit(u)
	for range 20 {
		gap := plane.Sub(b.At(u), a.At(t))
		if plane.Length(gap) < 1e-12 {
			break
		}
		va, vb := a.Velocity(t), b.Velocity(u)
		den := plane.Cross(va, vb)
		if den == 0 {
			break
		}
		t, u = inUnit(t+plane.Cross(gap, vb)/den), inUnit(u+plane.Cross(gap, va)/den)
	}
	return t, u
}
