package draw

import (
	"math"
	"sort"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// hatchMM is how far apart the lines lie by which cloth is told that the shears
// have been at.
const hatchMM = 14

// hatched are the lines of a hatching within a closed path: one way for a part
// that is cut already, crossed for one that is spoilt.
func hatched(outline curve.Path, crossed bool, apartMM float64) []curve.Path {
	ring := outline.Flatten(flattenMM)
	out := strokes(ring, orb.Point{math.Sqrt2 / 2, -math.Sqrt2 / 2}, apartMM)
	if crossed {
		out = append(out, strokes(ring, orb.Point{math.Sqrt2 / 2, math.Sqrt2 / 2}, apartMM)...)
	}
	return out
}

// strokes are parallel lines along u within a ring, whose last point repeats its
// first.
func strokes(ring []orb.Point, u orb.Point, apartMM float64) (out []curve.Path) {
	v := orb.Point{-u[1], u[0]}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range ring {
		off := plane.Dot(q, v)
		lo, hi = math.Min(lo, off), math.Max(hi, off)
	}
	for off := (math.Floor(lo/apartMM) + 0.5) * apartMM; off < hi; off += apartMM {
		var at []float64
		for i := 1; i < len(ring); i++ {
			a, b := plane.Dot(ring[i-1], v)-off, plane.Dot(ring[i], v)-off
			if (a > 0) != (b > 0) {
				at = append(at, plane.Dot(plane.Lerp(ring[i-1], ring[i], a/(a-b)), u))
			}
		}
		sort.Float64s(at)
		for i := 1; i < len(at); i += 2 {
			if at[i]-at[i-1] > 1 {
				p := plane.Along(orb.Point{}, v, off)
				out = append(out, curve.Polyline(plane.Along(p, u, at[i-1]), plane.Along(p, u, at[i])))
			}
		}
	}
	return out
}
