package photo

// cut tells cloth from ground as segment does, by the least cut of a graph (Y.
// Boykov, M.-P. Jolly, Interactive graph cuts for optimal boundary and region
// segmentation of objects in n-d images, 2001) over the same model of the
// ground: what watershed is measured against. Weight is what a boundary between
// two points of one colour costs; even is how far from the ground's colour, in
// standard deviations, a point is as likely cloth.
func cut(f *field, g *ground, weight, even float32) []uint8 {
	n := f.w * f.h
	labels := make([]uint8, n)
	for round := range 3 {
		if round > 0 {
			g.learn(f, func(k int) bool { return labels[k] == onGround })
		}
		graph := newFlow(f.w, f.h)
		for y := range f.h {
			for x := range f.w {
				k := y*f.w + x
				_, shaded, _, _ := g.off(f, x, y)
				// The log-likelihoods: of ground, a normal spread; of cloth, that
				// of no colour in particular.
				graph.terminal(k, min(shaded*shaded, 4*even*even)/2-even*even/2)
				for _, d := range [4][2]int{{1, 0}, {0, 1}, {1, 1}, {-1, 1}} {
					if x+d[0] < 0 || x+d[0] >= f.w || y+d[1] >= f.h {
						continue
					}
					q := k + d[1]*f.w + d[0]
					apart := g.apart(f.colour[k], f.colour[q])
					w := weight / (1 + apart*apart/4)
					if d[0] != 0 && d[1] != 0 {
						w /= 1.4142135
					}
					graph.join(k, q, w)
				}
			}
		}
		for k, cloth := range graph.cut() {
			labels[k] = onGround
			if cloth {
				labels[k] = onCloth
			}
		}
	}
	return labels
}

// flow is the largest flow through a grid of points, each joined to its eight
// neighbours, from a source to a sink, with two trees that grow towards each
// other and are mended where a path has filled (Y. Boykov, V. Kolmogorov, An
// experimental comparison of min-cut/max-flow algorithms for energy minimization
// in vision, 2004).
type flow struct {
	w, h   int
	reach  [8]int       // from a point to its neighbours
	room   [8][]float32 // of the edge to that neighbour
	spare  []float32    // of the edge from the source, or, below 0, to the sink
	tree   []int8       // 1 is the source's, -1 the sink's
	parent []int8       // the edge to it; atRoot or orphan
	active []int32
	listed []bool
	stamp  []int32 // when the point was last known to hang on its root
	clock  int32
}

const (
	atRoot int8 = -1
	orphan int8 = -2
)

func newFlow(w, h int) *flow {
	n := w * h
	f := &flow{w: w, h: h, reach: [8]int{1, w, w + 1, w - 1, -1, -w, -w - 1, -w + 1}, spare: make([]float32, n), tree: make([]int8, n), parent: make([]int8, n), listed: make([]bool, n), stamp: make([]int32, n)}
	for d := range f.room {
		f.room[d] = make([]float32, n)
	}
	return f
}

// back is the edge the other way.
func back(d int8) int8 { return d ^ 4 }

func (f *flow) terminal(k int, v float32) { f.spare[k] = v }

func (f *flow) join(a, b int, room float32) {
	for d, r := range f.reach[:4] {
		if b == a+r {
			f.room[d][a], f.room[back(int8(d))][b] = room, room
			return
		}
	}
}

func (f *flow) wake(k int32) {
	if !f.listed[k] {
		f.listed[k] = true
		f.active = append(f.active, k)
	}
}

// open is the room from a point of a tree to its neighbour: the way the flow
// runs there.
func (f *flow) open(k int32, d int8, tree int8) float32 {
	if tree > 0 {
		return f.room[d][k]
	}
	return f.room[back(d)][int(k)+f.reach[d]]
}

func (f *flow) cut() []bool {
	for k, v := range f.spare {
		switch {
		case v > 0:
			f.tree[k], f.parent[k] = 1, atRoot
			f.wake(int32(k))
		case v < 0:
			f.tree[k], f.parent[k] = -1, atRoot
			f.wake(int32(k))
		}
	}
	for len(f.active) > 0 {
		k := f.active[0]
		if f.tree[k] == 0 {
			f.active, f.listed[k] = f.active[1:], false
			continue
		}
		from, d, met := f.grow(k)
		if !met {
			f.active, f.listed[k] = f.active[1:], false
			continue
		}
		f.clock++
		f.adopt(f.augment(from, d))
	}
	out := make([]bool, len(f.tree))
	for k, t := range f.tree {
		out[k] = t > 0
	}
	return out
}

// inGrid is whether a point's neighbour is one.
func (f *flow) inGrid(k int32, d int8) bool {
	x, y := int(k)%f.w, int(k)/f.w
	q := int(k) + f.reach[d]
	if q < 0 || q >= len(f.tree) {
		return false
	}
	dx, dy := q%f.w-x, q/f.w-y
	return dx >= -1 && dx <= 1 && dy >= -1 && dy <= 1
}

// grow lets a tree grow from a point, until it meets the other tree: by an edge
// from a point of the source's tree.
func (f *flow) grow(k int32) (from int32, d int8, met bool) {
	for d := range int8(8) {
		if !f.inGrid(k, d) || f.open(k, d, f.tree[k]) <= 0 {
			continue
		}
		q := k + int32(f.reach[d])
		switch f.tree[q] {
		case 0:
			f.tree[q], f.parent[q], f.stamp[q] = f.tree[k], back(d), f.stamp[k]
			f.wake(q)
		case -f.tree[k]:
			if f.tree[k] > 0 {
				return k, d, true
			}
			return q, back(d), true
		}
	}
	return 0, 0, false
}

// augment sends as much as there is room for along the path over an edge, and
// gives the points that it cut off from their trees.
func (f *flow) augment(from int32, d int8) (orphans []int32) {
	to := from + int32(f.reach[d])
	least := f.room[d][from]
	a := from
	for ; f.parent[a] != atRoot; a += int32(f.reach[f.parent[a]]) {
		p := f.parent[a]
		least = min(least, f.room[back(p)][int(a)+f.reach[p]])
	}
	least = min(least, f.spare[a])
	b := to
	for ; f.parent[b] != atRoot; b += int32(f.reach[f.parent[b]]) {
		least = min(least, f.room[f.parent[b]][b])
	}
	least = min(least, -f.spare[b])
	f.room[d][from] -= least
	f.room[back(d)][to] += least
	for a = from; f.parent[a] != atRoot; {
		p := f.parent[a]
		up := a + int32(f.reach[p])
		f.room[back(p)][up] -= least
		f.room[p][a] += least
		if f.room[back(p)][up] <= 0 {
			f.parent[a] = orphan
			orphans = append(orphans, a)
		}
		a = up
	}
	if f.spare[a] -= least; f.spare[a] <= 0 {
		f.parent[a] = orphan
		orphans = append(orphans, a)
	}
	for b = to; f.parent[b] != atRoot; {
		p := f.parent[b]
		up := b + int32(f.reach[p])
		f.room[p][b] -= least
		f.room[back(p)][up] += least
		if f.room[p][b] <= 0 {
			f.parent[b] = orphan
			orphans = append(orphans, b)
		}
		b = up
	}
	if f.spare[b] += least; f.spare[b] >= 0 {
		f.parent[b] = orphan
		orphans = append(orphans, b)
	}
	return orphans
}

// adopt finds each orphan a new parent in its tree, or lets it go.
func (f *flow) adopt(orphans []int32) {
	for len(orphans) > 0 {
		k := orphans[len(orphans)-1]
		orphans = orphans[:len(orphans)-1]
		tree := f.tree[k]
		found := false
		for d := range int8(8) {
			if !f.inGrid(k, d) {
				continue
			}
			q := k + int32(f.reach[d])
			// The edge runs from the parent to k in the source's tree, and from k
			// to the parent in the sink's.
			if f.tree[q] == tree && f.open(q, back(d), tree) > 0 && f.rooted(q) {
				f.parent[k], f.stamp[k], found = d, f.clock, true
				break
			}
		}
		if found {
			continue
		}
		for d := range int8(8) {
			if !f.inGrid(k, d) {
				continue
			}
			q := k + int32(f.reach[d])
			if f.tree[q] != tree {
				continue
			}
			if f.open(q, back(d), tree) > 0 {
				f.wake(q)
			}
			if f.parent[q] == back(d) {
				f.parent[q] = orphan
				orphans = append(orphans, q)
			}
		}
		f.tree[k] = 0
	}
}

// rooted is whether a point hangs on its root, and not on an orphan.
func (f *flow) rooted(k int32) bool {
	a := k
	for f.stamp[a] != f.clock {
		if f.parent[a] == orphan {
			return false
		}
		if f.parent[a] == atRoot {
			break
		}
		a += int32(f.reach[f.parent[a]])
	}
	for b := k; b != a; b += int32(f.reach[f.parent[b]]) {
		f.stamp[b] = f.clock
	}
	f.stamp[a] = f.clock
	return true
}

// apart is how far two colours are apart, in standard deviations of the ground.
func (g *ground) apart(a, b lab) (sum float32) {
	for ch := range a {
		d := (a[ch] - b[ch]) / g.spread[ch]
		sum += d * d
	}
	return sqrt32(sum)
}
