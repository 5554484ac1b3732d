package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// traced is an outline as it was found in the picture.
type traced struct {
	at       []orb.Point // where the edge is, in points of the picture
	contrast []float64   // how far cloth and ground are apart there
	roughPx  float64     // how far the edge was found to jump from place to place
	blurPx   float64     // how wide it is: a standard deviation
}

// across is what is seen along a line across the outline, from the inside out.
type across struct {
	light  [][3]float32
	colour []lab
	cloth  lab // a little inside
	ground lab // a little outside
	lightC [3]float32
	lightG [3]float32
}

const stepPx = 0.5 // of the samples across an outline

// mostTold is how far colours are apart that are told without doubt, in CIELAB
// units: a print's paler colours are cloth however much the others differ.
const mostTold = 36

// outline seeks a ring's edge in the whole picture, at most reach points from
// where the field has it: where what lies outside is most like the ground
// beside it and what lies inside least, as one smooth line (by dynamic
// programming: A. Amini, T. Weymouth, R. Jain, Using dynamic programming for
// solving variational problems in vision, 1990), and then between the points
// where the light changes most.
func (p *Picture) outline(ring orb.Ring, f *field, g *ground, labels []uint8) traced {
	by := float64(f.by)
	nodes := smoothed(ring, 2)
	normals := outward(nodes, 3)
	reach := 2*by + 2
	half := int(reach / stepPx)
	lines := make([]across, len(nodes))
	beyond := int((by + 3.5) / stepPx) // room to see cloth and ground beyond the reach
	n := half + beyond
	rows(len(nodes), func(i int) {
		lines[i] = p.lookAcross(nodes[i], normals[i], n, f, g, labels)
	})
	settle(lines)
	contrast := make([]float64, len(lines))
	for i := range lines {
		contrast[i] = lines[i].cloth.apart(lines[i].ground)
	}
	usual := medians(contrast, 8)
	cost := make([][]float64, len(lines))
	rows(len(lines), func(i int) {
		l := &lines[i]
		like := make([]float64, len(l.colour)) // the ground, 0 to 1
		for k, c := range l.colour {
			t := c.apart(l.ground) / min(max(usual[i], 5), mostTold)
			like[k] = 1 / (1 + math.Exp(12*(t-0.5)))
		}
		cost[i] = make([]float64, 2*half+1)
		sum := 0.0
		for k := n + 1 - half; k < len(like); k++ {
			sum += 1 - like[k]
		}
		for o := range cost[i] {
			cost[i][o] = sum
			if k := n - half + o; k+1 < len(like) {
				sum += 2*like[k+1] - 1 // the next sample goes from outside to inside
			}
		}
	})
	offs := smoothest(cost, 0.35)
	t := traced{at: make([]orb.Point, len(nodes)), contrast: contrast}
	exact := make([]float64, len(nodes))
	var blurs []float64
	for i := range nodes {
		o := float64(offs[i] - half)
		if at, ok := sharpest(lines, i, n+offs[i]-half, offs); ok {
			o = at - float64(n)
		}
		if blur, ok := lines[i].blur(); ok {
			blurs = append(blurs, blur)
		}
		exact[i] = o * stepPx
	}
	exact = medians(exact, 2)
	gentle := gaussian(exact, 4)
	var jumps []float64
	for i := range exact {
		jumps = append(jumps, math.Abs(exact[i]-gentle[i]))
		t.at[i] = plane.Along(nodes[i], normals[i], exact[i])
	}
	slices.Sort(jumps)
	t.roughPx = 1.4826 * jumps[len(jumps)/2]
	if len(blurs) > 0 {
		slices.Sort(blurs)
		t.blurPx = blurs[len(blurs)/2]
	}
	t.at = smoothed(t.at, 0.8)
	return t
}

// lookAcross samples the picture n steps each way across an outline.
func (p *Picture) lookAcross(at, normal orb.Point, n int, f *field, g *ground, labels []uint8) across {
	a := across{light: make([][3]float32, 2*n+1), colour: make([]lab, 2*n+1)}
	var cloth, ground [3]float32
	var inside, outside float32
	by := float64(f.by)
	for k := range a.light {
		d := float64(k-n) * stepPx
		q := plane.Along(at, normal, d)
		a.light[k] = p.linearAt(q[0], q[1])
		a.colour[k] = toLab(a.light[k])
		x, y := min(max(int(q[0]/by), 0), f.w-1), min(max(int(q[1]/by), 0), f.h-1)
		label := labels[y*f.w+x]
		if away := math.Abs(d) - by - 1; away > 0 && away < 3.5 {
			switch {
			case d < 0 && label == onCloth:
				inside++
				add(&cloth, a.light[k])
			case d > 0 && label == onGround:
				outside++
				add(&ground, a.light[k])
			}
		}
	}
	_, lit := g.at(at[0]/by, at[1]/by)
	a.lightG, a.lightC = lit, a.light[n/2]
	if outside > 0 {
		a.lightG = [3]float32{ground[0] / outside, ground[1] / outside, ground[2] / outside}
	}
	if inside > 0 {
		a.lightC = [3]float32{cloth[0] / inside, cloth[1] / inside, cloth[2] / inside}
	}
	return a
}

func add(a *[3]float32, b [3]float32) {
	for i := range a {
		a[i] += b[i]
	}
}

// settle evens out what the ground and the cloth look like from line to line:
// the ground as the middle of many, for it changes slowly, and a print's colour
// at the edge may have been taken for it.
func settle(lines []across) {
	n := len(lines)
	over := func(at func(i int) [3]float32, i, reach int) [3]float32 {
		var sum [3]float32
		for d := -reach; d <= reach; d++ {
			add(&sum, at(((i+d)%n+n)%n))
		}
		k := 1 / float32(2*reach+1)
		return [3]float32{sum[0] * k, sum[1] * k, sum[2] * k}
	}
	grounds, cloths := make([][3]float32, n), make([][3]float32, n)
	for ch := range 3 {
		v := make([]float64, n)
		for i := range lines {
			v[i] = float64(lines[i].lightG[ch])
		}
		for i, m := range gaussian(medians(v, 14), 1.5) {
			grounds[i][ch] = float32(m)
		}
	}
	for i := range lines {
		cloths[i] = over(func(i int) [3]float32 { return lines[i].lightC }, i, 1)
	}
	for i := range lines {
		l := &lines[i]
		l.lightG, l.lightC = grounds[i], cloths[i]
		l.ground, l.cloth = toLab(l.lightG), toLab(l.lightC)
	}
}

// smoothest is the choice of an offset for each line of a closed outline with
// the least cost, where a jump between neighbours costs by its square.
func smoothest(cost [][]float64, jump float64) []int {
	n, m := len(cost), len(cost[0])
	const most = 4 // steps that neighbours may differ
	// Once round and a bit more, so that the end knows of the beginning.
	wrap := min(n, 40)
	total := make([]float64, m)
	back := make([][]int8, n+2*wrap)
	for t := range back {
		i := (t - wrap + n) % n
		next := make([]float64, m)
		back[t] = make([]int8, m)
		for o := range next {
			best := math.Inf(1)
			for d := -most; d <= most; d++ {
				if q := o + d; q >= 0 && q < m {
					if v := total[q] + jump*float64(d*d); v < best {
						best, back[t][o] = v, int8(d)
					}
				}
			}
			next[o] = best + cost[i][o]
		}
		total = next
	}
	o := 0
	for k := range total {
		if total[k] < total[o] {
			o = k
		}
	}
	out := make([]int, n)
	for t := len(back) - 1; t >= 0; t-- {
		if t >= wrap && t < wrap+n {
			out[(t-wrap+n)%n] = o
		}
		o += int(back[t][o])
	}
	return out
}

// sharpest is where the light changes most from cloth to ground about an
// offset of a line, in steps, seen over its neighbours too.
func sharpest(lines []across, i, at int, offs []int) (where float64, ok bool) {
	n := len(lines)
	const reach = 6
	var profile [2*reach + 3]float64
	l := &lines[i]
	var dir [3]float32
	var norm float64
	for ch := range dir {
		dir[ch] = l.lightG[ch] - l.lightC[ch]
		norm += float64(dir[ch]) * float64(dir[ch])
	}
	if norm < 1e-6 {
		return 0, false
	}
	for d := -1; d <= 1; d++ {
		j := ((i+d)%n + n) % n
		shift := offs[j] - offs[i]
		for k := range profile {
			q := at + shift + k - reach - 1
			if q < 0 || q >= len(lines[j].light) {
				return 0, false
			}
			for ch := range dir {
				profile[k] += float64(lines[j].light[q][ch]*dir[ch]) / norm / 3
			}
		}
	}
	best, peak := 0, 0.0
	slope := func(k int) float64 { return profile[k+1] - profile[k-1] }
	for k := 1; k < len(profile)-1; k++ {
		// Near the offset rather than far from it.
		if s := slope(k) * (1 - 0.07*math.Abs(float64(k-reach-1))); s > peak {
			best, peak = k, s
		}
	}
	if best < 2 || best > len(profile)-3 || slope(best) < 0.12 {
		return 0, false
	}
	var sum, moment float64
	for k := max(1, best-4); k <= min(len(profile)-2, best+4); k++ {
		if s := slope(k); s > 0.25*slope(best) {
			sum += s
			moment += s * float64(k)
		}
	}
	return float64(at-reach-1) + moment/sum, true
}

// blur is how wide the edge is that a line crosses: the standard deviation, in
// points, of the Gaussian that makes a step rise as the light does at its
// steepest, which is by 1/(σ√2π) of the whole a point.
func (l *across) blur() (px float64, ok bool) {
	n := len(l.light)
	var dir [3]float32
	var norm float64
	for ch := range dir {
		dir[ch] = l.light[n-1][ch] + l.light[n-2][ch] - l.light[0][ch] - l.light[1][ch]
		norm += float64(dir[ch]) * float64(dir[ch])
	}
	if norm < 1e-4 {
		return 0, false
	}
	peak := 0.0
	for k := 1; k < n-1; k++ {
		rise := 0.0
		for ch := range dir {
			rise += 2 * float64((l.light[k+1][ch]-l.light[k-1][ch])*dir[ch]) / norm
		}
		peak = max(peak, rise)
	}
	return 2 * stepPx / (peak * math.Sqrt(2*math.Pi)), true
}

// smoothed is a ring after a Gaussian filter over its nodes.
func smoothed(ring []orb.Point, sigma float64) []orb.Point {
	x, y := make([]float64, len(ring)), make([]float64, len(ring))
	for i, q := range ring {
		x[i], y[i] = q[0], q[1]
	}
	x, y = gaussian(x, sigma), gaussian(y, sigma)
	out := make([]orb.Point, len(ring))
	for i := range out {
		out[i] = orb.Point{x[i], y[i]}
	}
	return out
}

// gaussian filters values that go round.
func gaussian(v []float64, sigma float64) []float64 {
	n, reach := len(v), int(math.Ceil(3*sigma))
	weights := make([]float64, 2*reach+1)
	sum := 0.0
	for k := range weights {
		d := float64(k-reach) / sigma
		weights[k] = math.Exp(-d * d / 2)
		sum += weights[k]
	}
	out := make([]float64, n)
	for i := range out {
		for k, w := range weights {
			out[i] += w / sum * v[((i+k-reach)%n+n)%n]
		}
	}
	return out
}

// medians is the median of each value and of so many each side, going round.
func medians(v []float64, reach int) []float64 {
	n := len(v)
	out := make([]float64, n)
	window := make([]float64, 2*reach+1)
	for i := range out {
		for k := range window {
			window[k] = v[((i+k-reach)%n+n)%n]
		}
		slices.Sort(window)
		out[i] = window[reach]
	}
	return out
}

// outward is the unit vectors across a ring to its left: out of the cloth.
func outward(ring []orb.Point, reach int) []orb.Point {
	n := len(ring)
	out := make([]orb.Point, n)
	for i := range out {
		t := plane.Sub(ring[(i+reach)%n], ring[((i-reach)%n+n)%n])
		if l := plane.Length(t); l > 0 {
			out[i] = orb.Point{t[1] / l, -t[0] / l}
		} else {
			out[i] = orb.Point{0, -1}
		}
	}
	return out
}
