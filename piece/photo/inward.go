package photo

import (
	"math"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// simplerMM is how far a simplified outline may be from what was traced.
const simplerMM = 0.15

// mostMitre is how many times as far as its sides the corner of an outline is moved at most: that of
// an angle of 39 degrees. A sharper tip is drawn a little too long, and not cut off by far.
const mostMitre = 3.0

// leastTurn is the sine of the angle that two sides make, at least, for them to be moved by unlike lengths with their
// corner where they meet: where they run nearly in one line that may be far away.
const leastTurn = 0.2

// clothMM is how thick cloth is taken to be, such as jersey: of shirts it is half of that, of denim half as much again, of sweatshirts three times
// as much (from memory). Taken for thicker, it would cost small scraps of thin cloth more than 1.5 % of their area.
const clothMM = 0.5

// inward is a dense ring simplified, and moved by so many mm to its right, into the
// cloth, and on sides that face the way of aside by as much more as they do: there thick cloth hides the ground
// behind it. A narrow place that the move closes is left out with what hangs
// on it, the smaller part. It is nil where the move closes all of the ring.
func inward(ring []orb.Point, mm float64, aside orb.Point) orb.Ring {
	simple := simplify.DouglasPeucker(simplerMM).Ring(plane.Close(ring))
	out := mitred(simple[:len(simple)-1], mm, aside)
	way := plane.SignedArea(simple)
	for range 200 {
		cut, crossed := uncross(out, way)
		if !crossed {
			break
		}
		out = cut
	}
	for range 50 {
		at, spiked := piece.Spike(out)
		if !spiked {
			break
		}
		out = without(out, at)
	}
	if way*plane.SignedArea(out) <= 0 {
		return nil
	}
	return out
}

// mitred is a ring with its sides moved by so many mm to their right, and by as much more as they face the way of aside,
// and its corners to where those meet.
func mitred(ring []orb.Point, mm float64, aside orb.Point) orb.Ring {
	n := len(ring)
	ways, by := make([]orb.Point, n), make([]float64, n) // of the side after each corner: to its right, and by how much
	for i, q := range ring {
		along := plane.Unit(plane.Sub(ring[round(i+1, n)], q))
		ways[i] = orb.Point{-along[1], along[0]}
		by[i] = mm + max(0, -plane.Dot(ways[i], aside))
	}
	out := make(orb.Ring, n)
	for i, q := range ring {
		k := round(i-1, n)
		both := plane.Add(ways[k], ways[i])
		long := plane.Length(both)
		move := plane.Scale(plane.Unit(both), (by[k]+by[i])/2*min(2/long, mostMitre))
		if turn := plane.Cross(ways[k], ways[i]); by[k] != by[i] && math.Abs(turn) > leastTurn {
			move = orb.Point{(by[k]*ways[i][1] - by[i]*ways[k][1]) / turn, (by[i]*ways[k][0] - by[k]*ways[i][0]) / turn}
			if far := plane.Length(move); far > mostMitre*max(by[k], by[i]) {
				move = plane.Scale(move, mostMitre*max(by[k], by[i])/far)
			}
		}
		out[i] = plane.Add(q, move)
	}
	return out
}

// uncross cuts a ring at the first place where it crosses itself, and keeps the
// larger of the parts that run round the way that a signed area says: a narrow part whose sides have passed
// each other runs round the other way, however large it is.
func uncross(r orb.Ring, way float64) (orb.Ring, bool) {
	n := len(r)
	for i := range n {
		a, b := r[i], r[(i+1)%n]
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			c, d := r[j], r[(j+1)%n]
			at, ok := crossing(a, b, c, d)
			if !ok {
				continue
			}
			one := append(orb.Ring{at}, r[i+1:j+1]...)
			two := append(append(orb.Ring{at}, r[j+1:]...), r[:i+1]...)
			if way*plane.SignedArea(one) > way*plane.SignedArea(two) {
				return one, true
			}
			return two, true
		}
	}
	return r, false
}

// longestLoop is how many nodes a loop of an outline has at most.
const longestLoop = 60

// unlooped is a ring without its loops. An outline is sought along lines across it, and makes one
// where those cross each other: it turns there more sharply than the ring that they stand on.
func unlooped(ring []orb.Point) []orb.Point {
	n := len(ring)
	longest := min(longestLoop, n/4)
	out := make([]orb.Point, 0, n)
	for i := 0; i < n; i++ {
		out = append(out, ring[i])
		for k := min(i+longest, n-2); k > i+1; k-- { // of one within another the larger
			if at, ok := crossing(ring[i], ring[i+1], ring[k], ring[k+1]); ok {
				out = append(out, at)
				i = k
				break
			}
		}
	}
	return out
}

func crossing(a, b, c, d orb.Point) (orb.Point, bool) {
	u, v := plane.Sub(b, a), plane.Sub(d, c)
	det := plane.Cross(u, v)
	if det == 0 {
		return orb.Point{}, false
	}
	w := plane.Sub(c, a)
	s, t := plane.Cross(w, v)/det, plane.Cross(w, u)/det
	if s < 0 || s > 1 || t < 0 || t > 1 {
		return orb.Point{}, false
	}
	return plane.Along(a, u, s), true
}

// without is the ring without its corner nearest to a point.
func without(r orb.Ring, at orb.Point) orb.Ring {
	best := 0
	for i, q := range r {
		if plane.Distance(q, at) < plane.Distance(r[best], at) {
			best = i
		}
	}
	return append(r[:best:best], r[best+1:]...)
}
