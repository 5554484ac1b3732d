package fit

import "math"

// vec is a point or a shift, in millimetres.
type vec struct{ x, y float64 }

func (a vec) add(b vec) vec             { return vec{a.x + b.x, a.y + b.y} }
func (a vec) sub(b vec) vec             { return vec{a.x - b.x, a.y - b.y} }
func (a vec) mul(k float64) vec         { return vec{a.x * k, a.y * k} }
func (a vec) dot(b vec) float64         { return a.x*b.x + a.y*b.y }
func (a vec) cross(b vec) float64       { return a.x*b.y - a.y*b.x }
func (a vec) len() float64              { return math.Hypot(a.x, a.y) }
func (a vec) quarter() vec              { return vec{-a.y, a.x} } // turned 90 degrees clockwise (y down)
func (a vec) turn(sin, cos float64) vec { return vec{cos*a.x - sin*a.y, sin*a.x + cos*a.y} }

// box is an axis-parallel rectangle; the empty box has min above max.
type box struct{ min, max vec }

func emptyBox() box {
	return box{vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}}
}

func (b box) with(p vec) box {
	return box{
		vec{min(b.min.x, p.x), min(b.min.y, p.y)},
		vec{max(b.max.x, p.x), max(b.max.y, p.y)},
	}
}

func (b box) holds(p vec) bool {
	return p.x >= b.min.x && p.x <= b.max.x && p.y >= b.min.y && p.y <= b.max.y
}

// meets says whether the insides of two boxes do.
func (b *box) meets(o *box) bool {
	return b.min.x < o.max.x && o.min.x < b.max.x && b.min.y < o.max.y && o.min.y < b.max.y
}

func (b box) shift(by vec) box { return box{b.min.add(by), b.max.add(by)} }

func (b *box) empty() bool { return b.min.x > b.max.x }

func (b box) centre() vec     { return b.min.add(b.max).mul(0.5) }
func (b box) width() float64  { return b.max.x - b.min.x }
func (b box) height() float64 { return b.max.y - b.min.y }

// boxOf is the box of some points. It compares by hand, for the built-in minimum
// also sees to what is no number, and takes three times as long.
func boxOf(ps []vec) box {
	b := emptyBox()
	for _, p := range ps {
		if p.x < b.min.x {
			b.min.x = p.x
		}
		if p.x > b.max.x {
			b.max.x = p.x
		}
		if p.y < b.min.y {
			b.min.y = p.y
		}
		if p.y > b.max.y {
			b.max.y = p.y
		}
	}
	return b
}

// segDist is the distance from p to the segment ab.
func segDist(p, a, b vec) float64 {
	d := b.sub(a)
	l := d.dot(d)
	if l == 0 {
		return p.sub(a).len()
	}
	t := p.sub(a).dot(d) / l
	t = max(0, min(1, t))
	return p.sub(a.add(d.mul(t))).len()
}

// area is the signed area of a ring without closing repeat: positive when it
// runs clockwise on the page (y down), the interior to the right of each edge
// seen along it on the page, that is on the side of quarter().
func area(ps []vec) float64 {
	var s float64
	for i, p := range ps {
		s += p.cross(ps[(i+1)%len(ps)])
	}
	return s / 2
}
