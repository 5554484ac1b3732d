package fit

import "math"

// simplified is a part as the search for a packing sees it. The outline has
// fewer vertices, so that crossings are cheap to test. The inflated outline is
// the same grown by half the gap: two parts whose inflated outlines do not
// overlap lie the whole gap apart. The poles of inaccessibility are circles
// within the part that tell cheaply how deep two parts overlap.
type simplified struct {
	outline    []vec // about the shape's centre
	inflated   []vec
	poles      []pole // by falling radius, grown by half the gap
	diameter   float64
	narrowMM   float64 // the smaller side of its box
	weight     float64 // square root of the hull's area: large parts are harder to place
	weightRoot float64 // square root of the weight
}

// notInflated says that outline and inflated are one and the same, because
// there is no gap to keep.
func (r *simplified) notInflated() bool { return &r.inflated[0] == &r.outline[0] }

// How far a simplified outline may stray from the true one, as a share of the
// part's radius. It is little where the guided local search must end almost
// without overlap, and more where the linear programs do most of the work.
const (
	fineSimplifyShare   = 0.0008
	coarseSimplifyShare = 0.0025
)

// simplifyItems prepares the items' shapes. Each outline is shrunk by a tiny
// length, a different one for every item. So parts that touch do not overlap,
// and the edges of parts that lie in one line, as along the edge of a strip,
// never cross exactly at a vertex.
//
// share is how far an outline may stray from the true one, as a share of the
// part's radius.
func simplifyItems(items []Item, gapMM, share float64) []*simplified {
	out := make([]*simplified, len(items))
	for i, it := range items {
		s := it.Shape
		hair := s.radius * 1e-6 * (1 + math.Mod(float64(i+1)*math.Phi, 1))
		plain := simplifyRing(s.ring, s.radius*share)
		r := &simplified{outline: inflate(plain, -hair)}
		r.inflated = r.outline
		if gapMM > 0 {
			r.inflated = inflate(plain, gapMM/2-hair)
		}
		b := boxOf(r.inflated)
		r.diameter = math.Hypot(b.width(), b.height())
		r.narrowMM = min(b.width(), b.height())
		r.weight = math.Sqrt(area(convexHull(r.inflated)))
		r.weightRoot = math.Sqrt(r.weight)
		for _, p := range s.poles() {
			r.poles = append(r.poles, pole{p.at, p.r + gapMM/2})
		}
		out[i] = r
	}
	return out
}

// simplifyRing drops the vertices that lie within tol of a chord between
// vertices that stay (D. H. Douglas and T. K. Peucker, 1973). It starts from
// the leftmost and the rightmost vertex.
func simplifyRing(ps []vec, tol float64) []vec {
	n := len(ps)
	lo, hi := 0, 0
	for i, p := range ps {
		if p.x < ps[lo].x {
			lo = i
		}
		if p.x > ps[hi].x {
			hi = i
		}
	}
	keep := make([]bool, n)
	keep[lo], keep[hi] = true, true
	var cut func(i, j int)
	cut = func(i, j int) {
		far, at := tol, -1
		a, b := ps[i%n], ps[j%n]
		for k := i + 1; k < j; k++ {
			if d := segDist(ps[k%n], a, b); d > far {
				far, at = d, k
			}
		}
		if at >= 0 {
			keep[at%n] = true
			cut(i, at)
			cut(at, j)
		}
	}
	up := func(i, j int) int {
		if j <= i {
			return j + n
		}
		return j
	}
	cut(lo, up(lo, hi))
	cut(hi, up(hi, lo))
	var out []vec
	for i, p := range ps {
		if keep[i] {
			out = append(out, p)
		}
	}
	if len(out) < 3 {
		return ps
	}
	return out
}

// inflate moves every edge outward by mm, or inward where mm is negative. A
// sharp corner is cut off instead of drawn out to its mitre. In a narrow notch
// the result may cross itself. The search tolerates that, and the exact tests
// never use this outline.
func inflate(ps []vec, mm float64) []vec {
	n := len(ps)
	var out []vec
	for i, p := range ps {
		u := p.sub(ps[(i+n-1)%n])
		v := ps[(i+1)%n].sub(p)
		u, v = u.mul(1/u.len()), v.mul(1/v.len())
		nu, nv := u.quarter().mul(-1), v.quarter().mul(-1)
		cos := nu.dot(nv)
		if mm <= 0 || u.cross(v) <= 0 || cos > 0.5 {
			m := nu.add(nv)
			k := mm / max(0.25, (1+cos))
			out = append(out, p.add(m.mul(k)))
			continue
		}
		t := mm * math.Sqrt((1-cos)/(1+cos+1e-9)) // to the mitre's tip
		t = min(t, mm)
		out = append(out, p.add(nu.mul(mm)).add(u.mul(t)), p.add(nv.mul(mm)).sub(v.mul(t)))
	}
	return out
}
