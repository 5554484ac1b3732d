package curve

import (
	"math"
	"sort"

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
	var out []Crossing
	boxesQ := make([]orb.Bound, len(q))
	for j, s := range q {
		boxesQ[j] = s.hull()
	}
	startP := 0.0
	for _, a := range p {
		box := a.hull()
		startQ := 0.0
		for j, b := range q {
			if box.Intersects(boxesQ[j]) {
				for _, tu := range crossSegments(a, b) {
					out = append(out, Crossing{
						OnP: startP + a.lengthTo(tu[0]), OnQ: startQ + b.lengthTo(tu[1]), At: a.At(tu[0]),
					})
				}
			}
			startQ += b.Length()
		}
		startP += a.Length()
	}
	sort.Slice(out, func(i, j int) bool { return out[i].OnQ < out[j].OnQ })
	const same = 1e-6 // one meeting found from both sides of a segment's end
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
	return orb.MultiPoint{s.P0, s.C0, s.C1, s.P1}.Bound().Pad(1e-9)
}

// crossSegments gives the pairs of parameters at which two segments meet.
func crossSegments(a, b Segment) [][2]float64 {
	const coarse = 0.2
	na, nb := a.steps(coarse), b.steps(coarse)
	var out [][2]float64
	for i := range na {
		a0, a1 := float64(i)/float64(na), float64(i+1)/float64(na)
		pa, pb := a.At(a0), a.At(a1)
		for j := range nb {
			b0, b1 := float64(j)/float64(nb), float64(j+1)/float64(nb)
			t, u, ok := crossChords(pa, pb, b.At(b0), b.At(b1))
			if !ok {
				continue
			}
			t, u = polish(a, b, a0+t*(a1-a0), b0+u*(b1-b0))
			if dist(a.At(t), b.At(u)) < 1e-6 && fresh(out, a, t) {
				out = append(out, [2]float64{t, u})
			}
		}
	}
	return out
}

func fresh(found [][2]float64, a Segment, t float64) bool {
	for _, f := range found {
		if dist(a.At(f[0]), a.At(t)) < 1e-6 {
			return false
		}
	}
	return true
}

// crossChords meets the chord from a to b with the chord from c to d. A little
// beyond the ends counts, since the chords only stand for curves.
func crossChords(a, b, c, d orb.Point) (t, u float64, ok bool) {
	r, s := sub(b, a), sub(d, c)
	den := cross(r, s)
	if math.Abs(den) < 1e-12*Norm(r)*Norm(s) || den == 0 {
		return 0, 0, false
	}
	t, u = cross(sub(c, a), s)/den, cross(sub(c, a), r)/den
	const over = 0.1
	if t < -over || t > 1+over || u < -over || u > 1+over {
		return 0, 0, false
	}
	return t, u, true
}

// polish runs Newton's method on a.At(t) = b.At(u), inside [0, 1] both.
func polish(a, b Segment, t, u float64) (float64, float64) {
	clamp := func(x float64) float64 { return math.Max(0, math.Min(1, x)) }
	t, u = clamp(t), clamp(u)
	for range 20 {
		gap := sub(b.At(u), a.At(t))
		if Norm(gap) < 1e-12 {
			break
		}
		va, vb := a.Velocity(t), b.Velocity(u)
		den := cross(va, vb)
		if den == 0 {
			break
		}
		t, u = clamp(t+cross(gap, vb)/den), clamp(u+cross(gap, va)/den)
	}
	return t, u
}
