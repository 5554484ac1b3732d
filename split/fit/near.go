package fit

import (
	"cmp"
	"container/heap"
	"context"
	"math"
	"slices"
)

// Lies reports whether a shape lies on the cloth where it is placed.
func (c *Cloth) Lies(s *Shape, p Placement) bool {
	return c.lies(s, s.pose(p), new(scratch))
}

func (c *Cloth) lies(s *Shape, p pose, w *scratch) bool {
	return len(s.ring) > 0 && len(c.rings) > 0 && c.inside(s, p, w, true).inside
}

// Off is how far a shape reaches off the cloth where it is placed, or into a hole
// of it, in mm; 0 where it lies on it.
func (c *Cloth) Off(s *Shape, p Placement) float64 {
	if len(s.ring) == 0 || len(c.rings) == 0 {
		return 0
	}
	var w scratch
	at := s.pose(p)
	most := c.inside(s, at, &w, false).depth // of the middles of stretches, and corners of the cloth
	for _, q := range s.place(nil, at) {
		if d := c.region.outsideBy(q, &w.cloth); d > touchMM {
			most = max(most, d)
		}
	}
	return most
}

// Near finds a placement at which the shape lies on the cloth, no further than
// reachMM from where it is wanted, and nearly as near as there is one. It keeps
// the turn that is wanted, and only where that will not do turns the shape within
// the range given. It is false where there is none, and where ctx ends first.
func Near(ctx context.Context, c *Cloth, s *Shape, want Placement, turn Turn, reachMM float64) (Placement, bool) {
	if len(s.ring) == 0 || len(c.rings) == 0 || s.area > c.area*(1+1e-9) {
		return Placement{}, false
	}
	at := s.pose(want)
	var w scratch
	if c.lies(s, at, &w) {
		return want, true
	}
	for half := reachMM / 8; half <= reachMM*(1+1e-9); half *= 2 {
		if p, ok := c.nearIn(ctx, s, at, at, half, 0, reachMM, &w); ok {
			return s.placement(p), true
		}
	}
	lo, hi := turn.Deg-turn.ToleranceDeg, turn.Deg+turn.ToleranceDeg
	if at.deg < lo || at.deg > hi || hi-lo < 1e-9 {
		return Placement{}, false
	}
	if p, ok := c.nearIn(ctx, s, at, pose{at.at, turn.Deg}, reachMM, turn.ToleranceDeg, reachMM, &w); ok {
		return s.placement(p), true
	}
	return Placement{}, false
}

// nearIn finds a pose within reach of the one that is wanted in a square of shifts
// about another. What is found in a corner of it may be out of reach, and hide what
// is not: then the quarters are searched, the nearest first.
func (c *Cloth) nearIn(ctx context.Context, s *Shape, want, about pose, half, halfDeg, reachMM float64, w *scratch) (pose, bool) {
	const fineMM = 0.1 // places that near to the reach's rim may be missed
	by := about.at.sub(want.at)
	if math.Hypot(max(0, math.Abs(by.x)-half), max(0, math.Abs(by.y)-half)) > reachMM {
		return pose{}, false
	}
	p, ok := inCell(ctx, c, s, about, half, halfDeg)
	if !ok {
		return pose{}, false
	}
	if p = c.nearer(s, p, pose{want.at, p.deg}, w); p.at.sub(want.at).len() <= reachMM {
		return p, true
	}
	if half < fineMM {
		return pose{}, false
	}
	q := half / 2
	quarters := [4]pose{}
	for i, d := range [4]vec{{-q, -q}, {q, -q}, {-q, q}, {q, q}} {
		quarters[i] = pose{about.at.add(d), about.deg}
	}
	slices.SortStableFunc(quarters[:], func(a, b pose) int {
		return cmp.Compare(a.at.sub(want.at).len(), b.at.sub(want.at).len())
	})
	for _, to := range quarters {
		if p, ok := c.nearIn(ctx, s, want, to, q, halfDeg, reachMM, w); ok {
			return p, true
		}
	}
	return pose{}, false
}

// inCell searches one cell of poses.
func inCell(ctx context.Context, c *Cloth, s *Shape, about pose, half, halfDeg float64) (pose, bool) {
	q := newPoseSearch(c, s)
	one := cell{at: about.at, half: vec{half, half}, deg: about.deg, halfDeg: halfDeg, bound: math.Inf(1)}
	for i := range q.partPoints {
		one.samples = append(one.samples, int32(i))
	}
	for i := range q.clothCorners {
		one.samples = append(one.samples, ^int32(i))
	}
	heap.Push(&q.open, one)
	return q.run(ctx)
}

// nearer moves a pose that fits towards another at the same turn as far as it
// goes: straight, and then by x and by y alone.
func (c *Cloth) nearer(s *Shape, p, to pose, w *scratch) pose {
	for range 2 {
		by := to.at.sub(p.at)
		for _, d := range [3]vec{by, {by.x, 0}, {0, by.y}} {
			p.at = p.at.add(d.mul(c.furthest(s, p, d, w)))
			by = to.at.sub(p.at)
		}
	}
	return p
}

// furthest is a share of a shift by which the shape can be moved, near the largest
// there is where it can be moved by none that is larger.
func (c *Cloth) furthest(s *Shape, p pose, by vec, w *scratch) float64 {
	const fineMM = 1e-3
	length := by.len()
	if length < fineMM {
		return 0
	}
	can := func(share float64) bool { return c.lies(s, pose{p.at.add(by.mul(share)), p.deg}, w) }
	if can(1) {
		return 1
	}
	lo, hi := 0.0, 1.0
	for (hi-lo)*length > fineMM {
		if m := (lo + hi) / 2; can(m) {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}

// Touch slides a shape that lies on the cloth until it touches the edge: the
// shortest way, and from there along that edge until it touches at a second place.
// Neither slide is longer than reachMM; what is further off is left alone.
func Touch(c *Cloth, s *Shape, p Placement, reachMM float64) Placement {
	at := s.pose(p)
	var w scratch
	if !c.lies(s, at, &w) {
		return p
	}
	by, along, ok := c.nearestEdge(s, at, reachMM)
	if !ok {
		return p
	}
	// No nearer than a shape may touch, lest rounding puts it over.
	at.at = at.at.add(by.mul(c.furthest(s, at, by, &w)))
	along = along.mul(reachMM / along.len())
	const steps = 8
	best, least := vec{}, math.Inf(1)
	for _, way := range [2]vec{along, along.mul(-1)} {
		for k := 1.0; k <= steps; k++ {
			if c.lies(s, pose{at.at.add(way.mul(k / steps)), at.deg}, &w) {
				continue
			}
			before := pose{at.at.add(way.mul((k - 1) / steps)), at.deg}
			far := (k - 1 + c.furthest(s, before, way.mul(1.0/steps), &w)) / steps
			if far < least {
				best, least = way.mul(far), far
			}
			break
		}
	}
	// A slide of no length says that it is held there already.
	at.at = at.at.add(best)
	return s.placement(at)
}

// nearestEdge is the shift that takes the shape straight to the nearest edge of the
// cloth, if there is one within reach, and the direction in which it can go on from
// there.
func (c *Cloth) nearestEdge(s *Shape, p pose, reachMM float64) (by, along vec, ok bool) {
	laid := s.place(nil, p)
	least := reachMM
	look := func(q, a, b vec, sign float64) {
		if min(a.x, b.x) > q.x+least || max(a.x, b.x) < q.x-least || min(a.y, b.y) > q.y+least || max(a.y, b.y) < q.y-least {
			return
		}
		e := edge{a: a, b: b}
		at, _ := e.closest(q)
		if d := at.sub(q); d.len() <= least && a != b {
			by, along, least, ok = d.mul(sign), d.quarter(), d.len(), true
			if least < 1e-3 { // too short to tell a direction
				along = b.sub(a)
			}
		}
	}
	for i := range c.region.edges {
		e := &c.region.edges[i]
		for _, q := range laid {
			look(q, e.a, e.b, 1)
		}
	}
	for i, a := range laid {
		b := laid[(i+1)%len(laid)]
		for _, q := range c.keepOut {
			look(q, a, b, -1)
		}
	}
	return by, along, ok
}
