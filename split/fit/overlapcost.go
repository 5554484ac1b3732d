package fit

import "math"

// placedPart is a simplified part in a pose. Its outlines and poles are
// computed when they are first needed, for most poses are rejected before.
type placedPart struct {
	shape      *simplified
	fixed      *fixedTurn // nil where the turn has a tolerance
	pose       pose
	sin, cos   float64
	outline    []vec
	inflated   []vec
	poles      []pole
	box        box // of inflated
	outlineBox box // of outline
}

// fixedTurn is a turn without tolerance of an item, with what can be computed
// beforehand.
type fixedTurn struct {
	deg, sin, cos   float64
	kind            int         // the same for parts of the same shape at the same turn
	shape           *simplified // the same for parts of the same shape
	box, outlineBox box         // about the shape's centre
}

// place puts the part in pose p. h is its fixed turn, or nil.
func (y *placedPart) place(r *simplified, h *fixedTurn, p pose) {
	y.shape, y.fixed, y.pose = r, h, p
	y.inflated, y.poles = y.inflated[:0], y.poles[:0]
	if h != nil {
		y.sin, y.cos = h.sin, h.cos
		y.box, y.outlineBox = h.box.shift(p.at), h.outlineBox.shift(p.at)
		return
	}
	y.sin, y.cos = sincosDeg(p.deg)
	y.placeOutline()
	y.box = boxOf(y.inflated)
	y.outlineBox = y.box
	if !r.notInflated() {
		y.outlineBox = boxOf(y.outline)
	}
}

func (y *placedPart) placeOutline() {
	if len(y.inflated) > 0 {
		return
	}
	y.inflated = transformed(y.inflated, y.shape.inflated, y.sin, y.cos, y.pose.at)
	if y.shape.notInflated() {
		y.outline = y.inflated
		return
	}
	y.outline = transformed(y.outline[:0], y.shape.outline, y.sin, y.cos, y.pose.at)
}

func (y *placedPart) placePoles() {
	if len(y.poles) > 0 {
		return
	}
	for _, q := range y.shape.poles {
		y.poles = append(y.poles, pole{q.at.turn(y.sin, y.cos).add(y.pose.at), q.r})
	}
}

// certainPoles is how many of the largest poles of two parts are compared to
// see that the parts certainly overlap.
const certainPoles = 3

// certainCost is a lower bound of the overlap cost of two parts, from their
// largest poles. It is 0 where these do not prove that the parts overlap.
func certainCost(y, o *placedPart) float64 {
	y.placePoles()
	eps := max(y.shape.diameter, o.shape.diameter) * 0.01
	var sum float64
	for _, p := range y.poles[:min(certainPoles, len(y.poles))] {
		for k := range min(certainPoles, len(o.poles)) {
			q := &o.poles[k]
			dx, dy, r := p.at.x-q.at.x, p.at.y-q.at.y, p.r+q.r
			if d2 := dx*dx + dy*dy; r > eps && d2 < (r-eps)*(r-eps) {
				sum += (r - math.Sqrt(d2)) * min(p.r, q.r)
			}
		}
	}
	if sum == 0 {
		return 0
	}
	return math.Sqrt(sum*math.Pi+eps*eps) * y.shape.weightRoot * o.shape.weightRoot
}

// overlapCost is the overlap cost of two placed parts; 0 if they do not
// overlap.
func overlapCost(y, o *placedPart) float64 {
	if !y.box.meets(&o.box) || certainCost(y, o) == 0 && !overlaps(y, o) {
		return 0
	}
	return proxyCost(y, o, math.Inf(1))
}

// proxyCost is the overlap proxy of Gardeyn and Wauters 2025, for two parts
// that overlap. It sums how deep their poles penetrate each other, times the
// radius of the smaller pole. Poles that are apart still count a little, the
// less the farther apart, so that descent has a slope. It stops summing when
// the cost reaches most.
func proxyCost(y, o *placedPart, most float64) float64 {
	y.placePoles()
	eps := max(y.shape.diameter, o.shape.diameter) * 0.01
	weight := y.shape.weightRoot * o.shape.weightRoot
	enough := math.Inf(1)
	if m := most / weight; m < 1e100 {
		enough = max(0, m*m-eps*eps) / math.Pi
	}
	var sum float64
	for _, p := range y.poles {
		if sum >= enough {
			break
		}
		for k := range o.poles {
			q := &o.poles[k]
			sum += softened(p.penetration(q), eps) * min(p.r, q.r)
		}
	}
	return math.Sqrt(sum*math.Pi+eps*eps) * weight
}

// softened is d where d is at least eps; below that it falls smoothly towards
// 0. It has no branches, because the processor could not predict them.
func softened(d, eps float64) float64 {
	d -= eps
	u := math.Abs(d)
	return 0.5*(d+u) + eps*eps/(eps+0.5*(u-d))
}

// overlaps says whether the inflated outlines of two placed parts cross, or one
// holds the other.
func overlaps(y, o *placedPart) bool {
	y.placeOutline()
	lo := vec{max(y.box.min.x, o.box.min.x), max(y.box.min.y, o.box.min.y)}
	hi := vec{min(y.box.max.x, o.box.max.x), min(y.box.max.y, o.box.max.y)}
	var near [128]int32
	k := 0
	u := o.inflated[len(o.inflated)-1]
	for i, v := range o.inflated {
		if (u.x >= lo.x || v.x >= lo.x) && (u.x <= hi.x || v.x <= hi.x) && (u.y >= lo.y || v.y >= lo.y) && (u.y <= hi.y || v.y <= hi.y) && k < len(near) {
			near[k] = int32(i)
			k++
		}
		u = v
	}
	if k > 0 {
		p := y.inflated[len(y.inflated)-1]
		for _, q := range y.inflated {
			if (p.x >= lo.x || q.x >= lo.x) && (p.x <= hi.x || q.x <= hi.x) && (p.y >= lo.y || q.y >= lo.y) && (p.y <= hi.y || q.y <= hi.y) {
				dx, dy := q.x-p.x, q.y-p.y
				for _, e := range near[:k] {
					v := o.inflated[e]
					w := o.inflated[len(o.inflated)-1]
					if e > 0 {
						w = o.inflated[e-1]
					}
					s, t := dx*(v.y-p.y)-dy*(v.x-p.x), dx*(w.y-p.y)-dy*(w.x-p.x)
					if (s > 0) == (t > 0) || s == 0 || t == 0 {
						continue
					}
					ex, ey := v.x-w.x, v.y-w.y
					s, t = ex*(p.y-w.y)-ey*(p.x-w.x), ex*(q.y-w.y)-ey*(q.x-w.x)
					if (s > 0) != (t > 0) && s != 0 && t != 0 {
						return true
					}
				}
			}
			p = q
		}
	}
	c := y.shape.poles[0].at.turn(y.sin, y.cos).add(y.pose.at)
	if o.box.holds(c) && ringContains(o.inflated, c) {
		return true
	}
	return y.box.holds(o.poles[0].at) && ringContains(y.inflated, o.poles[0].at)
}

// ringContains says whether p is in the polygon, by the parity of the edges
// that a ray from p crosses.
func ringContains(ps []vec, p vec) bool {
	odd := false
	a := ps[len(ps)-1]
	for _, b := range ps {
		if (a.y <= p.y) != (b.y <= p.y) && p.x < a.x+(p.y-a.y)*(b.x-a.x)/(b.y-a.y) {
			odd = !odd
		}
		a = b
	}
	return odd
}
