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
	bitePx   float64     // how far parts of it were found to be off the rest
	castPx   float64     // how far it may be off for shadows beside it

	nodes, normals []orb.Point // that it was sought from, and the ways out of the cloth there
	offs           []float64   // how far it is from them, in points
	rims           []rim
}

// across is what is seen along a line across the outline, from the inside out.
type across struct {
	light  [][3]float32
	bright []float32 // how bright a grey of the same luma is, on the scale on which edges are even
	colour []lab
	off    []float64 // how far each is from the ground's beside the line
	cloth  lab       // a little inside
	ground lab       // a little outside
	lightC [3]float32
	lightG [3]float32
}

const stepPx = 0.5 // of the samples across an outline

// outline seeks a ring's edge in the whole picture, at most reach points from
// where the field has it: where what lies outside is most like the ground
// beside it and what lies inside least, and where the colour changes fastest
// with ground outside, as one smooth line (by dynamic programming: A. Amini, T.
// Weymouth, R. Jain, Using dynamic programming for solving variational problems
// in vision, 1990), and then between the points where the light is about
// half-way from the ground's to the cloth's.
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
	t := traced{contrast: make([]float64, len(lines))}
	var blurs []float64
	for i := range lines {
		t.contrast[i] = lines[i].cloth.apart(lines[i].ground)
		if blur, ok := lines[i].blur(); ok {
			blurs = append(blurs, blur)
		}
	}
	t.blurPx = 1
	if len(blurs) > 0 {
		t.blurPx = median(blurs)
	}
	// Beyond so many steps from an edge its blur is over.
	gap := int(math.Round((1.6*min(max(t.blurPx, 0.5), by+1) + 0.25) / stepPx))
	usual := medians(t.contrast, 8)
	like := 4 + 0.8*float64(sqrt32(g.spread[0]*g.spread[0]+g.spread[1]*g.spread[1]+g.spread[2]*g.spread[2]))
	cost := make([][]float64, len(lines))
	rows(len(lines), func(i int) {
		l := &lines[i]
		cost[i] = l.divide(half, min(max(usual[i], 5), 3*like))
		edges := l.edges(half, gap, like)
		most := max(leastEdge, slices.Max(edges))
		for o := range cost[i] {
			cost[i][o] += edgeCost * (1 - edges[o]/most)
		}
	})
	offs := smoothest(cost, 0.35)
	moves, edges := make([]float64, len(nodes)), make([]float64, len(nodes))
	plain := make([]bool, len(nodes))
	for i := range nodes {
		from := float64(n + offs[i] - half)
		at, ok := lines[i].halfWay(lines[i].climb(from), gap, like)
		if first, is := lines[i].firstHalf(from, gap, like); is && at < first-max(firstSteps, firstBlurs*t.blurPx/stepPx) {
			at, ok = first, false
		}
		moves[i], plain[i] = at-from, ok
	}
	for i, usual := range medians(moves, 25) {
		if plain[i] && math.Abs(moves[i]-usual) > 1.5 {
			moves[i] = usual
		}
		edges[i] = float64(n+offs[i]-half) + moves[i]
	}
	edges = medians(edges, 2)
	gentle := gaussian(edges, 4)
	t.nodes, t.normals, t.offs = nodes, normals, make([]float64, len(nodes))
	var jumps []float64
	for i := range edges {
		jumps = append(jumps, stepPx*math.Abs(edges[i]-gentle[i]))
		t.offs[i] = (edges[i] - float64(n)) * stepPx
	}
	t.roughPx = 1.4826 * median(jumps)
	t.rims = rims(lines, edges, plain, gap, p.even)
	t.draw()
	return t
}

// What an edge weighs against points on the wrong side of it, and the change of
// colour below which there is none.
const (
	edgeCost  = 5.0
	leastEdge = 3.0
)

// divide is, for each offset of a line, what cloth lies outside it and ground
// inside, in steps. Told is how far apart the two are.
func (l *across) divide(half int, told float64) []float64 {
	n := len(l.colour) / 2
	like := make([]float64, len(l.light)) // the ground, 0 to 1
	for k, off := range l.off {
		like[k] = 1 / (1 + math.Exp(12*(off/told-0.5)))
	}
	cost := make([]float64, 2*half+1)
	sum := 0.0
	for k := n + 1 - half; k < len(like); k++ {
		sum += 1 - like[k]
	}
	for o := range cost {
		cost[o] = sum
		if k := n - half + o; k+1 < len(like) {
			sum += 2*like[k+1] - 1 // the next sample goes from outside to inside
		}
	}
	return cost
}

// edges is, for each offset of a line, how fast the colour changes there, as far
// as what lies outside is ground: within a print it is not.
func (l *across) edges(half, gap int, like float64) []float64 {
	n := len(l.colour) / 2
	out := make([]float64, 2*half+1)
	for o := range out {
		k := n - half + o
		away := l.off[k+gap+1] / like
		out[o] = l.colour[k+1].apart(l.colour[k-1]) * math.Exp(-away*away)
	}
	return out
}

// offGround is how far light is from the ground's beside the line, some shade
// allowed.
func (l *across) offGround(c [3]float32) float64 {
	colour, g := toLab(c), l.lightG
	shade := min(max((c[0]+2*c[1]+c[2])/max(g[0]+2*g[1]+g[2], 1e-4), 0.8), lightest)
	return 0.7*colour.apart(toLab([3]float32{g[0] * shade, g[1] * shade, g[2] * shade})) + 0.3*colour.apart(l.ground)
}

// climb is the place next to one, uphill, where the light changes fastest: colours as the eye
// sees them change faster on the darker side of an edge, and there a JPEG's run over it, too.
func (l *across) climb(at float64) float64 {
	const most = 5 // steps
	slope := func(k int) (sum float32) {
		if k < 1 || k > len(l.light)-2 {
			return 0
		}
		for ch, v := range l.light[k+1] {
			d := v - l.light[k-1][ch]
			sum += d * d
		}
		return sum
	}
	from := int(math.Round(at))
	k := from
	for {
		next := k
		for _, d := range [4]int{-1, 1, -2, 2} { // noise may have made a dip
			if q := k + d; q >= from-most && q <= from+most && slope(q) > slope(next) {
				next = q
			}
		}
		if next == k {
			return at + float64(k-from)
		}
		k = next
	}
}

// halfWay is where, about a place on a line, the light is half-way between that
// of the cloth just inside and that of the ground just outside: blur moves that
// place of a straight edge nowhere. It is not plain where another colour of a
// print lies so near that it would be taken for the cloth's.
func (l *across) halfWay(at float64, gap int, like float64) (where float64, plain bool) {
	const fine, most = 0.5, 3.5 // steps
	const another = 1.6         // times as far from the ground
	best := at
	var first float32
	for round := range 4 { // what lies just inside is known better each time
		cloth, ground := l.lightOn(best-float64(gap)), l.groundAt(best+float64(gap), like)
		var norm float32
		for ch := range cloth {
			norm += (cloth[ch] - ground[ch]) * (cloth[ch] - ground[ch])
		}
		switch {
		case norm < 1e-6:
			return best, true
		case round == 0:
			first = norm
		case norm > another*another*first:
			return at, false
		}
		part := l.between(cloth, ground)
		near := math.Inf(1)
		for x := at + most; x > at-most; x -= fine {
			if a, b := part(x), part(x-fine); a < 0.5 && b >= 0.5 {
				if c := x - fine*(0.5-a)/(b-a); math.Abs(c-best) < math.Abs(near-best) {
					near = c
				}
			}
		}
		if math.IsInf(near, 1) {
			return best, true
		}
		if best = near; round == 3 {
			best = middle(part, best)
		}
	}
	return best, true
}

// A narrow part of another colour may lie along the edge: where the light changes fastest, it is then
// from that to the colour within it.
const (
	firstOut   = 3    // steps outward from where the ground seems to end, from where on it is looked for
	firstIn    = 10   // and inward, to where
	firstOver  = 0.35 // of the steepest slope of its colour off the ground's, by which it is over
	firstLikes = 3.0  // times as far from the ground as its texture is, at least: a shadow is less
	firstSteps = 1.5  // that it lies farther out, at least, and no less than a part of the blur
	firstBlurs = 0.8
)

// firstHalf is where the light is half-way from the ground's to that of the first colour of the
// cloth from outside, about a place on a line.
func (l *across) firstHalf(from float64, gap int, like float64) (where float64, ok bool) {
	outmost := min(int(math.Round(from))+firstOut, len(l.off)-2)
	steepest := 0.0
	for k := outmost; k > max(outmost-firstOut-firstIn, 1); k-- {
		slope := l.off[k-1] - l.off[k+1]
		if steepest = max(steepest, slope); l.off[k] < firstLikes*like || slope > firstOver*steepest {
			continue
		}
		part := l.between(l.light[k], l.groundAt(from+float64(gap), like))
		for q := k; q < min(outmost+gap, len(l.light)-1); q++ {
			if a, b := part(float64(q)), part(float64(q+1)); a >= 0.5 && b < 0.5 {
				return float64(q) + (a-0.5)/(a-b), true
			}
		}
		break
	}
	return 0, false
}

// groundAt is the light of the ground as it is at a place on a line, if that is ground.
func (l *across) groundAt(x, like float64) [3]float32 {
	if ground := l.lightOn(x); l.offGround(ground) <= 2*like {
		return ground
	}
	return l.lightG
}

// between is how far the light at a place on a line is on the way from the ground's, 0, to the
// cloth's, 1.
func (l *across) between(cloth, ground [3]float32) func(x float64) float64 {
	var dir [3]float32
	var norm float32
	for ch := range dir {
		dir[ch] = cloth[ch] - ground[ch]
		norm += dir[ch] * dir[ch]
	}
	return func(x float64) (s float64) {
		c := l.lightOn(x)
		for ch := range dir {
			s += float64((c[ch] - ground[ch]) * dir[ch])
		}
		return s / float64(norm)
	}
}

// lightOn is the light at a place on a line, between its samples.
func (l *across) lightOn(x float64) [3]float32 {
	k := min(max(int(x), 0), len(l.light)-2)
	f := float32(min(max(x-float64(k), 0), 1))
	var out [3]float32
	for ch := range out {
		out[ch] = l.light[k][ch]*(1-f) + l.light[k+1][ch]*f
	}
	return out
}

// brightOn is how bright a place on a line is, between its samples.
func (l *across) brightOn(x float64) float64 {
	k := min(max(int(x), 0), len(l.bright)-2)
	f := min(max(x-float64(k), 0), 1)
	return float64(l.bright[k])*(1-f) + float64(l.bright[k+1])*f
}

// middle is that of a fall from 1 to 0 about a place, from its slopes: a
// shadow beside the cloth, which falls gently, does not count.
func middle(part func(float64) float64, at float64) float64 {
	slope := func(x float64) float64 { return part(x-1) - part(x+1) }
	peak, top := at, slope(at)
	for _, d := range []float64{-1.5, -1, -0.5, 0.5, 1, 1.5} {
		if s := slope(at + d); s > top {
			peak, top = at+d, s
		}
	}
	var sum, moment float64
	for _, way := range []float64{-0.5, 0.5} {
		for d := min(way, 0); math.Abs(d) <= 4; d += way {
			s := slope(peak + d)
			if s < 0.3*top {
				break
			}
			sum, moment = sum+s, moment+s*d
		}
	}
	if sum <= 0 {
		return at
	}
	return min(max(peak+moment/sum, at-1), at+1)
}

// lookAcross samples the picture n steps each way across an outline.
func (p *Picture) lookAcross(at, normal orb.Point, n int, f *field, g *ground, labels []uint8) across {
	a := across{light: make([][3]float32, 2*n+1), bright: make([]float32, 2*n+1), colour: make([]lab, 2*n+1)}
	var cloth, ground [3]float32
	var inside, outside float32
	by := float64(f.by)
	for k := range a.light {
		d := float64(k-n) * stepPx
		q := plane.Along(at, normal, d)
		a.light[k], a.bright[k] = p.linearAt(q[0], q[1]), p.brightAt(q[0], q[1])
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

// settle evens out what is seen from line to line, against noise, and what the
// ground and the cloth look like: the ground as the middle of many, for it changes slowly, and a print's colour
// at the edge may have been taken for it.
func settle(lines []across) {
	n := len(lines)
	over := func(at func(i int) [3]float32, i, reach int) [3]float32 {
		var sum [3]float32
		for d := -reach; d <= reach; d++ {
			add(&sum, at(round(i+d, n)))
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
	even, bright := make([][][3]float32, n), make([][]float32, n)
	for i := range lines {
		cloths[i] = over(func(i int) [3]float32 { return lines[i].lightC }, i, 1)
		even[i] = make([][3]float32, len(lines[i].light))
		for k := range even[i] {
			even[i][k] = over(func(i int) [3]float32 { return lines[i].light[k] }, i, 1)
		}
		bright[i] = make([]float32, len(lines[i].light))
		for k := range bright[i] {
			bright[i][k] = (lines[round(i-1, n)].bright[k] + lines[i].bright[k] + lines[round(i+1, n)].bright[k]) / 3
		}
	}
	for i := range lines {
		l := &lines[i]
		l.light, l.bright, l.lightG, l.lightC = even[i], bright[i], grounds[i], cloths[i]
		l.ground, l.cloth = toLab(l.lightG), toLab(l.lightC)
		l.off = make([]float64, len(l.light))
		for k, c := range l.light {
			l.colour[k], l.off[k] = toLab(c), l.offGround(c)
		}
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
			out[i] += w / sum * v[round(i+k-reach, n)]
		}
	}
	return out
}

// medians is the median of each value and of so many each side, going round.
func medians(v []float64, reach int) []float64 {
	n := len(v)
	out := make([]float64, n)
	window := make([]float64, 2*reach+1) // in order
	for k := range window {
		window[k] = v[round(k-reach, n)]
	}
	slices.Sort(window)
	for i := range out {
		out[i] = window[reach]
		gone, _ := slices.BinarySearch(window, v[round(i-reach, n)])
		window = slices.Delete(window, gone, gone+1)
		next := v[round(i+reach+1, n)]
		at, _ := slices.BinarySearch(window, next)
		window = slices.Insert(window, at, next)
	}
	return out
}

// outward is the unit vectors across a ring to its left: out of the cloth.
func outward(ring []orb.Point, reach int) []orb.Point {
	n := len(ring)
	out := make([]orb.Point, n)
	for i := range out {
		t := plane.Sub(ring[round(i+reach, n)], ring[round(i-reach, n)])
		if l := plane.Length(t); l > 0 {
			out[i] = orb.Point{t[1] / l, -t[0] / l}
		} else {
			out[i] = orb.Point{0, -1}
		}
	}
	return out
}
