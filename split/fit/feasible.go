package fit

import "math"

// feasible is the exact test of a packing: every part lies on the cloth, and
// every two parts lie gapMM apart.
func feasible(c *Cloth, items []Item, ps []pose, gapMM float64, w *scratch) bool {
	for i := range items {
		if !c.inside(items[i].Shape, ps[i], w, true).inside {
			return false
		}
	}
	for i := range items {
		for j := range i {
			if !apartBy(items[i].Shape, ps[i], items[j].Shape, ps[j], gapMM, w) {
				return false
			}
		}
	}
	return true
}

// apartBy says whether two parts do not overlap and lie at least gapMM apart.
// Without a gap they may touch.
func apartBy(a *Shape, pa pose, b *Shape, pb pose, gapMM float64, w *scratch) bool {
	if pa.at.sub(pb.at).len() > a.radius+b.radius+gapMM {
		return true
	}
	if b.radius > a.radius {
		a, pa, b, pb = b, pb, a, pa
	}
	// the outline of b in the coordinates of a
	sin, cos := sincosDeg(pa.deg)
	into := func(p vec) vec { return p.sub(pa.at).turn(-sin, cos) }
	w.laid = b.place(w.laid[:0], pb)
	for i, p := range w.laid {
		w.laid[i] = into(p)
	}
	out := a.exterior()
	box := boxOf(w.laid)
	if box.min.x > a.bounds.max.x+gapMM || a.bounds.min.x > box.max.x+gapMM ||
		box.min.y > a.bounds.max.y+gapMM || a.bounds.min.y > box.max.y+gapMM {
		return true
	}
	n := len(w.laid)
	for i, p := range w.laid {
		if _, _, bad := out.outsideStretch(p, w.laid[(i+1)%n], w); bad {
			return false
		}
	}
	// No point of b's outline lies inside a. So a lies in b wholly or not at all,
	// and any inner point of a tells. A vertex would not, for the outlines may
	// coincide.
	s, c := sincosDeg(pb.deg)
	if u := a.inner.turn(sin, cos).add(pa.at).sub(pb.at).turn(-s, c); b.exterior().outsideBy(u, &w.part) > touchMM {
		return false
	}
	if gapMM <= 0 {
		return true
	}
	least := gapMM - 1e-9
	for i, p := range w.laid {
		q := w.laid[(i+1)%n]
		c := p.add(q).mul(0.5)
		for _, k := range out.edgesIn(&w.cloth, c, math.Abs(q.x-p.x)/2+gapMM, math.Abs(q.y-p.y)/2+gapMM) {
			e := &out.edges[k]
			if segDist(p, e.a, e.b) < least || segDist(e.a, p, q) < least {
				return false
			}
		}
	}
	return true
}
