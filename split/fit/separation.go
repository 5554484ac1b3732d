package fit

import "math"

// separator moves all parts of a layout at once by linear programming (Li and
// Milenkovic 1995, with turns added). Every vertex near an edge of another
// part, or of the cloth, must stay on its side of that edge. Separation
// maximises the least clearance; compaction shortens a strip. A layout counts
// as separated only by the exact test.
type separator struct {
	cloth *Cloth
	items []Item
	gap   float64
	poses []pose

	lp          *linearProgram
	base        int            // of the program: the first variable of these items
	derivatives [][]derivative // of each item, by the levels that its outline depends on; nil without levels
	turns       bool           // some item has a turn with a tolerance
	step        float64
	margin      float64 // the least clearance beyond the gap when the rows were last written
	work        scratch
	laid        [][]vec // the items as they lie
	boxes       []box   // and their boxes
	itemsMoved  int

	// For compaction: the cloth is a strip widthMM wide, open to the right.
	openEnd bool
	widthMM float64
}

func (a *separator) stride() int {
	if a.turns {
		return 3
	}
	return 2
}

func newSeparator(c *Cloth, items []Item, gapMM float64) *separator {
	a := &separator{cloth: c, items: items, gap: gapMM, lp: new(linearProgram)}
	for _, it := range items {
		for _, t := range it.Turns {
			a.turns = a.turns || t.ToleranceDeg > 0
		}
	}
	return a
}

// separate starts from the given poses and solves one linear program after
// another until nothing overlaps. It says whether the exact test passes then.
func (a *separator) separate(poses []pose, step float64, rounds int) bool {
	a.poses = append(a.poses[:0], poses...)
	a.step = step
	last := math.Inf(-1)
	var before []pose
	for range rounds {
		a.rows()
		if a.margin > -2*touchMM && feasible(a.cloth, a.items, a.poses, a.gap, &a.work) {
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
	return a.margin > -2*touchMM && feasible(a.cloth, a.items, a.poses, a.gap, &a.work)
}

// compact pushes the parts of a strip, which do not overlap, to the left as far
// as they go. It returns the length that they take then.
func (a *separator) compact(width, length float64) float64 {
	a.openEnd, a.widthMM = true, width
	defer func() { a.openEnd = false }()
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
		a.cloth = NewCloth(stripOutline(-v, width))
		if feasible(a.cloth, a.items, a.poses, a.gap, &a.work) {
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

// move shifts and turns the items by the program's solution.
func (a *separator) move() {
	st := a.stride()
	for i := range a.poses {
		p := &a.poses[i]
		v := a.base + i*st
		p.at = p.at.add(vec{a.lp.z[v], a.lp.z[v+1]})
		if st == 3 {
			t := nearestTurn(a.items[i].Turns, p.deg)
			d := p.deg + a.lp.z[v+2]*180/math.Pi/a.items[i].Shape.radius
			p.deg = max(t.Deg-t.ToleranceDeg, min(t.Deg+t.ToleranceDeg, d))
		}
	}
}

// rows writes the linear program for the present poses.
func (a *separator) rows() {
	a.lp.reset(a.stride()*len(a.items) + 1)
	a.writeRows()
}

// writeRows adds the bounds and rows of these items to the program.
func (a *separator) writeRows() {
	st := a.stride()
	lp := a.lp
	a.margin = math.Inf(1)
	a.itemsMoved += len(a.items)
	for i, it := range a.items {
		v := a.base + i*st
		for j := range st {
			lp.lo[v+j], lp.hi[v+j] = -a.step, a.step
		}
		if st == 3 {
			t := nearestTurn(it.Turns, a.poses[i].deg)
			k := math.Pi / 180 * it.Shape.radius
			lp.lo[v+2] = max(-a.step, min(0, (t.Deg-t.ToleranceDeg-a.poses[i].deg)*k))
			lp.hi[v+2] = min(a.step, max(0, (t.Deg+t.ToleranceDeg-a.poses[i].deg)*k))
		}
	}
	for i := range a.items {
		a.lineRows(i)
	}
	reach := a.gap + 2*math.Sqrt2*a.step
	if st == 3 {
		reach += 2 * a.step
	}
	a.layItems()
	for i := range a.items {
		if a.openEnd || a.cloth.isRectangle {
			a.boxRows(i)
		} else {
			a.clothRows(i, math.Sqrt2*a.step*2)
		}
		for j := range a.items {
			if j != i {
				a.pairRows(i, j, reach)
			}
		}
	}
}

// lineRows holds item i to the line that it is on.
func (a *separator) lineRows(i int) {
	t := nearestTurn(a.items[i].Turns, a.poses[i].deg)
	if t.Lines.none() {
		return
	}
	v := a.base + i*a.stride()
	across, _ := a.items[i].Shape.linesFor(t)
	switch {
	case across.y == 0:
		a.lp.lo[v], a.lp.hi[v] = 0, 0
	case across.x == 0:
		a.lp.lo[v+1], a.lp.hi[v+1] = 0, 0
	default:
		for _, n := range [2]vec{across, across.mul(-1)} {
			a.lp.begin()
			a.lp.put(v, n.x)
			a.lp.put(v+1, n.y)
			a.lp.end(0)
		}
	}
}

// nearestTurn is the turn of the list that deg belongs to.
func nearestTurn(ts []Turn, deg float64) Turn {
	best, off := Turn{Deg: deg}, math.Inf(1)
	for _, t := range ts {
		if d := math.Abs(deg-t.Deg) - t.ToleranceDeg; d < off {
			best, off = t, d
		}
	}
	return best
}

// contact is a point that a row holds: a vertex of an item as it is placed, or
// a point on the edge between two vertices. Item -1 is the cloth, which does
// not move.
type contact struct {
	item  int
	at    vec
	u, v  int // the vertices on either side of it
	share float64
}

// addRow adds the condition that p comes no nearer to q, along the unit vector
// u, than it may. signed is the clearance now, beyond the least that is
// allowed.
func (a *separator) addRow(p, q contact, u vec, signed float64) {
	a.margin = min(a.margin, signed)
	a.lp.begin()
	a.addMotion(p, u.mul(-1))
	a.addMotion(q, u)
	if !a.openEnd {
		a.lp.put(a.lp.n-1, 1)
	} else {
		signed = max(0, signed)
	}
	a.lp.end(signed)
}

// addMotion adds to the open row how a contact moves along u: with the pose of
// its item, and with the levels.
func (a *separator) addMotion(s contact, u vec) {
	if s.item < 0 {
		return
	}
	st := a.stride()
	v, pose := a.base+s.item*st, a.poses[s.item]
	a.lp.put(v, u.x)
	a.lp.put(v+1, u.y)
	if st == 3 {
		a.lp.put(v+2, u.dot(s.at.sub(pose.at).quarter())/a.items[s.item].Shape.radius)
	}
	if a.derivatives == nil {
		return
	}
	for _, d := range a.derivatives[s.item] {
		sin, cos := sincosDeg(pose.deg)
		by := d.perMM[s.u].mul(1-s.share).add(d.perMM[s.v].mul(s.share)).turn(sin, cos)
		a.lp.put(d.variable, u.dot(by))
	}
}

// derivative is how far each vertex of a shape moves, in the shape's own
// directions, when a level grows by a millimetre.
type derivative struct {
	variable int
	perMM    []vec
}

// layItems works out where the items lie.
func (a *separator) layItems() {
	if len(a.laid) != len(a.items) {
		a.laid, a.boxes = make([][]vec, len(a.items)), make([]box, len(a.items))
	}
	for i, it := range a.items {
		a.laid[i] = it.Shape.place(a.laid[i][:0], a.poses[i])
		a.boxes[i] = boxOf(a.laid[i])
	}
}

// pairRows holds the vertices of item i against the edges of item j.
func (a *separator) pairRows(i, j int, reach float64) {
	near := a.boxes[j]
	near.min, near.max = near.min.sub(vec{reach, reach}), near.max.add(vec{reach, reach})
	if !a.boxes[i].meets(&near) {
		return
	}
	for k, q := range a.laid[i] {
		if near.holds(q) {
			a.pointRows(contact{item: i, at: q, u: k, v: k}, j, reach, a.gap)
		}
	}
}

// pointRows holds a point against the edges of item j.
func (a *separator) pointRows(p contact, j int, reach, gap float64) {
	s, pj := a.items[j].Shape, a.poses[j]
	sin, cos := sincosDeg(pj.deg)
	u := p.at.sub(pj.at).turn(-sin, cos)
	b := s.bounds
	if u.x < b.min.x-reach || u.x > b.max.x+reach || u.y < b.min.y-reach || u.y > b.max.y+reach {
		return
	}
	a.regionRows(s.exterior(), u, reach, &a.work.part, func(e int32, share float64, at, dir vec, d float64) {
		// The exterior's edge e runs backward: from the vertex after e to e.
		q := contact{j, at.turn(sin, cos).add(pj.at), (int(e) + 1) % len(s.ring), int(e), share}
		a.addRow(p, q, dir.turn(sin, cos), d-gap)
	})
}

// clothRows holds the vertices of item i against the edges of the cloth, and
// the reflex corners of the cloth against the edges of item i.
func (a *separator) clothRows(i int, reach float64) {
	s, p := a.items[i].Shape, a.poses[i]
	sin, cos := sincosDeg(p.deg)
	for k, q := range s.ring {
		v := contact{item: i, at: q.turn(sin, cos).add(p.at), u: k, v: k}
		a.regionRows(a.cloth.region, v.at, reach, &a.work.cloth, func(_ int32, _ float64, at, dir vec, d float64) {
			a.addRow(v, clothContact(at), dir, d)
		})
	}
	for _, v := range a.cloth.reflex {
		a.pointRows(clothContact(v), i, reach, 0)
	}
}

func clothContact(at vec) contact { return contact{item: -1, at: at} }

// regionRows calls add for each edge e of the region within reach of p, with
// the nearest point of the edge and its share of the way along it, the
// direction from there to p, and the distance. Where p is outside the region see
// outsideRows.
func (a *separator) regionRows(f *region, p vec, reach float64, pr *probe, add func(e int32, share float64, at, dir vec, d float64)) {
	edges, in := f.edgesNear(pr, p, reach, reach)
	if len(edges) == 0 && in {
		return
	}
	if !f.contains(p) {
		f.outsideRows(p, reach, pr, add)
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
			add(k, t, at, e.n.mul(-1), d)
		} else {
			add(k, t, at, p.sub(at).mul(1/d), d)
		}
	}
}

// outsideRows calls add for the edge that is nearest to a point outside the region,
// however far, with minus the distance from its line. At a convex corner within reach
// the point must come in past the other edge too, or what mends the one would break
// the other.
func (f *region) outsideRows(p vec, reach float64, pr *probe, add func(e int32, share float64, at, dir vec, d float64)) {
	nearest, _ := f.rimNearest(p, pr)
	if nearest < 0 {
		return
	}
	e := &f.edges[nearest]
	at, t := e.closest(p)
	add(nearest, t, at, e.n.mul(-1), e.d-e.n.dot(p))
	for end, k := range f.beside[nearest] {
		o := &f.edges[k]
		corner, far := e.a, o.a
		if end == 1 {
			corner, far = e.b, o.b
		}
		convex := e.n.dot(far) < e.d
		if convex && (t == float64(end) || p.sub(corner).len() <= reach) {
			add(k, float64(1-end), corner, o.n.mul(-1), o.d-o.n.dot(p))
		}
	}
}

// closest is the point of the edge nearest to p, and its share of the way
// along.
func (e *edge) closest(p vec) (vec, float64) {
	d := e.b.sub(e.a)
	t := max(0, min(1, p.sub(e.a).dot(d)/d.dot(d)))
	return e.a.add(d.mul(t)), t
}

// boxRows holds item i within a rectangular cloth. In a compaction it holds the
// item within the strip's width and its length, which is minus the last
// variable of the program.
func (a *separator) boxRows(i int) {
	b := a.cloth.region.bounds
	if a.openEnd {
		b = box{vec{0, 0}, vec{math.Inf(1), a.widthMM}}
	}
	s, p := a.items[i].Shape, a.poses[i]
	sin, cos := sincosDeg(p.deg)
	corners := s.convexHull()
	if a.derivatives != nil {
		corners = s.ring // the derivatives are of these vertices
	}
	lies := rotated(corners, sin, cos)
	ext := boxOf(lies)
	near := 0.0
	if a.turns {
		near = 2 * a.step
	}
	for k, q := range lies {
		v := contact{item: i, at: q.add(p.at), u: k, v: k}
		if q.x <= ext.min.x+near {
			a.addRow(v, clothContact(v.at), vec{1, 0}, v.at.x-b.min.x)
		}
		if q.y <= ext.min.y+near {
			a.addRow(v, clothContact(v.at), vec{0, 1}, v.at.y-b.min.y)
		}
		if q.y >= ext.max.y-near {
			a.addRow(v, clothContact(v.at), vec{0, -1}, b.max.y-v.at.y)
		}
		if q.x >= ext.max.x-near {
			if !a.openEnd {
				a.addRow(v, clothContact(v.at), vec{-1, 0}, b.max.x-v.at.x)
				continue
			}
			a.lp.begin()
			a.addMotion(v, vec{1, 0})
			a.lp.put(a.lp.n-1, 1)
			a.lp.end(-v.at.x)
		}
	}
}
