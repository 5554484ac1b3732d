package rest

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Rectangle lies along the grain of its scrap: LengthMM along it, WidthMM across.
type Rectangle struct {
	Scrap             string
	LengthMM, WidthMM float64
	Corners           [4]orb.Point // on the scrap
}

func (r Rectangle) area() float64 { return r.LengthMM * r.WidthMM }

const (
	mostEdges = 40   // places for a side of a rectangle, before they are refined
	fineMM    = 0.05 // to which its sides are moved in the end
)

// rectangle is the largest one along the grain, as far as it is found: its two
// long sides are tried at the corners of the cloth and at places between, and
// then moved while that makes it larger. Between two such sides the longest
// stretch of cloth is exact.
func (c *cloth) rectangle() Rectangle {
	length := func(left, right float64) (r run) {
		if right-left < 1 {
			return run{}
		}
		for _, f := range free(c.rings, c.sides, left, right) {
			if f.to-f.from > r.to-r.from {
				r = f
			}
		}
		return r
	}
	area := func(left, right float64) float64 { r := length(left, right); return (right - left) * (r.to - r.from) }
	xs := c.places()
	// No lane has a longer stretch than the narrower ones that it holds.
	longest := make([]float64, len(xs)-1)
	for i := range longest {
		r := length(xs[i], xs[i+1])
		if longest[i] = r.to - r.from; xs[i+1]-xs[i] < 1 {
			longest[i] = c.high()
		}
	}
	var left, right, most float64
	for i, a := range xs {
		bound := c.high()
		for k, b := range xs[i+1:] {
			bound = math.Min(bound, longest[i+k])
			if (b-a)*bound <= most {
				continue
			}
			if mm2 := area(a, b); mm2 > most {
				left, right, most = a, b, mm2
			}
		}
	}
	for step := (xs[len(xs)-1] - xs[0]) / mostEdges; step > fineMM; step /= 2 {
		for moved := true; moved; {
			moved = false
			for _, try := range [8][2]float64{{left - step, right}, {left + step, right}, {left, right - step}, {left, right + step}, {left - step, right - step}, {left + step, right + step}, {left - step, right + step}, {left + step, right - step}} {
				if mm2 := area(try[0], try[1]); mm2 > most+1e-6 {
					left, right, most, moved = try[0], try[1], mm2, true
				}
			}
		}
	}
	return c.laid(left, right, length(left, right))
}

// square is the largest one along the grain, found as rectangle finds its own.
// How wide one can be whose left side is given is bisected: a narrower lane is
// free wherever a wider one is.
func (c *cloth) square() Rectangle {
	fits := func(left, side float64) (run, bool) {
		for _, f := range free(c.rings, c.sides, left, left+side) {
			if f.to-f.from >= side {
				return run{f.from, f.from + side}, true
			}
		}
		return run{}, false
	}
	xs := c.places()
	widest := math.Min(xs[len(xs)-1]-xs[0], c.high())
	var at, side float64
	try := func(left float64) bool {
		if _, ok := fits(left, side+fineMM/2); !ok {
			return false
		}
		lo, hi := side+fineMM/2, widest
		if _, ok := fits(left, hi); ok {
			lo = hi
		}
		for hi-lo > 1e-4 {
			mid := (lo + hi) / 2
			if _, ok := fits(left, mid); ok {
				lo = mid
			} else {
				hi = mid
			}
		}
		at, side = left, lo
		return true
	}
	for _, x := range xs {
		try(x)
	}
	for step := (xs[len(xs)-1] - xs[0]) / mostEdges; step > fineMM; step /= 2 {
		for try(at-step) || try(at+step) {
		}
	}
	r, ok := fits(at, side)
	if !ok {
		return Rectangle{}
	}
	return c.laid(at, at+side, r)
}

// places are where a side of a rectangle is tried: at corners of the cloth,
// thinned out where they are many, and between.
func (c *cloth) places() []float64 {
	var xs []float64
	for _, r := range c.rings {
		for _, q := range r {
			xs = append(xs, q[0])
		}
	}
	slices.Sort(xs)
	lo, hi := xs[0], xs[len(xs)-1]
	for k := range mostEdges / 2 {
		xs = append(xs, lo+(hi-lo)*(float64(k)+0.5)/(mostEdges/2))
	}
	slices.Sort(xs)
	least := (hi - lo) / (2 * mostEdges)
	out := []float64{lo}
	for _, x := range xs {
		if x-out[len(out)-1] >= least && hi-x >= least {
			out = append(out, x)
		}
	}
	return append(out, hi)
}

// high is how far the cloth reaches along the grain.
func (c *cloth) high() float64 {
	box := c.rings[0].Bound()
	return box.Max[1] - box.Min[1]
}

// laid is the rectangle between two lines along the grain.
func (c *cloth) laid(left, right float64, r run) Rectangle {
	out := Rectangle{Scrap: c.scrap.Name, LengthMM: r.to - r.from, WidthMM: right - left}
	for i, q := range [4]orb.Point{{left, r.from}, {right, r.from}, {right, r.to}, {left, r.to}} {
		out.Corners[i] = turned(orb.Ring{q}, -c.turn)[0]
	}
	return out
}
