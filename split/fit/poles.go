package fit

import (
	"math"
	"slices"
)

// pole is a circle within a part. (The pole of inaccessibility of a polygon is
// the centre of the largest such circle.)
type pole struct {
	at vec
	r  float64
}

// penetration is how deep two poles overlap, in mm; negative when they are
// apart.
func (p *pole) penetration(q *pole) float64 {
	dx, dy := p.at.x-q.at.x, p.at.y-q.at.y
	return p.r + q.r - math.Sqrt(dx*dx+dy*dy)
}

const mostPoles = 10

// fillWithPoles fills the polygon with circles. Each is as large as it can be
// beside the ones before it, first among the points of a grid, then improved by
// a few steps.
func fillWithPoles(ps []vec) []pole {
	b := boxOf(ps)
	const fine = 40
	step := max(b.width(), b.height()) / fine
	f := newRegion(boundaryEdges(ps), false, 24)
	var at []vec
	var room []float64
	for y := b.min.y + step/2; y < b.max.y; y += step {
		for x := b.min.x + step/2; x < b.max.x; x += step {
			p := vec{x, y}
			if f.contains(p) {
				at = append(at, p)
				room = append(room, ringDistance(ps, p))
			}
		}
	}
	full, covered := area(ps), 0.0
	var out []pole
	for len(out) < mostPoles && covered < 0.9*full && len(at) > 0 {
		k := 0
		for i, r := range room {
			if r > room[k] {
				k = i
			}
		}
		p := pole{at[k], room[k]}
		if len(out) > 0 && p.r < out[0].r*0.08 {
			break
		}
		// A local search for the true pole, which lies between grid points.
		for s := step / 2; s > step/50; {
			best := p
			for _, d := range [4]vec{{s, 0}, {-s, 0}, {0, s}, {0, -s}} {
				c := p.at.add(d)
				if !f.contains(c) {
					continue
				}
				r := ringDistance(ps, c)
				for _, o := range out {
					r = min(r, c.sub(o.at).len()-o.r)
				}
				if r > best.r {
					best = pole{c, r}
				}
			}
			if best == p {
				s /= 2
			}
			p = best
		}
		if p.r <= 0 {
			break
		}
		out = append(out, p)
		covered += math.Pi * p.r * p.r
		for i, q := range at {
			room[i] = min(room[i], q.sub(p.at).len()-p.r)
		}
	}
	if len(out) == 0 { // thinner than the grid: a circle at the middle of the longest edge
		long := 0
		for i, p := range ps {
			if p.sub(ps[(i+1)%len(ps)]).len() > ps[long].sub(ps[(long+1)%len(ps)]).len() {
				long = i
			}
		}
		out = append(out, pole{ps[long].add(ps[(long+1)%len(ps)]).mul(0.5), full / (2*b.width() + 2*b.height())})
	}
	slices.SortStableFunc(out, func(a, b pole) int {
		switch {
		case a.r > b.r:
			return -1
		case a.r < b.r:
			return 1
		}
		return 0
	})
	return out
}

// ringDistance is the distance from p to the nearest edge of a ring.
func ringDistance(ps []vec, p vec) float64 {
	least := math.Inf(1)
	a := ps[len(ps)-1]
	for _, b := range ps {
		dx, dy := b.x-a.x, b.y-a.y
		u, v := p.x-a.x, p.y-a.y
		if t := u*dx + v*dy; t > 0 {
			t = min(1, t/(dx*dx+dy*dy))
			u, v = u-t*dx, v-t*dy
		}
		least = min(least, u*u+v*v)
		a = b
	}
	return math.Sqrt(least)
}
