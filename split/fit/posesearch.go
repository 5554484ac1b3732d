package fit

import (
	"container/heap"
	"context"
	"math"
)

// ResolutionMM is how finely Place searches: when it finds nothing, then there
// is no placement with more room than this.
const ResolutionMM = 0.05

// Place finds a placement of the shape on the cloth at one of the turns, or
// says that there is none to within ResolutionMM. The search is complete unless
// ctx ends first: then it says no as well, and a caller that takes a no as a
// proof must look at ctx.Err.
func Place(ctx context.Context, c *Cloth, s *Shape, turns []Turn) (Placement, bool) {
	if len(s.ring) == 0 || len(c.rings) == 0 || s.area > c.area*(1+1e-9) {
		return Placement{}, false
	}
	q := newPoseSearch(c, s)
	for _, t := range turns {
		q.addRoot(t)
	}
	p, ok := q.run(ctx)
	if !ok {
		return Placement{}, false
	}
	return s.placement(p), true
}

// cell is a box of poses: the centre within half of at, the turn within halfDeg
// of deg.
type cell struct {
	at, half vec
	deg      float64
	halfDeg  float64
	samples  []int32 // the samples that some pose in it may still violate
	bound    float64 // upper bound of the room of any pose in it
	depth    int
	line     *lineOf // that its poses are on; nil where the cell alone says so
}

// poseSearch is one complete search, by branch and bound over cells of poses. A
// sample is a vertex of the part, which must stay in the cloth, or a corner of
// the cloth, which must stay out of the part. Every sample gives a cell linear
// constraints.
type poseSearch struct {
	cloth *Cloth
	shape *Shape
	scratch
	partPoints   []vec // points of the part's outline, about its centre
	clothCorners []vec // corners of the cloth
	lp           linearProgram
	rows         []row
	ref          pose // the rows and the bounds are relative to it
	lo, hi       [3]float64
	open         cellHeap
	nodes        int

	// For Overhang: cloth may be added along the grain and across it, together
	// at most grow mm on every side. wide is how far that reaches in x and y.
	grain vec
	grow  float64
	wide  vec
}

func newPoseSearch(c *Cloth, s *Shape) *poseSearch {
	q := &poseSearch{cloth: c, shape: s}
	q.partPoints = append(q.partPoints, s.ring...)
	q.clothCorners = append(q.clothCorners, c.reflex...)
	return q
}

// addRoot opens the cell of all poses at which the part's box stays within the
// cloth's box, or where the turn has lines, a cell for each of them.
func (q *poseSearch) addRoot(t Turn) {
	tol := math.Abs(t.ToleranceDeg)
	live := make([]int32, 0, len(q.partPoints)+len(q.clothCorners))
	for i := range q.partPoints {
		live = append(live, int32(i))
	}
	for i := range q.clothCorners {
		live = append(live, ^int32(i))
	}
	b := q.cloth.region.bounds
	// At no turn of the range does the part reach less far than this box. So the
	// centre cannot lie outside the range that the box leaves it.
	ext := q.shape.leastExtents(t.Deg, min(tol, 180))
	lo := b.min.sub(ext.min)
	hi := b.max.sub(ext.max)
	if lo.x > hi.x+touchMM || lo.y > hi.y+touchMM {
		if q.grow == 0 {
			return
		}
		lo, hi = vec{min(lo.x, hi.x), min(lo.y, hi.y)}, vec{max(lo.x, hi.x), max(lo.y, hi.y)}
	}
	c := cell{at: lo.add(hi).mul(0.5), deg: t.Deg, halfDeg: min(tol, 180), samples: live, bound: math.Inf(1)}
	c.half = vec{max(0, hi.x-lo.x) / 2, max(0, hi.y-lo.y) / 2}
	if t.Lines.none() {
		heap.Push(&q.open, c)
		return
	}
	q.addLines(c, t, func(on cell) { heap.Push(&q.open, on) })
}

// leastExtents is a box that the shape reaches out to on every side at any turn
// of the range. It samples the range and takes off what the shape may lose
// between two samples.
func (s *Shape) leastExtents(deg, tol float64) box {
	const steps = 8
	b := box{vec{math.Inf(-1), math.Inf(-1)}, vec{math.Inf(1), math.Inf(1)}}
	h := s.convexHull()
	n := 0
	if tol > 0 {
		n = steps
	}
	for i := 0; i <= n; i++ {
		d := deg
		if n > 0 {
			d += tol * (2*float64(i)/steps - 1)
		}
		sin, cos := sincosDeg(d)
		r := emptyBox()
		for _, p := range h {
			r = r.with(p.turn(sin, cos))
		}
		b.min = vec{max(b.min.x, r.min.x), max(b.min.y, r.min.y)}
		b.max = vec{min(b.max.x, r.max.x), min(b.max.y, r.max.y)}
	}
	loss := s.radius * tol / steps * math.Pi / 180
	b.min = b.min.add(vec{loss, loss})
	b.max = b.max.sub(vec{loss, loss})
	return b
}

// run examines the cell with the highest bound and splits it, until a pose fits
// or no cell is left.
func (q *poseSearch) run(ctx context.Context) (pose, bool) {
	for len(q.open) > 0 {
		if q.nodes++; q.nodes%16 == 0 && ctx.Err() != nil {
			return pose{}, false
		}
		c := heap.Pop(&q.open).(cell)
		p, found := q.bound(&c)
		if found {
			return p, true
		}
		if c.bound < 0 {
			continue
		}
		q.split(&c)
	}
	return pose{}, false
}

// bound contracts the cell and gives it an upper bound, below 0 where nothing
// fits in it. On the way it may find a pose that fits.
func (q *poseSearch) bound(c *cell) (pose, bool) {
	if !q.contract(c) {
		c.bound = -1
		return pose{}, false
	}
	p, room, ok := q.mostRoom()
	if !ok {
		c.bound = -1
		return pose{}, false
	}
	c.bound = min(c.bound, room)
	return q.tryPose(c, p)
}

// tryPose tests a promising pose exactly. If it fails by little, it solves the
// constraints again in a small cell about the pose and tests the next one.
func (q *poseSearch) tryPose(c *cell, p pose) (pose, bool) {
	for round := 0; ; round++ {
		v := q.cloth.inside(q.shape, p, &q.scratch, false)
		if v.inside {
			return p, true
		}
		q.addSample(c, v)
		if round == 2 || v.depth > 20 {
			return pose{}, false
		}
		near := *c
		reach := max(2*v.depth, 0.5)
		near.at = p.at
		near.half = vec{min(c.half.x, reach), min(c.half.y, reach)}
		near.deg = p.deg
		near.halfDeg = min(c.halfDeg, reach/q.shape.radius*180/math.Pi)
		if near.deg+near.halfDeg > c.deg+c.halfDeg {
			near.halfDeg = max(0, c.deg+c.halfDeg-near.deg)
		}
		if near.deg-near.halfDeg < c.deg-c.halfDeg {
			near.halfDeg = max(0, near.deg-c.deg+c.halfDeg)
		}
		if !q.contract(&near) {
			return pose{}, false
		}
		next, _, ok := q.mostRoom()
		if !ok {
			return pose{}, false
		}
		p = next
	}
}

// addSample makes the point that a pose violates a sample of the cell.
func (q *poseSearch) addSample(c *cell, v containment) {
	live := append([]int32(nil), c.samples...)
	if v.clothCorner {
		q.clothCorners = append(q.clothCorners, v.point)
		live = append(live, ^int32(len(q.clothCorners)-1))
	} else {
		q.partPoints = append(q.partPoints, v.point)
		live = append(live, int32(len(q.partPoints)-1))
	}
	c.samples = live
}

// split halves the cell along the variable that moves its samples most.
func (q *poseSearch) split(c *cell) {
	turn := c.halfDeg * math.Pi / 180 * q.shape.radius
	if math.Hypot(math.Hypot(c.half.x, c.half.y), turn) < ResolutionMM/2 {
		return
	}
	a, b := *c, *c
	a.depth++
	b.depth++
	switch {
	case turn > c.half.x && turn > c.half.y:
		a.halfDeg /= 2
		b.halfDeg /= 2
		a.deg -= a.halfDeg
		b.deg += b.halfDeg
	case c.half.x > c.half.y:
		a.half.x /= 2
		b.half.x /= 2
		a.at.x -= a.half.x
		b.at.x += b.half.x
	default:
		a.half.y /= 2
		b.half.y /= 2
		a.at.y -= a.half.y
		b.at.y += b.half.y
	}
	heap.Push(&q.open, a)
	heap.Push(&q.open, b)
}

// cellHeap is a priority queue: the highest bound first, and of equal ones the
// smallest cell.
type cellHeap []cell

func (h cellHeap) Len() int { return len(h) }
func (h cellHeap) Less(i, j int) bool {
	if h[i].bound != h[j].bound {
		return h[i].bound > h[j].bound
	}
	return h[i].depth > h[j].depth
}
func (h cellHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *cellHeap) Push(x any)   { *h = append(*h, x.(cell)) }
func (h *cellHeap) Pop() any {
	old := *h
	c := old[len(old)-1]
	*h = old[:len(old)-1]
	return c
}
