package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// inner is the points of a patch that lie so far from its edge, as many as are
// of use, in their order.
func (t *tracer) inner(r region, ids []int32, reach int) []int {
	f := t.f
	box := r.box
	w, h := box.Dx(), box.Dy()
	m := make([]bool, w*h)
	for y := range h {
		for x := range w {
			m[y*w+x] = ids[(y+box.Min.Y)*f.w+x+box.Min.X] == r.id
		}
	}
	// Beyond the box there is no cloth.
	m = eroded(bordered(m, w, h), w, h, reach)
	var out []int
	for k, is := range m {
		if is {
			out = append(out, (k/w+box.Min.Y)*f.w+k%w+box.Min.X)
		}
	}
	return out
}

// bordered is the points without those at the edge of the box.
func bordered(m []bool, w, h int) []bool {
	for y := range h {
		m[y*w], m[y*w+w-1] = false, false
	}
	for x := range w {
		m[x], m[(h-1)*w+x] = false, false
	}
	return m
}

// Stripes and ribs are taken for such when the slopes of lightness point one
// way so much (the coherence of the structure tensor: J. Bigün, G. Granlund,
// Optimal orientation detection of linear symmetry, 1987), and are so steep.
const (
	oneWay = 0.45
	steep  = 0.5 // CIELAB units a point of the field
)

// tensor is the structure tensor's xx, xy and yy at a point, of all three channels.
func (f *field) tensor(k int) (g [3]float64) {
	w := f.w
	for ch := range 3 {
		at := func(d int) float64 { return float64(f.colour[k+d][ch]) }
		gx := (at(1-w) + 2*at(1) + at(1+w) - at(-1-w) - 2*at(-1) - at(-1+w)) / 8
		gy := (at(w-1) + 2*at(w) + at(w+1) - at(-w-1) - 2*at(-w) - at(-w+1)) / 8
		g[0], g[1], g[2] = g[0]+gx*gx, g[1]+gx*gy, g[2]+gy*gy
	}
	return g
}

// acrossStripes is the way across stripes, in radians, if there are any: by the sum of
// the structure tensor over so many points, of at least that coherence.
func acrossStripes(sum [3]float64, points int, coherent float64) (rad float64, ok bool) {
	xx, xy, yy := sum[0], sum[1], sum[2]
	coherence := math.Hypot(xx-yy, 2*xy) / (xx + yy)
	return math.Atan2(2*xy, xx-yy) / 2, coherence > coherent && math.Sqrt((xx+yy)/float64(points)) >= steep
}

// grain suggests the grain: upright in the picture, or the way of stripes or
// ribs, or across them, whichever is nearer to upright.
func (t *tracer) grain(s *Scrap, r region, ids []int32) {
	points := t.inner(r, ids, 4)
	if len(points) < 200 {
		return
	}
	var sum [3]float64
	for _, k := range points {
		for i, v := range t.f.tensor(k) {
			sum[i] += v
		}
	}
	across, ok := acrossStripes(sum, len(points), oneWay)
	if !ok {
		return
	}
	mid := orb.Ring(s.seen[0]).Bound().Center()
	along := plane.Sub(t.view.ground(plane.Along(mid, orb.Point{-math.Sin(across), math.Cos(across)}, 20)), t.view.ground(mid))
	deg := math.Atan2(along[1], along[0]) * 180 / math.Pi
	for deg >= 135 {
		deg -= 90
	}
	for deg < 45 {
		deg += 90
	}
	s.Stripes, s.GrainDeg = true, math.Round(10*deg)/10
}

// colours finds the scrap's colour, or the two main ones of a print, in the
// light that shows the sheet white.
func (t *tracer) colours(s *Scrap, r region, ids []int32) {
	points := t.inner(r, ids, 3)
	if len(points) == 0 {
		points = t.inner(r, ids, 1)
	}
	var sample []lab
	step := max(1, len(points)/4000)
	for i := 0; i < len(points); i += step {
		k := points[i]
		_, g := t.ground.at(float64(k%t.f.w), float64(k/t.f.w))
		// Paper throws back 0.85 of the light (common practice, no source).
		even := 0.85 * min(max(t.lit/max(g[1], 1e-3), 0.5), 2)
		c := t.f.light[k]
		for ch := range c {
			c[ch] = min(1, c[ch]*even/max(t.white[ch], 1e-3))
		}
		sample = append(sample, toLab(c))
	}
	if len(sample) == 0 {
		return
	}
	main, minor, share := twoMeans(sample)
	s.Colours = []string{main.hex()}
	if main.apart(minor) > 14 && share > 0.06 {
		s.Colours = append(s.Colours, minor.hex())
	}
	s.Colour = s.Colours[0]
}

// twoMeans parts colours into two groups (k-means: S. Lloyd, Least squares
// quantization in PCM, 1982), the larger first, and gives the share of the
// smaller.
func twoMeans(sample []lab) (main, minor lab, share float64) {
	mean := func(is func(i int) bool) (m lab, n int) {
		var sum [3]float64
		for i, c := range sample {
			if is(i) {
				n++
				for ch := range c {
					sum[ch] += float64(c[ch])
				}
			}
		}
		for ch := range m {
			m[ch] = float32(sum[ch] / max(1, float64(n)))
		}
		return m, n
	}
	all, _ := mean(func(int) bool { return true })
	farthest := func(from lab) lab {
		best := from
		for _, c := range sample {
			if c.apart(from) > best.apart(from) {
				best = c
			}
		}
		return best
	}
	a := farthest(all)
	b := farthest(a)
	n := 0
	for range 12 {
		nearA := make([]bool, len(sample))
		for i, c := range sample {
			nearA[i] = c.apart(a) <= c.apart(b)
		}
		a, n = mean(func(i int) bool { return nearA[i] })
		b, _ = mean(func(i int) bool { return !nearA[i] })
	}
	share = float64(n) / float64(len(sample))
	switch {
	case n == len(sample):
		return a, a, 0
	case n == 0:
		return b, b, 0
	case share < 0.5:
		return b, a, share
	}
	return a, b, 1 - share
}

// median is the middle value of many, the upper one of two (C. Hoare, Find, 1961).
func median(v []float64) float64 {
	const few = 32 // are sorted as fast
	s := slices.Clone(v)
	lo, hi, want := 0, len(s), len(s)/2
	for hi-lo > few {
		a, b, c := s[lo], s[lo+(hi-lo)/2], s[hi-1]
		pivot := max(min(a, b), min(max(a, b), c))
		i, k := lo, hi-1
		for i <= k {
			for s[i] < pivot {
				i++
			}
			for s[k] > pivot {
				k--
			}
			if i <= k {
				s[i], s[k] = s[k], s[i]
				i, k = i+1, k-1
			}
		}
		switch {
		case want <= k:
			hi = k + 1
		case want >= i:
			lo = i
		default:
			return s[want]
		}
	}
	slices.Sort(s[lo:hi])
	return s[want]
}
