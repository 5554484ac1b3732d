package fit

import "math"

// adjuster moves all parts of a layout at once by linear programming (Li and
// Milenkovic 1995, with turns): every vertex near another part's rim, or the
// cloth's, must stay on its side of it. It ends with exact clearances.
type adjuster struct {
	cloth *Cloth
	items []Item
	gap   float64
	poses []pose

	lp     program
	turns  bool // some item may turn
	step   float64
	margin float64 // the least clearance beyond the gap found in the last rows
	work   work
	worked int

	// For strips: the rim is a box open to the right.
	strip  bool
	height float64
}

func (a *adjuster) stride() int {
	if a.turns {
		return 3
	}
	return 2
}

func newAdjuster(c *Cloth, items []Item, gapMM float64) *adjuster {
	a := &adjuster{cloth: c, items: items, gap: gapMM}
	for _, it := range items {
		for _, t := range it.Turns {
			a.turns = a.turns || t.ToleranceDeg > 0
		}
	}
	return a
}

// spread tries to part everything that overlaps, starting from poses, and says
// whether it came out clear.
func (a *adjuster) spread(poses []pose, step float64, rounds int) bool {
	a.poses = append(a.poses[:0], poses...)
	a.step = step
	last := math.Inf(-1)
	var before []pose
	for range rounds {
		a.rows()
		if a.margin > -2*touchMM && clear(a.cloth, a.items, a.poses, a.gap, &a.work) {
			return true
		}
		if a.margin < last-1e-9 { // worse than before: shorter steps
			a.step *= 0.4
			a.poses = append(a.poses[:0], before...)
			if a.step < 1e-4*step {
				return false
			}
			a.rows()
		} else {
			last = a.margin
			before = append(before[:0], a.poses...)
		}
		n := len(a.lp.z)
		a.lp.lo[n-1], a.lp.hi[n-1] = -1e6, min(2e-3*step, a.step)
		if _, ok := a.lp.solve(-1e7); !ok {
			return false
		}
		a.move()
		if a.lp.z[n-1] <= last+1e-9 && last < -2*touchMM {
			return false // nothing to be gained from here
		}
	}
	a.rows()
	return a.margin > -2*touchMM && clear(a.cloth, a.items, a.poses, a.gap, &a.work)
}

// compact pushes the parts, clear of each other as they lie, to the left as far
// as they go, and returns the length they take then.
func (a *adjuster) compact(width, length float64) float64 {
	a.strip, a.height = true, width
	defer func() { a.strip = false }()
	full := a.cloth
	defer func() { a.cloth = full }()
	a.step = width * 0.05
	for range 30 {
		before := append([]pose(nil), a.poses...)
		a.rows()
		n := len(a.lp.z)
		a.lp.lo[n-1], a.lp.hi[n-1] = -2*length, 0
		v, ok := a.lp.solve(math.Inf(-1))
		if !ok || -v > length*(1-1e-7) {
			a.poses = before
			if a.step < width*1e-3 {
				break
			}
			a.step *= 0.3
			continue
		}
		a.move()
		a.cloth = NewCloth(rect2(-v, width))
		if clear(a.cloth, a.items, a.poses, a.gap, &a.work) {
			gain := length + v
			length = -v
			if gain < 1e-5*length {
				break
			}
			continue
		}
		a.poses = before
		if a.step *= 0.3; a.step < width*1e-3 {
			break
		}
	}
	return length
}

// move applies the program's solution.
func (a *adjuster) move() {
	st := a.stride()
	for i := range a.poses {
		p := &a.poses[i]
		p.at = p.at.add(vec{a.lp.z[i*st], a.lp.z[i*st+1]})
		if st == 3 {
			t := near(a.items[i].Turns, p.deg)
			d := p.deg + a.lp.z[i*st+2]*180/math.Pi/a.items[i].Shape.radius
			p.deg = max(t.Deg-t.ToleranceDeg, min(t.Deg+t.ToleranceDeg, d))
		}
	}
}

// rows writes the program about the current poses.
func (a *adjuster) rows() {
	st := a.stride()
	n := st*len(a.items) + 1
	lp := &a.lp
	lp.reset(n)
	a.margin = math.Inf(1)
	a.worked += len(a.items)
	for i, it := range a.items {
		for j := range st {
			lp.lo[i*st+j], lp.hi[i*st+j] = -a.step, a.step
		}
		if st == 3 {
			t := near(it.Turns, a.poses[i].deg)
			k := math.Pi / 180 * it.Shape.radius
			lp.lo[i*3+2] = max(-a.step, min(0, (t.Deg-t.ToleranceDeg-a.poses[i].deg)*k))
			lp.hi[i*3+2] = min(a.step, max(0, (t.Deg+t.ToleranceDeg-a.poses[i].deg)*k))
		}
	}
	reach := a.gap + 2*math.Sqrt2*a.step
	if st == 3 {
		reach += 2 * a.step
	}
	for i := range a.items {
		if a.strip || a.cloth.plain {
			a.boxRows(i)
		} else {
			a.rimRows(i, math.Sqrt2*a.step*2)
		}
		for j := range a.items {
			if j != i {
				a.pairRows(i, j, reach)
			}
		}
	}
}

// near is the turn of the list that deg belongs to.
func near(ts []Turn, deg float64) Turn {
	best, off := Turn{Deg: deg}, math.Inf(1)
	for _, t := range ts {
		if d := math.Abs(deg-t.Deg) - t.ToleranceDeg; d < off {
			best, off = t, d
		}
	}
	return best
}

// row adds: the point p of item i must not come closer than it may to the
// point q of item j, along u. signed is how far it is now beyond the least.
// i or j is -1 for the cloth, which does not move.
func (a *adjuster) row(i int, p vec, j int, q vec, u vec, signed float64) {
	a.margin = min(a.margin, signed)
	lp := &a.lp
	st := a.stride()
	lp.begin()
	if i >= 0 {
		lp.put(i*st, -u.x)
		lp.put(i*st+1, -u.y)
		if st == 3 {
			lp.put(i*st+2, -u.dot(p.sub(a.poses[i].at).quarter())/a.items[i].Shape.radius)
		}
	}
	if j >= 0 {
		lp.put(j*st, u.x)
		lp.put(j*st+1, u.y)
		if st == 3 {
			lp.put(j*st+2, u.dot(q.sub(a.poses[j].at).quarter())/a.items[j].Shape.radius)
		}
	}
	if !a.strip {
		lp.put(lp.n-1, 1)
	} else {
		signed = max(0, signed)
	}
	lp.end(signed)
}

// pairRows: the vertices of item i against the rim of item j.
func (a *adjuster) pairRows(i, j int, reach float64) {
	si, sj := a.items[i].Shape, a.items[j].Shape
	pi, pj := a.poses[i], a.poses[j]
	if pi.at.sub(pj.at).len() > si.radius+sj.radius+reach {
		return
	}
	sin, cos := sincosDeg(pi.deg)
	for _, q := range si.ring {
		p := q.turn(sin, cos).add(pi.at)
		a.pointRows(i, p, j, reach, a.gap)
	}
}

// pointRows: the point p of item i (or of the cloth, -1) against the rim of item j.
func (a *adjuster) pointRows(i int, p vec, j int, reach, gap float64) {
	s, pj := a.items[j].Shape, a.poses[j]
	sin, cos := sincosDeg(pj.deg)
	u := p.sub(pj.at).turn(-sin, cos)
	b := s.bounds
	if u.x < b.min.x-reach || u.x > b.max.x+reach || u.y < b.min.y-reach || u.y > b.max.y+reach {
		return
	}
	world := func(v vec) vec { return v.turn(sin, cos).add(pj.at) }
	a.fieldRows(s.around(), u, reach, &a.work.part, func(at, dir vec, d float64) {
		a.row(i, p, j, world(at), dir.turn(sin, cos), d-gap)
	})
}

// rimRows: item i against the cloth's rim, and the cloth's dents against it.
func (a *adjuster) rimRows(i int, reach float64) {
	s, p := a.items[i].Shape, a.poses[i]
	sin, cos := sincosDeg(p.deg)
	for _, q := range s.ring {
		v := q.turn(sin, cos).add(p.at)
		a.fieldRows(a.cloth.rim, v, reach, &a.work.cloth, func(at, dir vec, d float64) {
			a.row(i, v, -1, at, dir, d)
		})
	}
	for _, v := range a.cloth.dents {
		a.pointRows(-1, v, i, reach, 0)
	}
}

// fieldRows calls add for every edge of the field's rim within reach of p: the
// nearest point of it, the direction from there to p, and the distance, which
// is negative for a point outside the region.
func (a *adjuster) fieldRows(f *field, p vec, reach float64, pr *probe, add func(at, dir vec, d float64)) {
	edges, in := f.around(pr, p, reach, reach)
	if len(edges) == 0 && in {
		return
	}
	if !f.has(p) {
		if len(edges) == 0 {
			edges = f.gather(pr, p, 8*reach, 8*reach)
		}
		var best *edge
		least := math.Inf(1)
		for _, k := range edges {
			if d := segDist(p, f.edges[k].a, f.edges[k].b); d < least {
				least, best = d, &f.edges[k]
			}
		}
		if best != nil {
			at, _ := best.closest(p)
			add(at, best.n.mul(-1), -least)
		} else {
			a.margin = min(a.margin, -8*reach)
		}
		return
	}
	for _, k := range edges {
		e := &f.edges[k]
		at, t := e.closest(p)
		d := p.sub(at).len()
		if d > reach || t >= 1 {
			continue
		}
		if d < 1e-7 {
			add(at, e.n.mul(-1), d)
		} else {
			add(at, p.sub(at).mul(1/d), d)
		}
	}
}

// closest is the point of the edge nearest to p and where along it it lies.
func (e *edge) closest(p vec) (vec, float64) {
	d := e.b.sub(e.a)
	t := max(0, min(1, p.sub(e.a).dot(d)/d.dot(d)))
	return e.a.add(d.mul(t)), t
}

// boxRows keeps item i within the rectangle, or, for strips, within its height
// and left of its length, which the program's last variable holds negated.
func (a *adjuster) boxRows(i int) {
	b := a.cloth.rim.bounds
	if a.strip {
		b = box{vec{0, 0}, vec{math.Inf(1), a.height}}
	}
	s, p := a.items[i].Shape, a.poses[i]
	sin, cos := sincosDeg(p.deg)
	lies := turned(s.convexHull(), sin, cos)
	ext := boxOf(lies)
	near := 0.0
	if a.turns {
		near = 2 * a.step
	}
	for _, q := range lies {
		v := q.add(p.at)
		if q.x <= ext.min.x+near {
			a.row(i, v, -1, v, vec{1, 0}, v.x-b.min.x)
		}
		if q.y <= ext.min.y+near {
			a.row(i, v, -1, v, vec{0, 1}, v.y-b.min.y)
		}
		if q.y >= ext.max.y-near {
			a.row(i, v, -1, v, vec{0, -1}, b.max.y-v.y)
		}
		if q.x >= ext.max.x-near {
			if !a.strip {
				a.row(i, v, -1, v, vec{-1, 0}, b.max.x-v.x)
				continue
			}
			st := a.stride()
			a.lp.begin()
			a.lp.put(i*st, 1)
			if st == 3 {
				a.lp.put(i*st+2, q.quarter().x/s.radius)
			}
			a.lp.put(a.lp.n-1, 1)
			a.lp.end(-v.x)
		}
	}
}
