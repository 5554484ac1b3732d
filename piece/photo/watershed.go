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
	lit, shaded := make([]float32, n), make([]float32, n)
	var labels []uint8
	for round := range 3 {
		if round > 0 {
			like := make([]bool, n)
			for k, l := range labels {
				like[k] = l == onGround && lit[k] < clearlyGround+1
			}
			like = farReaching(like, f.w, f.h)
			g.learn(f, func(k int) bool { return like[k] })
		}
		rows(f.h, func(y int) {
			for x := range f.w {
				k := y*f.w + x
				lit[k], shaded[k] = g.off(f.colour[k], f.light[k], float64(x), float64(y))
			}
		})
		labels = markers(f, g, lit, shaded, slope)
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

// markers is the points that are clearly ground or cloth.
func markers(f *field, g *ground, lit, shaded, slope []float32) []uint8 {
	n := f.w * f.h
	isGround, isCloth, isShade := make([]bool, n), make([]bool, n), make([]bool, n)
	for k := range n {
		isGround[k] = lit[k] < clearlyGround
		isCloth[k] = shaded[k] > clearlyCloth
		isShade[k] = !isCloth[k] && lit[k] > clearlyGround+1
	}
	out := make([]uint8, n)
	mark := func(m []bool, what uint8) {
		for k, is := range m {
			if is {
				out[k] = what
			}
		}
	}
	greys := clothInShade(f, g, isShade, farReaching(isGround, f.w, f.h), slope)
	mark(eroded(isGround, f.w, f.h, 1), onGround)
	mark(sizeable(eroded(isCloth, f.w, f.h, 1), f.w, f.h, 9), onCloth)
	mark(greys, onCloth)
	return out
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

// clothInShade is the points whose colour may be a shadow's, and whose edge
// against the ground is too sharp for one: cloth of the ground's own hue.
func clothInShade(f *field, g *ground, isShade, isGround []bool, slope []float32) []bool {
	const thin = 3 // a shadow beside a scrap is narrower than twice this
	core := eroded(isShade, f.w, f.h, thin)
	ids, count := components(core, f.w, f.h)
	type tally struct{ sharp, soft int }
	votes := make([]tally, count+1)
	directions := [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}
	const far = thin + 7
	for y := far; y < f.h-far; y++ {
		for x := far; x < f.w-far; x++ {
			k := y*f.w + x
			if ids[k] == 0 || core[k-1] && core[k+1] && core[k-f.w] && core[k+f.w] {
				continue
			}
			best, steepest := far+1, float32(0)
			for _, d := range directions {
				var top float32
				for s := 1; s < best; s++ {
					q := k + s*(d[1]*f.w+d[0])
					top = max(top, slope[q])
					if isGround[q] {
						best, steepest = s, top
						break
					}
				}
			}
			if best > far {
				continue // no ground near
			}
			gc, _ := g.at(float64(x), float64(y))
			if float64(steepest) > 0.2*f.colour[k].apart(gc) {
				votes[ids[k]].sharp++
			} else {
				votes[ids[k]].soft++
			}
		}
	}
	for k, id := range ids {
		core[k] = id > 0 && votes[id].sharp > 2*votes[id].soft && votes[id].sharp > 3
	}
	return core
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
	across, out := make([]bool, len(m)), make([]bool, len(m))
	line := func(from, to []bool, n, start, step int) {
		last := -1 << 30 // the last such point before
		for i := range n {
			if from[start+i*step] {
				last = i
			}
			to[start+i*step] = i-last <= reach
		}
		last = 1 << 30
		for i := n - 1; i >= 0; i-- {
			if from[start+i*step] {
				last = i
			}
			to[start+i*step] = to[start+i*step] || last-i <= reach
		}
	}
	rows(h, func(y int) { line(m, across, w, y*w, 1) })
	rows(w, func(x int) { line(across, out, h, x, w) })
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
