package fit

import "math"

// lying is a rough part in a pose. Its outline and poles are laid when they are
// first needed: most poses are rejected before.
type lying struct {
	of       *rough
	held     *held // nil if the part may turn
	pose     pose
	sin, cos float64
	rim      []vec
	fat      []vec
	poles    []pole
	box      box // of fat
	bare     box // of rim
}

// held is a part at a turn that it is held to.
type held struct {
	deg, sin, cos float64
	kind          int // the same for parts of the same shape at the same turn
	box, bare     box // about the shape's centre
}

// lay puts the part in pose p; h is its turn if it is held to it.
func (y *lying) lay(r *rough, h *held, p pose) {
	y.of, y.held, y.pose = r, h, p
	y.fat, y.poles = y.fat[:0], y.poles[:0]
	if h != nil {
		y.sin, y.cos = h.sin, h.cos
		y.box, y.bare = h.box.shift(p.at), h.bare.shift(p.at)
		return
	}
	y.sin, y.cos = sincosDeg(p.deg)
	y.layOutline()
	y.box = boxOf(y.fat)
	y.bare = y.box
	if !r.plain() {
		y.bare = boxOf(y.rim)
	}
}

func (y *lying) layOutline() {
	if len(y.fat) > 0 {
		return
	}
	y.fat = laid(y.fat, y.of.fat, y.sin, y.cos, y.pose.at)
	if y.of.plain() {
		y.rim = y.fat
		return
	}
	y.rim = laid(y.rim[:0], y.of.rim, y.sin, y.cos, y.pose.at)
}

func (y *lying) layPoles() {
	if len(y.poles) > 0 {
		return
	}
	for _, q := range y.of.poles {
		y.poles = append(y.poles, pole{q.at.turn(y.sin, y.cos).add(y.pose.at), q.r})
	}
}

// certain is how many of the largest poles of two parts are held against each
// other to see that they overlap for certain.
const certain = 3

// sure is a cost that two items whose boxes meet have for certain, 0 if their
// largest poles do not tell that they overlap.
func sure(y, o *lying) float64 {
	y.layPoles()
	eps := max(y.of.diam, o.of.diam) * 0.01
	var sum float64
	for _, p := range y.poles[:min(certain, len(y.poles))] {
		for k := range min(certain, len(o.poles)) {
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
	return math.Sqrt(sum*math.Pi+eps*eps) * y.of.pull * o.of.pull
}

// overlapCost is what two lying parts cost; 0 if they do not overlap.
func overlapCost(y, o *lying) float64 {
	if !y.box.meets(&o.box) || sure(y, o) == 0 && !overlap(y, o) {
		return 0
	}
	return deepness(y, o, math.Inf(1))
}

// deepness follows the overlap proxy of Gardeyn and Wauters 2025: how deep the
// poles of two parts that overlap lie in each other, by the size of the smaller,
// with a tail beyond the touch that still tells near from far. It may stop
// counting at most.
func deepness(y, o *lying, most float64) float64 {
	y.layPoles()
	eps := max(y.of.diam, o.of.diam) * 0.01
	weight := y.of.pull * o.of.pull
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
			sum += softened(p.depth(q), eps) * min(p.r, q.r)
		}
	}
	return math.Sqrt(sum*math.Pi+eps*eps) * weight
}

// softened is d from eps up, and below it falls towards 0. It has no branches:
// which side d is on is hard to foresee.
func softened(d, eps float64) float64 {
	d -= eps
	u := math.Abs(d)
	return 0.5*(d+u) + eps*eps/(eps+0.5*(u-d))
}

// overlap says whether the grown rims of two lying parts cross, or one holds
// the other.
func overlap(y, o *lying) bool {
	y.layOutline()
	lo := vec{max(y.box.min.x, o.box.min.x), max(y.box.min.y, o.box.min.y)}
	hi := vec{min(y.box.max.x, o.box.max.x), min(y.box.max.y, o.box.max.y)}
	var near [128]int32
	k := 0
	u := o.fat[len(o.fat)-1]
	for i, v := range o.fat {
		if (u.x >= lo.x || v.x >= lo.x) && (u.x <= hi.x || v.x <= hi.x) && (u.y >= lo.y || v.y >= lo.y) && (u.y <= hi.y || v.y <= hi.y) && k < len(near) {
			near[k] = int32(i)
			k++
		}
		u = v
	}
	if k > 0 {
		p := y.fat[len(y.fat)-1]
		for _, q := range y.fat {
			if (p.x >= lo.x || q.x >= lo.x) && (p.x <= hi.x || q.x <= hi.x) && (p.y >= lo.y || q.y >= lo.y) && (p.y <= hi.y || q.y <= hi.y) {
				dx, dy := q.x-p.x, q.y-p.y
				for _, e := range near[:k] {
					v := o.fat[e]
					w := o.fat[len(o.fat)-1]
					if e > 0 {
						w = o.fat[e-1]
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
	c := y.of.poles[0].at.turn(y.sin, y.cos).add(y.pose.at)
	if o.box.holds(c) && within1(o.fat, c) {
		return true
	}
	return y.box.holds(o.poles[0].at) && within1(y.fat, o.poles[0].at)
}

// within1 says whether p is in the polygon, by the edges a ray from it crosses.
func within1(ps []vec, p vec) bool {
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
