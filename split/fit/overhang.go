package fit

import (
	"container/heap"
	"context"
	"math"
)

// overhangNodes bounds the search of Overhang: after so many cells the best
// placement so far is good enough to report.
const overhangNodes = 120

// Overhang finds the placement of the shape at one of the turns that hangs off
// the cloth the least, and by how much beyond the cloth along the grain and
// across it, in mm: with so much more cloth, half of it on either side, each
// point of the part would lie on cloth. Of two placements the one with the
// smaller sum hangs off less. For a rectangular scrap and part the two are the
// differences of the lengths and the widths; they are 0, 0 for a part that
// fits. grainDeg is the direction of the cloth's grain.
//
// Where the cloth is irregular the result is the best of a bounded search, or
// of what was seen when ctx ended.
func Overhang(ctx context.Context, c *Cloth, s *Shape, turns []Turn, grainDeg float64) (p Placement, alongMM, acrossMM float64) {
	if len(s.ring) == 0 || len(c.rings) == 0 || len(turns) == 0 {
		return Placement{}, 0, 0
	}
	if p, ok := Place(ctx, c, s, turns); ok {
		return p, 0, 0
	}
	return LeastOverhang(ctx, c, s, turns, grainDeg, Middle(c, s, turns[0]))
}

// LeastOverhang is Overhang for a shape that is known to fit nowhere. It begins at
// a placement, and gives nothing worse.
func LeastOverhang(ctx context.Context, c *Cloth, s *Shape, turns []Turn, grainDeg float64, from Placement) (p Placement, alongMM, acrossMM float64) {
	o := newOverhang(c, s, grainDeg)
	o.improve(s.pose(from), 0, 0)
	for _, t := range turns {
		o.search(ctx, Turn{Deg: t.Deg})
	}
	for _, t := range turns {
		if t.ToleranceDeg != 0 {
			o.search(ctx, t)
		}
	}
	return s.placement(o.best), 2 * o.along, 2 * o.across
}

// OverhangAt is by how much a shape hangs off the cloth at one placement, as Overhang
// says it, up to half a millimetre more.
func OverhangAt(c *Cloth, s *Shape, p Placement, grainDeg float64) (alongMM, acrossMM float64) {
	if len(s.ring) == 0 || len(c.rings) == 0 {
		return 0, 0
	}
	o := newOverhang(c, s, grainDeg)
	o.fineMM = 0.25 // on either side
	o.improve(s.pose(p), 0, 0)
	return 2 * o.along, 2 * o.across
}

// Middle is the placement at a turn with the middle of the shape's box on that of
// the cloth's.
func Middle(c *Cloth, s *Shape, t Turn) Placement {
	sin, cos := sincosDeg(t.Deg)
	return s.placement(pose{c.region.bounds.centre().sub(boxOf(rotated(s.ring, sin, cos)).centre()), t.Deg})
}

func rotated(ps []vec, sin, cos float64) []vec {
	out := make([]vec, len(ps))
	for i, p := range ps {
		out[i] = p.turn(sin, cos)
	}
	return out
}

// overhang is the search for the pose that needs the least cloth added.
type overhang struct {
	*poseSearch
	best          pose
	along, across float64 // on either side
	fineMM        float64 // how finely it is found what a pose needs
}

func newOverhang(c *Cloth, s *Shape, grainDeg float64) *overhang {
	q := newPoseSearch(c, s)
	q.clothCorners = nil
	// Points between the vertices too: a notch of the cloth may reach in there.
	step := s.radius / 20
	for i, a := range s.ring {
		d := s.ring[(i+1)%len(s.ring)].sub(a)
		n := int(d.len() / step)
		for k := 1; k <= n; k++ {
			q.partPoints = append(q.partPoints, a.add(d.mul(float64(k)/float64(n+1))))
		}
	}
	sin, cos := sincosDeg(grainDeg)
	q.grain = vec{cos, sin}
	o := &overhang{poseSearch: q, along: math.Inf(1), fineMM: ResolutionMM / 5}
	return o
}

// search explores one range of turns for a pose better than the best.
func (o *overhang) search(ctx context.Context, t Turn) {
	o.limitToBest()
	o.open = nil
	o.addRoot(t)
	for n := 0; len(o.open) > 0 && n < overhangNodes && ctx.Err() == nil; n++ {
		c := heap.Pop(&o.open).(cell)
		o.limitToBest()
		if -c.bound >= o.along+o.across || !o.contract(&c) {
			continue
		}
		p, along, across, ok := o.leastCloth()
		if !ok || along+across >= o.along+o.across {
			continue
		}
		c.bound = min(c.bound, -(along + across))
		o.improve(p, along, across)
		if along+across < o.along+o.across-ResolutionMM {
			o.split(&c)
		}
	}
}

// limitToBest bounds the cloth that may be added by what the best pose needs.
func (o *overhang) limitToBest() {
	o.grow = o.along + o.across
	o.wide = vec{o.grow, o.grow}
}

// leastCloth is the pose in the cell whose rows ask for the least cloth, and
// that cloth: a lower bound for the cell. The variables of the program are the
// shift, the turn, the cloth added along the grain, and minus all cloth added.
func (o *overhang) leastCloth() (p pose, along, across float64, ok bool) {
	lp := &o.lp
	lp.reset(5)
	copy(lp.lo, o.lo[:])
	copy(lp.hi, o.hi[:])
	lp.lo[3], lp.hi[3] = 0, o.grow
	lp.lo[4], lp.hi[4] = -o.grow, 0
	lp.a = append(lp.a, 0, 0, 0, 1, 1)
	lp.b = append(lp.b, 0)
	for i := range o.rows {
		r := &o.rows[i]
		al, ac := math.Abs(r.a.dot(o.grain)), math.Abs(r.a.cross(o.grain))
		lp.a = append(lp.a, r.a.x, r.a.y, r.turn, ac-al, ac)
		lp.b = append(lp.b, r.b-r.allowed)
	}
	if _, ok := lp.solve(-o.grow - 1e-7); !ok {
		return pose{}, 0, 0, false
	}
	along = max(0, lp.z[3])
	across = max(0, -lp.z[4]-lp.z[3])
	return o.solution(), along, across, true
}

// improve finds how much cloth the pose needs beyond the given cloth, and keeps
// the pose if it is the best so far.
func (o *overhang) improve(p pose, along, across float64) {
	most := min(o.along+o.across, 2*(o.shape.radius+o.cloth.region.bounds.width()+o.cloth.region.bounds.height()))
	for _, way := range [3]vec{{1, 0}, {0, 1}, {1, 1}} {
		more, ok := o.addedCloth(p, along, across, way, most-along-across)
		if !ok {
			continue
		}
		a, b := along+way.x*more, across+way.y*more
		if a+b < o.along+o.across {
			o.best, o.along, o.across = p, a, b
		}
	}
}

// addedCloth bisects for the least step along way at which every point is
// covered.
func (o *overhang) addedCloth(p pose, along, across float64, way vec, most float64) (float64, bool) {
	covers := func(k float64) bool {
		return o.covered(p, along+way.x*k+touchMM, across+way.y*k+touchMM)
	}
	if covers(0) {
		return 0, true
	}
	hi := most / (way.x + way.y)
	if hi <= 0 || !covers(hi) {
		return 0, false
	}
	lo := 0.0
	for hi-lo > o.fineMM {
		if m := (lo + hi) / 2; covers(m) {
			hi = m
		} else {
			lo = m
		}
	}
	return hi, true
}

// covered says whether every point of the part would lie on cloth if so much
// were added on either side.
func (o *overhang) covered(p pose, along, across float64) bool {
	sin, cos := sincosDeg(p.deg)
	for k, u := range o.partPoints {
		if !o.reaches(u.turn(sin, cos).add(p.at), along, across) {
			// The next test is likely to fail at the same point.
			copy(o.partPoints[1:k+1], o.partPoints[:k])
			o.partPoints[0] = u
			return false
		}
	}
	for _, v := range o.cloth.holePoints {
		if !o.shape.exterior().contains(v.sub(p.at).turn(-sin, cos)) && !o.reaches(v, along, across) {
			return false
		}
	}
	return true
}

// reaches says whether there is cloth within along and across of u.
func (o *overhang) reaches(u vec, along, across float64) bool {
	g := o.grain
	hx := math.Abs(g.x)*along + math.Abs(g.y)*across
	hy := math.Abs(g.y)*along + math.Abs(g.x)*across
	near, in := o.cloth.region.edgesNear(&o.scratch.cloth, u, hx, hy)
	if len(near) == 0 {
		return in
	}
	if o.cloth.region.contains(u) || g.x == 0 || g.y == 0 {
		return true
	}
	// The box is turned with the grain: test it in the grain's coordinates.
	for _, k := range near {
		e := &o.cloth.region.edges[k]
		a, b := e.a.sub(u), e.b.sub(u)
		t := edge{a: vec{g.dot(a), g.cross(a)}, b: vec{g.dot(b), g.cross(b)}}
		t.n = vec{g.dot(e.n), g.cross(e.n)}
		t.d = t.n.dot(t.a)
		if t.meets(vec{}, along, across) {
			return true
		}
	}
	return false
}
