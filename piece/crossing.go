package piece

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// SelfCrossing finds a place where a ring, given without a closing repeat,
// crosses or touches itself other than at the shared end of two neighbouring
// sides. A spike that runs back along itself counts.
func SelfCrossing(r orb.Ring) (at orb.Point, found bool) {
	n := len(r)
	chords := sweep(r)
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
				return meeting(a, b, p, q), true
			}
		}
	}
	return orb.Point{}, false
}

// Flat reports whether a ring lies within mm of one line. One that crosses itself may
// have no signed area either, and be as wide as any.
func Flat(r orb.Ring, mm float64) bool {
	if len(r) == 0 {
		return true
	}
	farthest := func(from orb.Point) orb.Point {
		return slices.MaxFunc(r, func(p, q orb.Point) int { return cmp.Compare(plane.Distance(from, p), plane.Distance(from, q)) })
	}
	a := farthest(r[0])
	b := farthest(a)
	return !slices.ContainsFunc(r, func(q orb.Point) bool { return plane.ToSegment(q, a, b) > mm })
}

// Neck finds a place where a ring that does not cross itself comes within mm of
// itself, so that what lies between is a neck too narrow to be cloth. Places
// that are near each other along the ring too do not count: at a sharp corner
// the two sides always come near.
func Neck(r orb.Ring, mm float64) (at orb.Point, found bool) {
	const alongMM = 5.0
	n := len(r)
	along := make([]float64, n+1)
	for i, a := range r {
		along[i+1] = along[i] + math.Hypot(r[(i+1)%n][0]-a[0], r[(i+1)%n][1]-a[1])
	}
	// near reports whether the point i is so near to side j.
	near := func(i, j int) bool {
		p, a, b := r[i], r[j], r[(j+1)%n]
		if p[0] < min(a[0], b[0])-mm || p[0] > max(a[0], b[0])+mm ||
			p[1] < min(a[1], b[1])-mm || p[1] > max(a[1], b[1])+mm {
			return false
		}
		if planar.DistanceFromSegment(a, b, p) > mm {
			return false
		}
		foot := along[j] + min(along[j+1]-along[j], math.Hypot(p[0]-a[0], p[1]-a[1]))
		apart := math.Abs(along[i] - foot)
		return min(apart, along[n]-apart) > alongMM
	}
	chords := sweep(r)
	for k, c := range chords {
		for _, o := range chords[k+1:] {
			if o.lo > c.hi+mm {
				break
			}
			for _, pair := range [4][2]int{{c.i, o.i}, {(c.i + 1) % n, o.i}, {o.i, c.i}, {(o.i + 1) % n, c.i}} {
				if near(pair[0], pair[1]) {
					return r[pair[0]], true
				}
			}
		}
	}
	return orb.Point{}, false
}

// chord is a side of a ring and how far it reaches along an axis.
type chord struct {
	lo, hi float64
	i      int
}

// sweep is the sides of a ring in order of where they start, along the axis
// that fewer of them share.
func sweep(r orb.Ring) []chord {
	axis := 0
	if crowding(r, 1) < crowding(r, 0) {
		axis = 1
	}
	chords := make([]chord, len(r))
	for i, a := range r {
		b := r[(i+1)%len(r)]
		chords[i] = chord{min(a[axis], b[axis]), max(a[axis], b[axis]), i}
	}
	sort.Slice(chords, func(i, j int) bool { return chords[i].lo < chords[j].lo })
	return chords
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

// meeting is a point that the segments ab and cd, which cross or touch, share.
func meeting(a, b, c, d orb.Point) orb.Point {
	u, v := plane.Sub(b, a), plane.Sub(d, c)
	if across := plane.Cross(u, v); math.Abs(across) > 1e-9*plane.Length(u)*plane.Length(v) {
		return plane.Along(a, u, min(max(plane.Cross(plane.Sub(c, a), v)/across, 0), 1))
	}
	// They run along each other: an end of one lies on the other.
	off := func(q orb.Point) float64 { return plane.ToSegment(q, a, b) + plane.ToSegment(q, c, d) }
	at := a
	for _, end := range []orb.Point{b, c, d} {
		if off(end) < off(at) {
			at = end
		}
	}
	return at
}

// segmentsCross reports whether the closed segments ab and cd share a point.
func segmentsCross(a, b, c, d orb.Point) bool {
	if max(a[1], b[1]) < min(c[1], d[1]) || max(c[1], d[1]) < min(a[1], b[1]) ||
		max(a[0], b[0]) < min(c[0], d[0]) || max(c[0], d[0]) < min(a[0], b[0]) {
		return false
	}
	o := func(p, q, s orb.Point) float64 { return (q[0]-p[0])*(s[1]-p[1]) - (q[1]-p[1])*(s[0]-p[0]) }
	d1, d2, d3, d4 := o(a, b, c), o(a, b, d), o(c, d, a), o(c, d, b)
	return (d1 <= 0 && d2 >= 0 || d1 >= 0 && d2 <= 0) && (d3 <= 0 && d4 >= 0 || d3 >= 0 && d4 <= 0)
}
