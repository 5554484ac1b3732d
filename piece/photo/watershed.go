package photo

// What a point of the field is.
const (
	unknown uint8 = iota
	onGround
	onCloth
)

// segment tells cloth from ground at each point of the field: what is clearly
// one or the other by its colour floods the rest in the order of how fast the
// colour changes there, so that both meet at the sharpest edge between them
// (marker-controlled watershed: F. Meyer, Color image segmentation, 1992). A
// soft shadow is flooded from the ground, for its edge is no edge.
func segment(f *field, g *ground) []uint8 {
	slope := f.slope()
	n := f.w * f.h
	lit, shaded, sure, paler := make([]float32, n), make([]float32, n), make([]float32, n), make([]float32, n)
	var labels []uint8
	var shadow []bool
	for round := range 3 {
		if round > 0 {
			like := make([]bool, n)
			for k, l := range labels {
				like[k] = l == onGround && (lit[k] < clearlyGround+1 && slope[k] < g.told() || shadow[k])
			}
			like = farReaching(like, f.w, f.h)
			g.learn(f, func(k int) bool { return like[k] })
		}
		rows(f.h, func(y int) {
			for x := range f.w {
				k := y*f.w + x
				lit[k], shaded[k], sure[k], paler[k] = g.off(f, x, y)
			}
		})
		labels, shadow = markers(f, g, lit, shaded, sure, paler, slope)
		flood(labels, slope, f.w, f.h)
		bridge(labels, shaded, f.w, f.h)
	}
	return labels
}

const (
	clearlyGround = 3   // standard deviations of the ground's texture
	clearlyCloth  = 6.5 // in any shade
	hardlyGround  = 2.5 // in any shade, within a print
)

// No shadow makes the ground lighter. What is lighter than it is lit, by more than a few
// standard deviations at each of nine points side by side, is cloth, even where a JPEG has
// lost so much that one point by itself would say nothing.
const (
	clearlyPaler = 4.0 // CIELAB units, beyond so many standard deviations
	palerSpreads = 1.5
	halo         = 0.15 // of how far the lightness of what is near by stands off the ground's: sharpening may make the ground lighter by that
)

// A JPEG's blocks of colour, 16 points wide, ring beside an edge: what differs
// from the ground by less than this part of what lies so near says nothing.
const (
	ringing = 16 // points of the picture
	rung    = 0.2
)

// markers is the points that are clearly ground or cloth, and those of the ground
// that lie in a shadow. What a picture's coding may have lost makes nothing clearly
// cloth, and nothing clearly ground.
func markers(f *field, g *ground, lit, shaded, sure, paler, slope []float32) (labels []uint8, shadow []bool) {
	n := f.w * f.h
	isGround, isCloth, isPale, isShade, isLit := make([]bool, n), make([]bool, n), make([]bool, n), make([]bool, n), make([]bool, n)
	evenLit, evenShaded := averaged(lit, f.w, f.h, 2), averaged(shaded, f.w, f.h, 2)
	far := f.highest(lit, (ringing+f.by-1)/f.by)
	stands := make([]float32, n)
	for k, v := range paler {
		stands[k] = abs32(v)
	}
	light := f.highest(stands, (ringing/2+f.by-1)/f.by)
	for k := range n {
		rings := lit[k] < rung*far.of(k)
		isGround[k] = lit[k] < clearlyGround && sure[k] < clearlyCloth
		isCloth[k] = shaded[k] > clearlyCloth && !rings
		isPale[k] = paler[k] > clearlyPaler && paler[k] > halo*light.of(k) && paler[k] > clearlyPaler+palerSpreads*sqrt32(g.spread[0]*g.spread[0]+f.lost(k%f.w, k/f.w)[0])
		isLit[k] = evenLit[k] < clearlyGround+0.5
		isShade[k] = !isLit[k] && evenShaded[k] < clearlyCloth+1 && !rings
	}
	out := make([]uint8, n)
	mark := func(m []bool, what uint8) {
		for k, is := range m {
			if is {
				out[k] = what
			}
		}
	}
	greys, shadow := shades(f, g, isShade, farReaching(isLit, f.w, f.h), slope)
	mark(eroded(isGround, f.w, f.h, 1), onGround)
	mark(sizeable(eroded(isCloth, f.w, f.h, 1), f.w, f.h, 9), onCloth)
	mark(eroded(isPale, f.w, f.h, 1), onCloth)
	mark(greys, onCloth)
	mark(shadow, onGround)
	return out, shadow
}

// bridge gives narrow stripes of a print that the ground has flooded back to
// the cloth on both sides of them, where their colour is not that of the ground
// in any shade.
func bridge(labels []uint8, shaded []float32, w, h int) {
	const reach = 6
	cloth := make([]bool, len(labels))
	for k, l := range labels {
		cloth[k] = l == onCloth
	}
	for k, is := range eroded(dilated(cloth, w, h, reach), w, h, reach) {
		if is && shaded[k] > hardlyGround {
			labels[k] = onCloth
		}
	}
}

// shades parts what has the ground's hue but not its light into cloth and ground
// in shadow: cloth ends at a sharp edge, a shadow fades. What lies within an edge
// is judged as one, first beside what is surely ground, and then beside what was
// judged to be.
func shades(f *field, g *ground, isShade, isGround []bool, slope []float32) (cloth, ground []bool) {
	const thin = 3 // a shadow beside a scrap is narrower than twice this
	told := g.told()
	even := make([]bool, len(isShade))
	for k, is := range isShade {
		even[k] = is && slope[k] < told/2
	}
	core := eroded(even, f.w, f.h, thin)
	ids, count := components(core, f.w, f.h)
	type tally struct{ sharp, soft int }
	const (
		open = iota
		isCloth
		isShadow
	)
	is := make([]uint8, count+1)
	directions := [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}
	const far = thin + 7
	beside := append([]bool{}, isGround...)
	for range 4 {
		votes := make([]tally, count+1)
		for y := far + 2; y < f.h-far-2; y++ {
			for x := far + 2; x < f.w-far-2; x++ {
				k := y*f.w + x
				if ids[k] == 0 || is[ids[k]] != open || core[k-1] && core[k+1] && core[k-f.w] && core[k+f.w] {
					continue
				}
				best, way := far+1, 0
				for _, d := range directions {
					step := d[1]*f.w + d[0]
					for s := 1; s < best; s++ {
						if q := k + s*step; beside[q] && ids[q] != ids[k] {
							best, way = s, step
							break
						}
					}
				}
				if best > far {
					continue // no ground near
				}
				switch off, steep := f.fall(k, way, best); {
				case off < float64(told) || !steep:
					votes[ids[k]].soft++
				case off > hardlyTold:
					votes[ids[k]].sharp++
				}
			}
		}
		more := false
		for id, v := range votes {
			switch {
			case v.sharp > 2*v.soft && v.sharp > 3:
				is[id] = isCloth
			case v.soft > 2*v.sharp && v.soft > 3:
				is[id], more = isShadow, true
			}
		}
		if !more {
			break
		}
		for k, id := range ids {
			beside[k] = beside[k] || is[id] == isShadow
		}
	}
	cloth, ground = make([]bool, len(ids)), make([]bool, len(ids))
	for k, id := range ids {
		cloth[k], ground[k] = is[id] == isCloth, is[id] == isShadow
	}
	return cloth, ground
}

// fall is how much the colour changes so many steps from a point on, and whether
// it does at an edge and not little by little.
func (f *field) fall(k, step, steps int) (whole float64, steep bool) {
	const wide = 3 // steps that an edge is blurred over
	colours := make([]lab, 0, 16)
	for s := -1; s <= steps+1; s++ {
		var sum lab
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				for ch, v := range f.colour[k+s*step+dy*f.w+dx] {
					sum[ch] += v / 9
				}
			}
		}
		colours = append(colours, sum)
	}
	whole = colours[0].apart(colours[len(colours)-1])
	most := 0.0
	for i := range len(colours) - wide {
		most = max(most, colours[i].apart(colours[i+wide]))
	}
	return whole, most > 0.45*whole
}

// told is the CIELAB units by which the mean colours of two small places differ
// that are not both ground in one light.
func (g *ground) told() float32 {
	return max(4, 2.5*sqrt32(g.spread[0]*g.spread[0]+g.spread[1]*g.spread[1]+g.spread[2]*g.spread[2]))
}

// flood grows the marks over all points, those where the colour changes least
// first.
func flood(labels []uint8, slope []float32, w, h int) {
	const levels = 512
	var queue [levels][]int32
	level := func(k int) int { return min(int(slope[k]*8), levels-1) }
	push := func(k, least int) int {
		l := max(level(k), least)
		queue[l] = append(queue[l], int32(k))
		return l
	}
	queued := make([]bool, len(labels))
	neighbours := func(k int, do func(q int)) {
		x := k % w
		if x > 0 {
			do(k - 1)
		}
		if x < w-1 {
			do(k + 1)
		}
		if k >= w {
			do(k - w)
		}
		if k < w*(h-1) {
			do(k + w)
		}
	}
	for k, l := range labels {
		if l == unknown {
			continue
		}
		neighbours(k, func(q int) {
			if labels[q] == unknown && !queued[q] {
				queued[q] = true
				push(q, 0)
			}
		})
	}
	for l := 0; l < levels; l++ {
		for i := 0; i < len(queue[l]); i++ {
			k := int(queue[l][i])
			// Of the neighbours that are known the one in the gentlest place
			// gives the mark; in a tie the ground.
			label, best := unknown, float32(1e9)
			neighbours(k, func(q int) {
				if labels[q] != unknown && (slope[q] < best || slope[q] == best && labels[q] == onGround) {
					label, best = labels[q], slope[q]
				}
			})
			labels[k] = label
			neighbours(k, func(q int) {
				if labels[q] == unknown && !queued[q] {
					queued[q] = true
					push(q, l)
				}
			})
		}
		queue[l] = nil
	}
}

// heights is the highest of values about each point, by squares of points.
type heights struct {
	most      []float32
	w, across int
}

const heightSide = 4

func (h *heights) of(k int) float32 {
	return h.most[k/h.w/heightSide*h.across+k%h.w/heightSide]
}

// highest is the highest of the values that lie so far from each point.
func (f *field) highest(v []float32, reach int) *heights {
	out := &heights{w: f.w, across: (f.w + heightSide - 1) / heightSide}
	down := (f.h + heightSide - 1) / heightSide
	squares := make([]float32, out.across*down)
	rows(down, func(sy int) {
		for y := sy * heightSide; y < min(f.h, (sy+1)*heightSide); y++ {
			for x := range f.w {
				s := &squares[sy*out.across+x/heightSide]
				*s = max(*s, v[y*f.w+x])
			}
		}
	})
	n := max(1, reach/heightSide)
	pass := func(from []float32, m, lines, step, line int) []float32 {
		to := make([]float32, len(from))
		rows(lines, func(l int) {
			for i := range m {
				for j := max(0, i-n); j <= min(m-1, i+n); j++ {
					to[l*line+i*step] = max(to[l*line+i*step], from[l*line+j*step])
				}
			}
		})
		return to
	}
	out.most = pass(pass(squares, out.across, down, 1, out.across), down, out.across, out.across, 1)
	return out
}

// averaged is the mean of the values in a square that reaches so far each way.
func averaged(v []float32, w, h, reach int) []float32 {
	across, out := make([]float32, len(v)), make([]float32, len(v))
	line := func(from, to []float32, n, start, step int) {
		var sum float32
		count := 0
		for i := -reach; i < n; i++ {
			if in := i + reach; in < n {
				sum += from[start+in*step]
				count++
			}
			if gone := i - reach - 1; gone >= 0 {
				sum -= from[start+gone*step]
				count--
			}
			if i >= 0 {
				to[start+i*step] = sum / float32(count)
			}
		}
	}
	rows(h, func(y int) { line(v, across, w, y*w, 1) })
	rows(w, func(x int) { line(across, out, h, x, w) })
	return out
}

// eroded is the points that have only such points within a square that reaches
// so far each way.
func eroded(m []bool, w, h, reach int) []bool { return opposite(dilated(opposite(m), w, h, reach)) }

func opposite(m []bool) []bool {
	out := make([]bool, len(m))
	for k, is := range m {
		out[k] = !is
	}
	return out
}

// dilated is the points that have such a point within a square that reaches so
// far each way.
func dilated(m []bool, w, h, reach int) []bool {
	const never = 1 << 30
	across, out := make([]bool, len(m)), make([]bool, len(m))
	rows(h, func(y int) {
		from, to := m[y*w:(y+1)*w], across[y*w:(y+1)*w]
		last := -never // the last such point before
		for i, is := range from {
			if is {
				last = i
			}
			to[i] = i-last <= reach
		}
		last = never
		for i := w - 1; i >= 0; i-- {
			if from[i] {
				last = i
			}
			to[i] = to[i] || last-i <= reach
		}
	})
	const band = 32 // columns that are gone down side by side, as they lie in memory
	rows((w+band-1)/band, func(b int) {
		left := b * band
		last := make([]int, min(band, w-left))
		for x := range last {
			last[x] = -never
		}
		for y := range h {
			for x := range last {
				k := y*w + left + x
				if across[k] {
					last[x] = y
				}
				out[k] = y-last[x] <= reach
			}
		}
		for x := range last {
			last[x] = never
		}
		for y := h - 1; y >= 0; y-- {
			for x := range last {
				k := y*w + left + x
				if across[k] {
					last[x] = y
				}
				out[k] = out[k] || last[x]-y <= reach
			}
		}
	})
	return out
}

// sizeable is the points in patches of at least so many.
func sizeable(m []bool, w, h, least int) []bool {
	ids, count := components(m, w, h)
	size := make([]int, count+1)
	for _, id := range ids {
		size[id]++
	}
	out := make([]bool, len(m))
	for k, id := range ids {
		out[k] = id > 0 && size[id] >= least
	}
	return out
}

// farReaching is the points of the largest patch, and of those that reach the
// picture's rim. Of what has the ground's colour as it is elsewhere this is the
// ground: a white sheet in the shade may have it too.
func farReaching(m []bool, w, h int) []bool {
	ids, count := components(m, w, h)
	size, rim := make([]int, count+1), make([]bool, count+1)
	largest := int32(0)
	for k, id := range ids {
		if id == 0 {
			continue
		}
		if size[id]++; size[id] > size[largest] {
			largest = id
		}
		x, y := k%w, k/w
		rim[id] = rim[id] || x == 0 || y == 0 || x == w-1 || y == h-1
	}
	rim[largest] = largest > 0
	out := make([]bool, len(m))
	for k, id := range ids {
		out[k] = rim[id]
	}
	return out
}

// components numbers the patches of points that hang together by their sides,
// from 1 on, in reading order.
func components(m []bool, w, h int) (ids []int32, count int32) {
	ids = make([]int32, len(m))
	var stack []int
	for start, is := range m {
		if !is || ids[start] != 0 {
			continue
		}
		count++
		ids[start] = count
		stack = append(stack[:0], start)
		for len(stack) > 0 {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x := k % w
			for _, q := range [4]int{k - 1, k + 1, k - w, k + w} {
				if q < 0 || q >= len(m) || q == k-1 && x == 0 || q == k+1 && x == w-1 || !m[q] || ids[q] != 0 {
					continue
				}
				ids[q] = count
				stack = append(stack, q)
			}
		}
	}
	return ids, count
}
