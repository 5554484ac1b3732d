package placing

import (
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

func apply(m [6]float64, p orb.Point) orb.Point {
	return orb.Point{m[0]*p[0] + m[2]*p[1] + m[4], m[1]*p[0] + m[3]*p[1] + m[5]}
}

// ringOf is a polygon of the plan, clockwise on the page, which the plan does
// not promise of scraps.
func ringOf(polygon []plan.Point) orb.Ring {
	out := make(orb.Ring, len(polygon))
	area := 0.0
	for i, q := range polygon {
		out[i] = orb.Point(q)
		area += plane.Cross(orb.Point(q), orb.Point(polygon[(i+1)%len(polygon)]))
	}
	if area < 0 {
		out.Reverse()
	}
	return out
}

// simplified is a ring with few vertices, within so many mm. It starts at the
// vertex farthest from the middle, which is one of them.
func simplified(r orb.Ring, mm float64) []orb.Point {
	far, centre := 0, r.Bound().Center()
	for i, q := range r {
		if plane.Distance(q, centre) > plane.Distance(r[far], centre) {
			far = i
		}
	}
	line := append(append(orb.LineString{}, r[far:]...), r[:far+1]...)
	line = simplify.DouglasPeucker(mm).LineString(line)
	return line[:len(line)-1]
}

// eachThree calls f with every three of n.
func eachThree(n int, f func(i, j, k int)) {
	for i := range n {
		for j := i + 1; j < n; j++ {
			for k := j + 1; k < n; k++ {
				f(i, j, k)
			}
		}
	}
}
