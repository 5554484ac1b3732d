package allowance

import (
	"math"
	"slices"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// Mouth is the cloth across a dart's mouth, beyond the seam line. A cutter
// folds the dart on paper, pressed to one side, and cuts along the line beside
// it, so that the folded cloth reaches the seam it will be caught in. Opened
// again, that is a cover over the mouth with two sides: the neighbour's cutting
// line mirrored about the leg, as far as the dart's fold, and from there to the
// other leg the same line turned about the apex. There is one cover for the
// dart pressed either way, and the cutting line holds both. Legs that do not
// end on the piece's outline have none.
func Mouth(p *piece.Piece, d piece.Dart) ([]orb.Ring, error) {
	for _, leg := range []orb.Point{d.Leg1, d.Leg2} {
		if _, away := p.Outline.Path().Nearest(leg); away > onLineMM {
			return nil, nil
		}
	}
	ring, err := CutLine(p.Outline)
	if err != nil {
		return nil, err
	}
	return mouthCovers(ring, d), nil
}

// mouthCovers is Mouth, beside a cutting line that has no cover over the mouth
// yet. They run clockwise.
func mouthCovers(ring orb.Ring, d piece.Dart) []orb.Ring {
	const least, most = 0.01, 2.0 // radians; a wider one is no dart
	first, second := plane.Sub(d.Leg1, d.Apex), plane.Sub(d.Leg2, d.Apex)
	angle := math.Atan2(plane.Cross(first, second), plane.Dot(first, second))
	if angle < 0 {
		first, second, angle = second, first, -angle
	}
	if angle < least || angle > most {
		return nil
	}
	var out []orb.Ring
	for _, r := range []orb.Ring{
		mouthCover(d.Apex, first, second, angle, neighbour(ring, d.Apex, first, -angle/2)),
		mouthCover(d.Apex, second, first, -angle, neighbour(ring, d.Apex, second, angle/2)),
	} {
		if len(r) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// mouthCover is the cover over a dart's mouth. It stands on leg and leans away
// from it by angle. beside is the cutting line beside the leg, from the leg
// outward.
func mouthCover(apex, leg, other orb.Point, angle float64, beside []orb.Point) orb.Ring {
	if len(beside) < 2 {
		return nil
	}
	// It stands on the legs a little inside the mouth, wherever the apex is.
	const insideMM = 1.0
	foot := func(leg orb.Point) orb.Point {
		n := math.Hypot(leg[0], leg[1])
		return plane.Add(apex, plane.Scale(leg, math.Max(0, n-insideMM)/n))
	}
	u := plane.Scale(leg, 1/math.Hypot(leg[0], leg[1]))
	sin, cos := math.Sincos(angle)
	line := orb.Ring{foot(leg)}
	for _, p := range beside {
		v := plane.Sub(p, apex)
		line = append(line, plane.Add(apex, plane.Sub(v, plane.Scale(orb.Point{-u[1], u[0]}, 2*plane.Cross(u, v)))))
	}
	for i := len(beside) - 2; i >= 0; i-- {
		v := plane.Sub(beside[i], apex)
		line = append(line, plane.Add(apex, orb.Point{cos*v[0] - sin*v[1], sin*v[0] + cos*v[1]}))
	}
	line = append(line, foot(other))
	if angle < 0 {
		slices.Reverse(line)
	}
	return line
}

// addRing adds a ring that the cutting line must hold.
func (c *rawOffset) addRing(ring orb.Ring) {
	for _, p := range ring {
		c.lineTo(p, cornerSide)
	}
	c.closeLoop()
}

// neighbour is the stretch of a ring seen from the point at, from the
// direction leg as far as turn radians to its side.
func neighbour(ring orb.Ring, at, leg orb.Point, turn float64) []orb.Point {
	const smoothMM = 0.01
	angleOf := func(p orb.Point) float64 {
		v := plane.Sub(p, at)
		a := math.Atan2(plane.Cross(leg, v), plane.Dot(leg, v))
		if turn < 0 {
			return -a
		}
		return a
	}
	const mouthMM = 0.5 // how far the ring may lie inside the mouth, for want of an allowance
	reach, length := math.Abs(turn), math.Hypot(leg[0], leg[1])
	n := len(ring)
	// The side of the ring that the leg's own line leaves by, at the mouth or
	// beyond it.
	start, near := -1, math.Inf(1)
	var from orb.Point
	for i, p := range ring {
		q := ring[(i+1)%n]
		if hit, mm, ok := ray(at, leg, p, q); ok && mm > length-mouthMM && mm < near {
			start, near, from = i, mm, hit
		}
	}
	if start < 0 {
		return nil
	}
	line := orb.LineString{from}
	step, k := 1, (start+1)%n
	if turn < 0 {
		step, k = -1, start
	}
	for range n {
		p := ring[k]
		if a := angleOf(p); a >= reach || a < 0 {
			sin, cos := math.Sincos(turn)
			way := orb.Point{cos*leg[0] - sin*leg[1], sin*leg[0] + cos*leg[1]}
			if hit, _, ok := ray(at, way, line[len(line)-1], p); ok {
				line = append(line, hit)
				return simplify.DouglasPeucker(smoothMM).LineString(line)
			}
			return nil
		}
		line = append(line, p)
		k = (k + step + n) % n
	}
	return nil
}

// ray is where the ray from at along way crosses from p to q, and how far on.
func ray(at, way, p, q orb.Point) (hit orb.Point, mm float64, ok bool) {
	side, v := plane.Sub(q, p), plane.Sub(p, at)
	den := plane.Cross(way, side)
	if den == 0 {
		return hit, 0, false
	}
	const over = 1e-9 // a ray through a corner must not slip between two sides
	t, u := plane.Cross(v, side)/den, plane.Cross(v, way)/den
	if t <= 0 || u < -over || u > 1+over {
		return hit, 0, false
	}
	return plane.Along(at, way, t), t * math.Hypot(way[0], way[1]), true
}
