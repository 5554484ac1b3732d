package curve

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Nearest is the place along the path closest to q: its distance along the
// path and its distance from q, in mm.
func (p Path) Nearest(q orb.Point) (along, away float64) {
	if len(p) == 0 {
		return 0, math.Inf(1)
	}
	i, t, away := p.nearest(q)
	return p[:i].Length() + p[i].lengthTo(t), away
}

// nearest is the segment and the parameter closest to q.
func (p Path) nearest(q orb.Point) (i int, t, away float64) {
	away = math.Inf(1)
	for k, s := range p {
		if s.beyond(q, away) {
			continue
		}
		if x, d := s.nearest(q); d < away {
			i, t, away = k, x, d
		}
	}
	return i, t, away
}

// beyond reports whether all of the segment is farther than mm from q.
func (s Segment) beyond(q orb.Point, mm float64) bool {
	box := s.hull()
	dx := max(0, box.Min[0]-q[0], q[0]-box.Max[0])
	dy := max(0, box.Min[1]-q[1], q[1]-box.Max[1])
	return dx*dx+dy*dy > mm*mm
}

// nearest is the parameter closest to q. On a curve that is an end, or where
// the line to q is square to the curve, which a polynomial of the fifth degree
// tells; in Bernstein form it has no more zeros than its coefficients change
// sign, so that halving it parts them and leaves none out (Schneider, "Solving
// the Nearest-Point-on-Curve Problem", Graphics Gems, 1990).
func (s Segment) nearest(q orb.Point) (t, away float64) {
	if !s.Curved {
		v := plane.Sub(s.P1, s.P0)
		if n := plane.Dot(v, v); n > 0 {
			t = inUnit(plane.Dot(plane.Sub(q, s.P0), v) / n)
		}
		return t, plane.Distance(s.At(t), q)
	}
	away = plane.Distance(s.P0, q)
	if d := plane.Distance(s.P1, q); d < away {
		t, away = 1, d
	}
	s.square(q, s.squareness(q), 0, 1, func(x float64) {
		if d := plane.Distance(s.At(x), q); d < away {
			t, away = x, d
		}
	})
	return t, away
}

// squareness is the Bernstein coefficients of the curve's velocity times its
// way from q, the half of how fast the square of its distance grows.
func (s Segment) squareness(q orb.Point) [6]float64 {
	way := [4]orb.Point{plane.Sub(s.P0, q), plane.Sub(s.C0, q), plane.Sub(s.C1, q), plane.Sub(s.P1, q)}
	velocity := [3]orb.Point{plane.Sub(way[1], way[0]), plane.Sub(way[2], way[1]), plane.Sub(way[3], way[2])}
	var out [6]float64
	// The product of the binomials of degrees 3 and 2, over those of 5.
	for i, a := range [4]float64{1, 3, 3, 1} {
		for j, b := range [3]float64{1, 2, 1} {
			out[i+j] += a * b / [6]float64{1, 5, 10, 10, 5, 1}[i+j] * 3 * plane.Dot(way[i], velocity[j])
		}
	}
	return out
}

// square finds the parameters from lo to hi at which the curve is square to
// its way from q, given the squareness over that stretch.
func (s Segment) square(q orb.Point, f [6]float64, lo, hi float64, found func(t float64)) {
	changes := 0
	for i := 1; i < len(f); i++ {
		if (f[i-1] < 0) != (f[i] < 0) {
			changes++
		}
	}
	const alike = 1e-12
	switch mid := (lo + hi) / 2; {
	case changes == 0:
	case changes == 1:
		found(s.squareBetween(q, lo, hi, f[0] < 0))
	case hi-lo < alike:
		found(mid)
	default:
		near, far := f, f
		for k := 1; k < len(f); k++ {
			for i := len(f) - 1; i >= k; i-- {
				near[i] = (near[i-1] + near[i]) / 2
			}
			for i := 0; i < len(f)-k; i++ {
				far[i] = (far[i] + far[i+1]) / 2
			}
		}
		s.square(q, near, lo, mid, found)
		s.square(q, far, mid, hi, found)
	}
}

// squareBetween is the one place from lo to hi where the curve is square to
// its way from q, by Newton's steps, and by halving where they lead out or are
// many. Before that place the way gets shorter, or longer.
func (s Segment) squareBetween(q orb.Point, lo, hi float64, shorter bool) float64 {
	t := (lo + hi) / 2
	for k := range 100 {
		way, velocity := plane.Sub(s.At(t), q), s.Velocity(t)
		f := plane.Dot(way, velocity)
		if f == 0 {
			break
		}
		if (f < 0) == shorter {
			lo = t
		} else {
			hi = t
		}
		next := t - f/(plane.Dot(velocity, velocity)+plane.Dot(way, s.acceleration(t)))
		if k%4 == 3 || !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-t) < 1e-15 {
			break
		}
		t = next
	}
	return t
}

// acceleration is the second derivative of a curve at parameter t.
func (s Segment) acceleration(t float64) orb.Point {
	a, b := plane.Sub(plane.Sub(s.C1, s.C0), plane.Sub(s.C0, s.P0)), plane.Sub(plane.Sub(s.P1, s.C1), plane.Sub(s.C1, s.C0))
	at := plane.Lerp(a, b, t)
	return orb.Point{6 * at[0], 6 * at[1]}
}
