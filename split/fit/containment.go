package fit

import (
	"math"
	"slices"
)

// touchMM is how far a point may lie beyond an edge and still count as on it.
// It covers rounding, and is far less than a maker or a proof could notice.
const touchMM = 5e-7

// containment says why a part is not inside the cloth: a point of the part's
// outline lies outside the cloth (given about the part's centre), or a corner
// of the cloth lies inside the part.
type containment struct {
	inside      bool
	clothCorner bool // point is a corner of the cloth
	point       vec
	depth       float64 // how far, mm
}

// inside is the exact test whether a part lies on the cloth. Every edge of the
// part is divided where an edge of the cloth crosses or touches it. Between two
// such places it is wholly on one side, so its middle decides. And no corner of
// the cloth, and no point of a hole, may lie within the part. quick stops at
// the first violation; otherwise the worst is reported.
func (c *Cloth) inside(s *Shape, p pose, w *scratch, quick bool) containment {
	worst := containment{inside: true}
	fault := func(v containment) bool {
		if v.depth > worst.depth {
			worst = v
		}
		return quick
	}
	sin, cos := sincosDeg(p.deg)
	w.laid = s.place(w.laid[:0], p)
	n := len(w.laid)
	for k := 0; k < n; k++ {
		i := (w.first + k) % n
		a, b := w.laid[i], w.laid[(i+1)%n]
		if at, depth, bad := c.region.outsideStretch(a, b, w); bad {
			w.first = i
			if fault(containment{point: at.sub(p.at).turn(-sin, cos), depth: depth}) {
				return worst
			}
		}
	}
	around := s.exterior()
	laid := boxOf(w.laid)
	for _, v := range c.keepOut {
		if !laid.holds(v) {
			continue
		}
		u := v.sub(p.at).turn(-sin, cos)
		if d := around.outsideBy(u, &w.part); d > touchMM {
			if fault(containment{clothCorner: true, point: v, depth: d}) {
				return worst
			}
		}
	}
	return worst
}

// outsideBy is how far p lies outside the region; 0 inside.
func (f *region) outsideBy(p vec, pr *probe) float64 {
	if f.contains(p) {
		return 0
	}
	return f.rimDistance(p, pr)
}

// outsideStretch finds where the segment ab lies deepest outside the region,
// and returns the middle of that stretch.
func (f *region) outsideStretch(a, b vec, w *scratch) (at vec, depth float64, bad bool) {
	c := a.add(b).mul(0.5)
	hx, hy := math.Abs(b.x-a.x)/2+touchMM, math.Abs(b.y-a.y)/2+touchMM
	near, in := f.edgesNear(&w.cloth, c, hx, hy)
	if len(near) == 0 {
		if in {
			return vec{}, 0, false
		}
		return c, f.outsideBy(c, &w.cloth), true
	}
	d := b.sub(a)
	l := d.len()
	if l == 0 {
		return vec{}, 0, false
	}
	u := d.mul(1 / l)
	cuts := append(w.cuts[:0], 0, l)
	cut := func(t float64) {
		if t > 0 && t < l {
			cuts = append(cuts, t)
		}
	}
	for _, k := range near {
		e := &f.edges[k]
		ea, eb := e.a.sub(a), e.b.sub(a)
		sa, sb := u.cross(ea), u.cross(eb)
		if (sa > 0) != (sb > 0) {
			r := sa / (sa - sb)
			cut(u.dot(ea)*(1-r) + u.dot(eb)*r)
		}
		if math.Abs(sa) < 10*touchMM {
			cut(u.dot(ea))
		}
		if math.Abs(sb) < 10*touchMM {
			cut(u.dot(eb))
		}
	}
	slices.Sort(cuts)
	w.cuts = cuts
	for i := 1; i < len(cuts); i++ {
		if cuts[i]-cuts[i-1] < touchMM {
			continue
		}
		m := a.add(u.mul((cuts[i] + cuts[i-1]) / 2))
		if f.contains(m) {
			continue
		}
		if dm := f.outsideBy(m, &w.cloth); dm > touchMM && dm > depth {
			at, depth, bad = m, dm, true
		}
	}
	return at, depth, bad
}

// scratch is the working memory of one search.
type scratch struct {
	cloth, part probe
	laid        []vec
	cuts        []float64
	first       int // the edge of the part that failed last; it is tested first
}
