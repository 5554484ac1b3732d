package piece

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
)

// SelfCrossing finds a place where a ring, given without a closing repeat,
// crosses or touches itself other than at the shared end of two neighbouring
// sides. A spike that runs back along itself counts.
//
// It sweeps across the ring along the axis that fewer sides share, with the
// sides in order of where they start.
func SelfCrossing(r orb.Ring) (at orb.Point, found bool) {
	n := len(r)
	axis := 0
	if crowding(r, 1) < crowding(r, 0) {
		axis = 1
	}
	type chord struct {
		lo, hi float64
		i      int
	}
	chords := make([]chord, n)
	for i, a := range r {
		b := r[(i+1)%n]
		chords[i] = chord{math.Min(a[axis], b[axis]), math.Max(a[axis], b[axis]), i}
	}
	sort.Slice(chords, func(i, j int) bool { return chords[i].lo < chords[j].lo })
	for k, c := range chords {
		a, b := r[c.i], r[(c.i+1)%n]
		for _, o := range chords[k+1:] {
			if o.lo > c.hi {
				break
			}
			p, q := r[o.i], r[(o.i+1)%n]
			switch {
			case (c.i+1)%n == o.i:
				if backtracks(a, b, q) {
					return b, true
				}
			case (o.i+1)%n == c.i:
				if backtracks(p, q, b) {
					return a, true
				}
			case segmentsCross(a, b, p, q):
				return b, true
			}
		}
	}
	return orb.Point{}, false
}

// crowding is how many sides of the ring lie over a place on the axis, on
// average.
func crowding(r orb.Ring, axis int) float64 {
	var sum float64
	for i, a := range r {
		sum += math.Abs(r[(i+1)%len(r)][axis] - a[axis])
	}
	box := r.Bound()
	return sum / (box.Max[axis] - box.Min[axis])
}

// spikeDeg is the sharpest corner that can be cloth and not a slip of the
// hand: a point 10 mm long would be a tenth of a millimetre wide.
const spikeDeg = 0.5

// Spike finds a corner of a ring, given without a closing repeat, so sharp
// that its two sides lie on each other.
func Spike(r orb.Ring) (at orb.Point, found bool) {
	for i, b := range r {
		a, c := r[(i+len(r)-1)%len(r)], r[(i+1)%len(r)]
		u, v := orb.Point{a[0] - b[0], a[1] - b[1]}, orb.Point{c[0] - b[0], c[1] - b[1]}
		if angle := math.Atan2(math.Abs(u[0]*v[1]-u[1]*v[0]), u[0]*v[0]+u[1]*v[1]); angle < spikeDeg*math.Pi/180 {
			return b, true
		}
	}
	return orb.Point{}, false
}

// backtracks reports whether the line a, b, c turns straight back on itself.
func backtracks(a, b, c orb.Point) bool {
	u, v := orb.Point{b[0] - a[0], b[1] - a[1]}, orb.Point{c[0] - b[0], c[1] - b[1]}
	return u[0]*v[0]+u[1]*v[1] < 0 && math.Abs(u[0]*v[1]-u[1]*v[0]) < 1e-9*math.Hypot(u[0], u[1])*math.Hypot(v[0], v[1])
}

// segmentsCross reports whether the closed segments ab and cd share a point.
func segmentsCross(a, b, c, d orb.Point) bool {
	if math.Max(a[1], b[1]) < math.Min(c[1], d[1]) || math.Max(c[1], d[1]) < math.Min(a[1], b[1]) ||
		math.Max(a[0], b[0]) < math.Min(c[0], d[0]) || math.Max(c[0], d[0]) < math.Min(a[0], b[0]) {
		return false
	}
	o := func(p, q, s orb.Point) float64 { return (q[0]-p[0])*(s[1]-p[1]) - (q[1]-p[1])*(s[0]-p[0]) }
	d1, d2, d3, d4 := o(a, b, c), o(a, b, d), o(c, d, a), o(c, d, b)
	return (d1 <= 0 && d2 >= 0 || d1 >= 0 && d2 <= 0) && (d3 <= 0 && d4 >= 0 || d3 >= 0 && d4 <= 0)
}
