package fit

import "math"

// layout is all items on one cloth, overlapping or not, with what each pair
// and each item with the rim costs, and the weights that guide the search.
type layout struct {
	cloth  *Cloth
	tilt   *tilt // signed distances; nil on a plain rectangle
	items  []Item
	parts  []*rough
	lies   []lying
	pair   []float64 // cost of overlap, by i*n+j and j*n+i
	rim    []float64
	pairW  []float64
	rimW   []float64
	trial  lying
	worked int // poses evaluated
}

// lying is a rough part in a pose.
type lying struct {
	pose     pose
	sin, cos float64
	rim      []vec
	fat      []vec
	poles    []pole
	box      box // of fat
	bare     box // of rim
}

func newLayout(c *Cloth, items []Item, parts []*rough) *layout {
	n := len(items)
	l := &layout{cloth: c, items: items, parts: parts, lies: make([]lying, n),
		pair: make([]float64, n*n), rim: make([]float64, n), pairW: make([]float64, n*n), rimW: make([]float64, n)}
	l.setCloth(c)
	l.level()
	return l
}

func (l *layout) setCloth(c *Cloth) {
	l.cloth = c
	l.tilt = nil
	if !c.plain {
		l.tilt = c.tilted()
	}
}

// level forgets all weights.
func (l *layout) level() {
	for i := range l.pairW {
		l.pairW[i] = 1
	}
	for i := range l.rimW {
		l.rimW[i] = 1
	}
}

// lay writes part i in pose p to y, without its poles.
func (l *layout) lay(y *lying, i int, p pose) {
	r := l.parts[i]
	sin, cos := sincosDeg(p.deg)
	y.pose, y.sin, y.cos = p, sin, cos
	y.fat = y.fat[:0]
	b := emptyBox()
	for _, q := range r.fat {
		v := vec{cos*q.x - sin*q.y + p.at.x, sin*q.x + cos*q.y + p.at.y}
		y.fat = append(y.fat, v)
		if v.x < b.min.x {
			b.min.x = v.x
		}
		if v.x > b.max.x {
			b.max.x = v.x
		}
		if v.y < b.min.y {
			b.min.y = v.y
		}
		if v.y > b.max.y {
			b.max.y = v.y
		}
	}
	y.box, y.bare = b, b
	if &r.fat[0] == &r.rim[0] {
		y.rim = y.fat
	} else {
		if len(y.rim) > 0 && len(y.fat) > 0 && &y.rim[0] == &y.fat[0] {
			y.rim = nil
		}
		y.rim = y.rim[:0]
		for _, q := range r.rim {
			y.rim = append(y.rim, q.turn(sin, cos).add(p.at))
		}
		y.bare = boxOf(y.rim)
	}
	y.poles = y.poles[:0]
}

func (l *layout) layPoles(y *lying, i int) {
	if len(y.poles) > 0 {
		return
	}
	for _, q := range l.parts[i].poles {
		y.poles = append(y.poles, pole{q.at.turn(y.sin, y.cos).add(y.pose.at), q.r})
	}
}

// put moves item i to pose p and brings its costs up to date.
func (l *layout) put(i int, p pose) {
	y := &l.lies[i]
	l.lay(y, i, p)
	l.layPoles(y, i)
	n := len(l.items)
	l.rim[i] = l.rimCost(y, i)
	for j := range n {
		if j != i && len(l.lies[j].fat) > 0 {
			c := l.pairCost(y, i, j, math.Inf(1))
			l.pair[i*n+j], l.pair[j*n+i] = c, c
		}
	}
}

// at is the weighted cost of item i where it lies.
func (l *layout) at(i int) float64 {
	n := len(l.items)
	c := l.rim[i] * l.rimW[i]
	for j, p := range l.pair[i*n : i*n+n] {
		c += p * l.pairW[i*n+j]
	}
	return c
}

// total is the plain cost of the whole layout; 0 when nothing overlaps.
func (l *layout) total() float64 {
	n := len(l.items)
	var c float64
	for i := range n {
		c += l.rim[i]
		for j := i + 1; j < n; j++ {
			c += l.pair[i*n+j]
		}
	}
	return c
}

// weigh is the weighted cost of item i in pose p, or some number of at least
// most.
func (l *layout) weigh(i int, p pose, most float64) float64 {
	l.worked++
	y := &l.trial
	l.lay(y, i, p)
	c := l.rimCost(y, i) * l.rimW[i]
	n := len(l.items)
	for j := range n {
		if c >= most {
			return c
		}
		if j != i && len(l.lies[j].fat) > 0 {
			w := l.pairW[i*n+j]
			if k := l.pairCost(y, i, j, (most-c)/w); k > 0 {
				c += k * w
			}
		}
	}
	return c
}

// pairCost follows the overlap proxy of Gardeyn and Wauters 2025: how deep the
// poles of the two parts lie in each other, by the size of the smaller, with a
// tail beyond the touch that still tells near from far. It may stop counting at
// most.
func (l *layout) pairCost(y *lying, i, j int, most float64) float64 {
	o := &l.lies[j]
	if y.box.min.x >= o.box.max.x || o.box.min.x >= y.box.max.x ||
		y.box.min.y >= o.box.max.y || o.box.min.y >= y.box.max.y {
		return 0
	}
	l.layPoles(y, i)
	a, b := l.parts[i], l.parts[j]
	eps := max(a.diam, b.diam) * 0.01
	if !cross(y, o, eps) && !overlap(y, o, a) {
		return 0
	}
	weight := math.Sqrt(a.weight * b.weight)
	enough := math.Inf(1)
	if m := most / weight; m < 1e100 {
		enough = max(0, m*m-eps*eps) / math.Pi
	}
	var sum float64
	for _, p := range y.poles {
		if sum >= enough {
			break
		}
		k := 0
		var by float64
		for ; k < len(o.poles) && o.poles[k].r >= p.r; k++ {
			by += softened(p.depth(&o.poles[k]), eps)
		}
		sum += by * p.r
		for ; k < len(o.poles); k++ {
			sum += softened(p.depth(&o.poles[k]), eps) * o.poles[k].r
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

// cross says whether large poles of two lying parts are deeper than eps in each
// other; then the parts overlap.
func cross(y, o *lying, eps float64) bool {
	for _, p := range y.poles[:min(3, len(y.poles))] {
		for k := range min(3, len(o.poles)) {
			q := &o.poles[k]
			dx, dy, r := p.at.x-q.at.x, p.at.y-q.at.y, p.r+q.r-eps
			if r > 0 && dx*dx+dy*dy < r*r {
				return true
			}
		}
	}
	return false
}

// rimCost is the like for an item and what is not cloth.
func (l *layout) rimCost(y *lying, i int) float64 {
	c := l.cloth
	r := l.parts[i]
	var deep float64
	if c.plain {
		b := c.rim.bounds
		deep = max(max(b.min.x-y.bare.min.x, y.bare.max.x-b.max.x), max(b.min.y-y.bare.min.y, y.bare.max.y-b.max.y))
		if deep <= r.diam*1e-9 {
			return 0
		}
		eps := r.diam * 0.01
		return math.Sqrt((deep+eps)*r.poles[0].r*math.Pi+eps*eps) * r.weight
	}
	for _, v := range y.rim {
		if !c.rim.has(v) {
			deep = max(deep, max(-l.tilt.at(v), r.diam*1e-6))
		}
	}
	for _, v := range c.nubs {
		if !y.bare.holds(v) {
			continue
		}
		// Within a pole its own depth will do.
		l.layPoles(y, i)
		by := 0.0
		for _, p := range y.poles {
			if dx, dy := v.x-p.at.x, v.y-p.at.y; dx*dx+dy*dy < p.r*p.r {
				by = max(by, p.r-math.Hypot(dx, dy))
			}
		}
		switch {
		case by > 0:
			deep = max(deep, by)
		case within1(y.rim, v):
			deep = max(deep, rimDist(y.rim, v))
		}
	}
	if deep <= r.diam*1e-9 {
		return 0
	}
	l.layPoles(y, i)
	eps := r.diam * 0.01
	sum := deep * r.poles[0].r
	for _, p := range y.poles {
		sum += softened(p.r-l.tilt.at(p.at), eps) * p.r
	}
	return math.Sqrt(sum*math.Pi+eps*eps) * r.weight
}

// overlap says whether the grown rims of two lying parts cross, or one holds
// the other.
func overlap(y, o *lying, a *rough) bool {
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
	c := a.poles[0].at.turn(y.sin, y.cos).add(y.pose.at)
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
