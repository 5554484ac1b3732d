package fit

import "math"

// row is one linear constraint that the feasible poses of a cell satisfy,
// relative to the cell's middle: a.x·Δx + a.y·Δy + turn·Δθ ≤ b. The turn is
// measured in mm along the part's circumcircle.
type row struct {
	a       vec
	turn, b float64
	allowed float64 // the share of b that is due to cloth that Overhang may add
	rigid   bool    // it has no room to spare: the pose is to be on a line
}

const (
	mostEdges = 24 // a sample near more edges than this gives no rows until the cell is smaller
	mostRows  = 5  // rows kept of one sample
)

// contract shrinks the cell as far as single rows allow, and drops the samples
// that no pose in the cell violates. It says false when the cell is empty.
// Afterwards q.rows holds the rows, and q.lo and q.hi the cell, relative to
// q.ref.
func (q *poseSearch) contract(c *cell) bool {
	for round := 0; ; round++ {
		q.ref = pose{c.at, c.deg}
		q.hi = [3]float64{c.half.x, c.half.y, c.halfDeg * q.arcPerDeg()}
		q.lo = [3]float64{-q.hi[0], -q.hi[1], -q.hi[2]}
		whole := q.hi
		if !q.collectRows(c) {
			return false
		}
		for sweep := 0; sweep < 3; sweep++ {
			moved, ok := q.propagate(q.rows)
			if !ok {
				return false
			}
			if !moved {
				break
			}
		}
		q.setCell(c)
		shrunk := false
		for j := range whole {
			if q.hi[j]-q.lo[j] < 1.2*whole[j] { // of 2*whole
				shrunk = true
			}
		}
		if !shrunk || round == 3 {
			return true
		}
	}
}

// arcPerDeg is how far the part's outermost point moves in a turn of one
// degree.
func (q *poseSearch) arcPerDeg() float64 { return q.shape.radius * math.Pi / 180 }

// setCell gives the cell the bounds q.lo and q.hi.
func (q *poseSearch) setCell(c *cell) {
	c.at = q.ref.at.add(vec{(q.lo[0] + q.hi[0]) / 2, (q.lo[1] + q.hi[1]) / 2})
	c.half = vec{max(0, q.hi[0]-q.lo[0]) / 2, max(0, q.hi[1]-q.lo[1]) / 2}
	if c.halfDeg > 0 {
		c.deg = q.ref.deg + (q.lo[2]+q.hi[2])/2/q.arcPerDeg()
		c.halfDeg = max(0, q.hi[2]-q.lo[2]) / 2 / q.arcPerDeg()
	}
}

// propagate is bound propagation: it moves each bound to the farthest value
// that some row still allows when the other variables help as much as they can.
func (q *poseSearch) propagate(rows []row) (moved, ok bool) {
	const tol = 1e-9
	lo, hi := &q.lo, &q.hi
	for i := range rows {
		r := &rows[i]
		a := [3]float64{r.a.x, r.a.y, r.turn}
		sum := 0.0
		for j := range a {
			if a[j] > 0 {
				sum += a[j] * lo[j]
			} else {
				sum += a[j] * hi[j]
			}
		}
		free := r.b - sum
		if free < -tol {
			return moved, false
		}
		for j := range a {
			w := hi[j] - lo[j]
			if math.Abs(a[j])*w <= free+tol || w == 0 {
				continue
			}
			if a[j] > 0 {
				hi[j] = max(lo[j], lo[j]+free/a[j]+tol)
			} else {
				lo[j] = min(hi[j], hi[j]+free/a[j]-tol)
			}
			moved = true
		}
	}
	return moved, true
}

// mostRoom finds the pose in the cell at which the tightest row has most slack,
// and that slack, by linear programming.
func (q *poseSearch) mostRoom() (pose, float64, bool) {
	lp := &q.lp
	lp.reset(4)
	copy(lp.lo, q.lo[:])
	copy(lp.hi, q.hi[:])
	lp.lo[3], lp.hi[3] = -1, 1000
	for i := range q.rows {
		r := &q.rows[i]
		spare := 1.0
		if r.rigid {
			spare = 0
		}
		lp.a = append(lp.a, r.a.x, r.a.y, r.turn, spare)
		lp.b = append(lp.b, r.b)
	}
	room, ok := lp.solve(-1e-7)
	if !ok {
		return pose{}, room, false
	}
	return q.solution(), room, true
}

// solution is the pose that the first three variables of the program stand for.
func (q *poseSearch) solution() pose {
	p := pose{q.ref.at.add(vec{q.lp.z[0], q.lp.z[1]}), q.ref.deg}
	if q.hi[2] > q.lo[2] {
		p.deg += q.lp.z[2] / q.arcPerDeg()
	}
	return p
}

// collectRows computes the rows of every sample of the cell.
func (q *poseSearch) collectRows(c *cell) bool {
	q.rows = q.rows[:0]
	if c.line != nil {
		on := c.line.rows(c.at)
		q.rows = append(q.rows, on[:]...)
	}
	sin, cos := sincosDeg(c.deg)
	phi := c.halfDeg * math.Pi / 180
	live := make([]int32, 0, len(c.samples))
	for k, id := range c.samples {
		var keep, ok bool
		had := len(q.rows)
		if id >= 0 {
			keep, ok = q.partRows(q.partPoints[id], c, sin, cos, phi)
		} else {
			keep, ok = q.cornerRows(q.clothCorners[^id], c, sin, cos, phi)
		}
		if ok && len(q.rows) > had {
			// The cell is contracted at once, so that the next sample wanders less.
			fresh := q.rows[had:]
			by := vec{c.at.x - q.ref.at.x, c.at.y - q.ref.at.y}
			turned := (c.deg - q.ref.deg) * q.arcPerDeg()
			for i := range fresh {
				fresh[i].b += fresh[i].a.dot(by) + fresh[i].turn*turned
			}
			var moved bool
			moved, ok = q.propagate(fresh)
			if moved && ok {
				deg := c.deg
				q.setCell(c)
				if c.deg != deg {
					sin, cos = sincosDeg(c.deg)
				}
				phi = c.halfDeg * math.Pi / 180
			}
		}
		if !ok {
			// The sample that empties this cell is likely to empty the next one too.
			copy(c.samples[1:k+1], c.samples[:k])
			c.samples[0] = id
			return false
		}
		if keep {
			live = append(live, id)
		}
	}
	c.samples = live
	return true
}

// partRows gives the rows of a point p of the part, which must stay in the
// cloth. As the pose runs over the cell, the point stays in a small box. A half
// plane that holds all the cloth within that box is a constraint. It is linear
// in the shift. In the turn it is linear but for the curvature of the point's
// arc, which is allowed for in the point's favour, so that the row cuts off no
// feasible pose.
func (q *poseSearch) partRows(p vec, c *cell, sin, cos, phi float64) (keep, ok bool) {
	pc := p.turn(sin, cos)
	j := pc.quarter()
	bow := p.len() * phi * phi / 2
	at := c.at.add(pc)
	hx := c.half.x + math.Abs(j.x)*phi + bow
	hy := c.half.y + math.Abs(j.y)*phi + bow
	f := q.cloth.region
	near, in := f.edgesNear(&q.scratch.cloth, at, hx+q.wide.x, hy+q.wide.y)
	if len(near) == 0 {
		return false, in
	}
	var planes [mostRows]plane
	k := f.supportingPlanes(near, at, hx+q.wide.x, hy+q.wide.y, &planes)
	if k == 0 {
		k = strongestPlanes(q.cloth.hull, at, hx, hy, &planes)
	}
	cube := phi * phi * phi / 6
	for _, pl := range planes[:k] {
		n := pl.n
		nj := n.dot(j)
		ease := max(0, n.dot(pc))*phi*phi/2 + math.Abs(nj)*cube
		give := q.grow * max(math.Abs(n.dot(q.grain)), math.Abs(n.cross(q.grain)))
		q.rows = append(q.rows, row{a: n, turn: nj / q.shape.radius, b: pl.d - n.dot(at) + ease + give, allowed: give})
	}
	return true, true
}

// cornerRows gives the rows of a corner v of the cloth, which must stay out of
// the part. Seen from the part it is the corner that moves, in the part's
// exterior.
func (q *poseSearch) cornerRows(v vec, c *cell, sin, cos, phi float64) (keep, ok bool) {
	w := v.sub(c.at)
	e := c.half.len()
	if w.len() > q.shape.radius+e {
		return false, true
	}
	u := w.turn(-sin, cos)
	j := u.quarter()
	bow := w.len()*phi*phi/2 + phi*e
	hx := math.Abs(cos)*c.half.x + math.Abs(sin)*c.half.y + math.Abs(j.x)*phi + bow
	hy := math.Abs(sin)*c.half.x + math.Abs(cos)*c.half.y + math.Abs(j.y)*phi + bow
	f := q.shape.exterior()
	near, in := f.edgesNear(&q.scratch.part, u, hx, hy)
	if len(near) == 0 {
		return false, in
	}
	var planes [mostRows]plane
	k := f.supportingPlanes(near, u, hx, hy, &planes)
	cube := phi * phi * phi / 6
	for _, pl := range planes[:k] {
		m := pl.n.turn(sin, cos)
		mj := m.quarter()
		slip := math.Abs(m.x)*c.half.x + math.Abs(m.y)*c.half.y
		slipJ := math.Abs(mj.x)*c.half.x + math.Abs(mj.y)*c.half.y
		mw, jw := m.dot(w), mj.dot(w)
		ease := phi*slipJ + max(0, mw+slip)*phi*phi/2 + (math.Abs(jw)+slipJ)*cube
		q.rows = append(q.rows, row{a: m.mul(-1), turn: jw / q.shape.radius, b: pl.d - mw + ease})
	}
	return true, true
}

// plane is the half plane n·p ≤ d.
type plane struct {
	n   vec
	d   float64
	cut float64 // how far it cuts into the box, along n
}

// supportingPlanes finds half planes that hold all of the region within a box:
// the lines of the edges in the box, moved out until none of the region there
// lies beyond. It keeps those that cut off most of the box.
func (f *region) supportingPlanes(near []int32, c vec, hx, hy float64, best *[mostRows]plane) int {
	if len(near) > mostEdges {
		return 0
	}
	var pts [2*mostEdges + 4]vec
	n := 0
	for i := 0; i < 4; i++ {
		p := vec{c.x + hx, c.y + hy}
		if i&1 != 0 {
			p.x = c.x - hx
		}
		if i&2 != 0 {
			p.y = c.y - hy
		}
		if f.contains(p) {
			pts[n] = p
			n++
		}
	}
	for _, k := range near {
		pts[n], pts[n+1] = f.edges[k].clip(c, hx, hy)
		n += 2
	}
	kept := 0
	for _, k := range near {
		e := &f.edges[k]
		reach := e.n.dot(c) + math.Abs(e.n.x)*hx + math.Abs(e.n.y)*hy
		d := e.d
		for _, p := range pts[:n] {
			if v := e.n.dot(p); v > d {
				if d = v; d >= reach {
					break
				}
			}
		}
		kept = keepStrongest(best, kept, e.n, d, c, hx, hy)
	}
	return kept
}

// strongestPlanes keeps those of the edges' own half planes that cut off most
// of the box.
func strongestPlanes(edges []edge, c vec, hx, hy float64, best *[mostRows]plane) int {
	kept := 0
	for i := range edges {
		kept = keepStrongest(best, kept, edges[i].n, edges[i].d, c, hx, hy)
	}
	return kept
}

// keepStrongest adds the half plane n·p ≤ d to the best ones of the box, if it
// is one of them.
func keepStrongest(best *[mostRows]plane, kept int, n vec, d float64, c vec, hx, hy float64) int {
	cut := n.dot(c) + math.Abs(n.x)*hx + math.Abs(n.y)*hy - d
	if cut <= 1e-9 {
		return kept
	}
	i := kept
	if kept < mostRows {
		kept++
	} else if i--; cut <= best[i].cut {
		return kept
	}
	for ; i > 0 && best[i-1].cut < cut; i-- {
		best[i] = best[i-1]
	}
	best[i] = plane{n, d, cut}
	return kept
}
