package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// An outline jumps from node to node by what noise and a JPEG do to each. It is
// made fair by a parabola about each node, fitted to those beside it, whose weights fall
// with the distance and where one is far off (W. Cleveland, Robust locally weighted
// regression and smoothing scatterplots, 1979). None reaches beyond a corner.
const (
	fairReach  = 16 // nodes each side
	fairRounds = 2
	fairLeast  = 6    // nodes that a parabola is fitted to
	fairOff    = 6.0  // times the median: what is off by so much does not count
	fairNoise  = 0.02 // points of the picture, of the median at least
	fairCorner = 4    // nodes each side of a corner that stay as they are
	hardDeg    = 45   // what turns by more is a corner here even if its sides are not straight
)

// hardCorners is the corners of a ring that are not to be made fair.
func hardCorners(ring []orb.Point) (out []int) {
	for _, i := range cornersOf(ring) {
		hard := turnDeg(ring, i) > hardDeg
		for _, c := range cornersAt(ring, i) {
			hard = hard || c.straight
		}
		if hard {
			out = append(out, i)
		}
	}
	return out
}

// faired is a ring without its jumps between corners.
func faired(ring []orb.Point, corners []int) []orb.Point {
	n := len(ring)
	if n < 4*fairReach {
		return ring
	}
	kept := make([]bool, n)
	for _, c := range corners {
		for d := -fairCorner; d <= fairCorner; d++ {
			kept[round(c+d, n)] = true
		}
	}
	trust, off := make([]float64, n), make([]float64, n)
	for i := range trust {
		trust[i] = 1
	}
	out := make([]orb.Point, n)
	for range fairRounds {
		for i, q := range ring {
			out[i] = q
			if !kept[i] {
				out[i] = onParabola(ring, i, kept, trust)
			}
			off[i] = plane.Distance(out[i], q)
		}
		most := fairOff * max(median(off), fairNoise)
		for i, d := range off {
			u := min(d/most, 1)
			trust[i] = (1 - u*u) * (1 - u*u)
		}
	}
	return out
}

// onParabola is where the parabola through the nodes beside one has it, x and y each
// over the number of the node; the node itself where there are too few.
func onParabola(ring []orb.Point, i int, kept []bool, trust []float64) orb.Point {
	n := len(ring)
	var s [5]float64
	var x, y [3]float64
	count := 0
	for _, way := range [2]int{-1, 1} {
		for d := (way + 1) / 2; d <= fairReach; d++ { // the node itself once
			j := round(i+way*d, n)
			if kept[j] {
				break
			}
			u := float64(way*d) / (fairReach + 1)
			w := 1 - math.Abs(u*u*u)
			w *= w * w * trust[j]
			if w > 0 {
				count++
			}
			for k := range s {
				s[k] += w
				if k < len(x) {
					x[k], y[k] = x[k]+w*ring[j][0], y[k]+w*ring[j][1]
				}
				w *= u
			}
		}
	}
	// Cramer's rule; the place is the constant term.
	det := func(a, b, c [3]float64) float64 {
		return a[0]*(b[1]*c[2]-b[2]*c[1]) - b[0]*(a[1]*c[2]-a[2]*c[1]) + c[0]*(a[1]*b[2]-a[2]*b[1])
	}
	a, b, c := [3]float64(s[0:3]), [3]float64(s[1:4]), [3]float64(s[2:5])
	d := det(a, b, c)
	if count < fairLeast || math.Abs(d) < 1e-9 {
		return ring[i]
	}
	return orb.Point{det(x, b, c) / d, det(y, b, c) / d}
}

// unevenly is by how much more than noise would some of a ring's nodes were off the fair line
// through them: the square root of the mean square, in points of the picture.
func unevenly(was, fair []orb.Point) float64 {
	off := make([]float64, len(was))
	sum := 0.0
	for i, q := range was {
		off[i] = plane.Distance(q, fair[i])
		sum += off[i] * off[i] / float64(len(was))
	}
	usual := 2 * median(off) // of normal noise it is 1.5 times the median
	return math.Sqrt(max(0, sum-usual*usual))
}
