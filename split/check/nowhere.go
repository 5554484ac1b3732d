package check

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Where a part lies on a scrap is a pose: a turn and a shift. That it lies nowhere
// is proved by branch and bound over boxes of poses (A. H. Land and A. G. Doig,
// "An automatic method of solving discrete programming problems", 1960). Some
// points of the part are followed. In a box of poses each of them stays near to
// where the box's middle puts it; if one of them is further off the cloth than
// that, no pose of the box will do. Else the box is halved.

// poseBox is all poses within half of a middle one.
type poseBox struct {
	deg, degHalf float64
	at, half     point // of the points' middle, on the scrap
	flip         bool  // turned over
	worst        int   // the point that was furthest off in the box it was halved from
}

// follow is discs of a part, seen from their middle. Most are points: discs of no width.
type follow struct {
	middle point
	discs  []disc
	away   []float64 // each from the middle
	most   float64
	large  int // of them, which come first
}

// disc is all that is no further from a point. A wide one in the midst of a part tells from
// further off that the part is off the cloth, or meets another, and is turned by less.
type disc struct {
	at point
	mm float64
}

// following follows discs within a part, and points, some of all places first: every 32nd,
// then those between.
func following(large []disc, points []point) *follow {
	b := boxOf(points...)
	f := &follow{middle: between(b.lo, b.hi, 0.5), large: len(large)}
	order := large
	for stride := mostStride; stride > 0; stride /= 2 {
		for i := 0; i < len(points); i += stride {
			if stride == mostStride || i%(2*stride) != 0 {
				order = append(order, disc{points[i], 0})
			}
		}
	}
	for _, d := range order {
		d.at = sub(d.at, f.middle)
		f.discs = append(f.discs, d)
		f.away = append(f.away, math.Hypot(d.at[0], d.at[1]))
		f.most = math.Max(f.most, f.away[len(f.away)-1])
	}
	return f
}

// mostStride is a power of two.
const mostStride = 32

// enough is how many of the discs say nearly as much as all, where they move that
// much: then points need not lie closer to each other.
func (f *follow) enough(moves float64) int {
	stride := 1
	for stride < mostStride && float64(2*stride)*stepMM <= moves {
		stride *= 2
	}
	return f.large + (len(f.discs)-f.large+stride-1)/stride
}

// discsWithin are some large discs within rings, those first that are the largest.
func discsWithin(rings [][]point) (out []disc) {
	const (
		squares  = 28 // along the longer side of all
		least    = 8.0
		most     = 24
		distinct = 0.45 // of the larger one's radius, from middle to middle
	)
	var all []point
	for _, ring := range rings {
		all = append(all, ring...)
	}
	if len(all) == 0 {
		return nil
	}
	g, b := &ground{rings: rings}, boxOf(all...)
	step := math.Max(b.hi[0]-b.lo[0], b.hi[1]-b.lo[1]) / squares
	var found []disc
	for x := b.lo[0] + step/2; x < b.hi[0]; x += step {
		for y := b.lo[1] + step/2; y < b.hi[1]; y += step {
			if mm := g.deepOfAll(point{x, y}) - simpleMM; mm > least {
				found = append(found, disc{point{x, y}, mm})
			}
		}
	}
	slices.SortStableFunc(found, func(c, d disc) int { return cmp.Compare(d.mm, c.mm) })
	for _, d := range found {
		if len(out) < most && !slices.ContainsFunc(out, func(o disc) bool { return distance(o.at, d.at) < distinct*o.mm }) {
			out = append(out, d)
		}
	}
	return out
}

// moves is how far a point so far from the middle gets within a box.
func (b *poseBox) moves(away float64) float64 { return b.swing().moves(away) }

// swing is how far points get within a box: by its turn, for each mm from the middle, and
// by its shift.
type swing struct{ turn, shift float64 }

func (b *poseBox) swing() swing {
	return swing{2 * math.Sin(math.Min(90, b.degHalf/2)*math.Pi/180), math.Hypot(b.half[0], b.half[1])}
}

func (s swing) moves(away float64) float64 { return away*s.turn + s.shift }

// matrix takes points seen from the middle to the scrap, at a box's middle pose.
func (b *poseBox) matrix() (m [4]float64) {
	sin, cos := math.Sincos(b.deg * math.Pi / 180)
	if b.flip {
		return [4]float64{-cos, -sin, -sin, cos}
	}
	return [4]float64{cos, sin, -sin, cos}
}

func put(m [4]float64, at, q point) point {
	return point{m[0]*q[0] + m[2]*q[1] + at[0], m[1]*q[0] + m[3]*q[1] + at[1]}
}

// back is the opposite of put.
func back(m [4]float64, at, p point) point {
	q := sub(p, at)
	return point{m[0]*q[0] + m[1]*q[1], m[2]*q[0] + m[3]*q[1]}
}

// halves are the two halves of a box, along what moves the points most.
func (b poseBox) halves(most float64) [2]poseBox {
	out := [2]poseBox{b, b}
	turn := 2 * most * math.Sin(math.Min(90, b.degHalf/2)*math.Pi/180)
	switch {
	case turn >= b.half[0] && turn >= b.half[1]:
		for k := range out {
			out[k].degHalf /= 2
			out[k].deg += out[k].degHalf * float64(2*k-1)
		}
	default:
		x := 0
		if b.half[1] > b.half[0] {
			x = 1
		}
		for k := range out {
			out[k].half[x] /= 2
			out[k].at[x] += out[k].half[x] * float64(2*k-1)
		}
	}
	return out
}

// ground is a scrap's lines, to ask how deep in the cloth a point lies; or a part's
// line, to ask how deep in the part.
type ground struct {
	rings [][]point
	box   box
	step  float64
	wide  int
	cells []cell // squares of step
}

// cell is what is known of a square: the depth at its middle, and the lines that may be
// the nearest to a point in it.
type cell struct {
	deep float64
	near [][2]point
}

func groundOf(s *scrapProof) *ground {
	rings := [][]point{s.outline.ring}
	for i := range s.holes {
		rings = append(rings, s.holes[i].ring)
	}
	return groundIn(rings, s.outline.box)
}

// groundIn is of rings within a box.
func groundIn(rings [][]point, b box) *ground {
	const squares = 64
	g := &ground{rings: rings, box: b, step: math.Max(b.hi[0]-b.lo[0], b.hi[1]-b.lo[1]) / squares, wide: squares}
	g.cells = make([]cell, squares*squares)
	for i := range g.cells {
		c, mid := &g.cells[i], g.middle(i%squares, i/squares)
		c.deep = g.deepOfAll(mid)
		// A point in the square lies no further from the middle than half its diagonal,
		// and from what is nearest to the middle no further than both.
		reach := math.Abs(c.deep) + 1.01*math.Sqrt2*g.step
		for _, ring := range rings {
			a := ring[len(ring)-1]
			for _, b := range ring {
				if _, d := nearest(mid, a, b); d <= reach {
					c.near = append(c.near, [2]point{a, b})
				}
				a = b
			}
		}
	}
	return g
}

func (g *ground) middle(i, j int) point {
	return point{g.box.lo[0] + (float64(i)+0.5)*g.step, g.box.lo[1] + (float64(j)+0.5)*g.step}
}

// cellOf is the square that a point lies in, or nil where it lies in none.
func (g *ground) cellOf(p point) (c *cell, middle point) {
	i, j := int((p[0]-g.box.lo[0])/g.step), int((p[1]-g.box.lo[1])/g.step)
	if p[0] < g.box.lo[0] || p[1] < g.box.lo[1] || i >= g.wide || j >= g.wide {
		return nil, point{}
	}
	return &g.cells[j*g.wide+i], g.middle(i, j)
}

// deep is how far a point is within the cloth; below 0 how far it is off it.
func (g *ground) deep(p point) float64 {
	c, _ := g.cellOf(p)
	if c == nil {
		return g.deepOfAll(p)
	}
	least := math.Inf(1)
	for _, l := range c.near {
		least = math.Min(least, apartSquared(l[0], l[1], p))
	}
	in := c.deep > 0
	if math.Abs(c.deep) < g.step { // a line may run between the point and the middle
		in = false
		for _, ring := range g.rings {
			in = in != within(ring, p)
		}
	}
	if in {
		return math.Sqrt(least)
	}
	return -math.Sqrt(least)
}

// deepOfAll is the same, by all lines.
func (g *ground) deepOfAll(p point) float64 {
	least, in := math.Inf(1), false
	for _, ring := range g.rings {
		a := ring[len(ring)-1]
		for _, b := range ring {
			least = math.Min(least, apartSquared(a, b, p))
			a = b
		}
		in = in != within(ring, p)
	}
	if in {
		return math.Sqrt(least)
	}
	return -math.Sqrt(least)
}

// apartSquared is the square of the distance of a point from a line between two others.
func apartSquared(a, b, p point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	px, py := p[0]-a[0], p[1]-a[1]
	if l := dx*dx + dy*dy; l > 0 {
		t := math.Max(0, math.Min(1, (px*dx+py*dy)/l))
		px, py = px-t*dx, py-t*dy
	}
	return px*px + py*py
}

// atMost is no less than how deep a point lies, and quick.
func (g *ground) atMost(p point) float64 {
	c, middle := g.cellOf(p)
	if c == nil {
		return -g.box.apart(box{p, p})
	}
	return c.deep + distance(p, middle)
}

// neighbour is a part that lies on the scrap somewhere in a box of poses.
type neighbour struct {
	ground  *ground // of its rings, seen from the middle, and as far round it as counts
	at      point   // its pose in the middle of the box
	matrix  [4]float64
	swing   swing
	apartMM float64 // the least distance from it
	deepMM  float64 // no point is deeper in it
}

// lies puts it in a box of poses.
func (n *neighbour) lies(b *poseBox) { n.at, n.matrix, n.swing = b.at, b.matrix(), b.swing() }

// meets is by how much a disc is too close to the neighbour, at every pose; not even nearly
// where it is -Inf.
func (n *neighbour) meets(d disc, at point, moves float64) float64 {
	reach := n.apartMM + d.mm
	if reach+n.deepMM <= moves {
		return math.Inf(-1)
	}
	q := back(n.matrix, n.at, at)
	c, middle := n.ground.cellOf(q)
	if c == nil {
		return math.Inf(-1)
	}
	if moves += n.swing.moves(math.Hypot(q[0], q[1])); reach+c.deep+distance(q, middle) <= moves {
		return math.Inf(-1)
	}
	return reach + n.ground.deep(q) - moves
}

// placing proves that a part lies nowhere on a scrap.
type placing struct {
	part   *follow
	deepMM float64 // how deep its points must lie
	cloth  *ground
	steps  *int // that are left
}

// smallestMM is how far points move in a box that is not halved any more.
const smallestMM = 0.25

// off is by how much a disc at a place is off the cloth, at least. It is rough where the
// disc moves so much that no more is worth while.
func (q *placing) off(d disc, at point, moves float64) (mm float64, rough bool) {
	*q.steps--
	deep := q.deepMM + d.mm
	if worst := deep - q.cloth.atMost(at); worst > moves || moves > q.cloth.step {
		return worst, worst <= moves
	}
	return deep - q.cloth.deep(at), false
}

// closed reports whether no pose of a box will do. Fits says that the middle one
// may. It remembers the disc that is worst.
func (q *placing) closed(b *poseBox) (closed, fits bool) {
	m := b.matrix()
	most, mostOff, anyRough := math.Inf(-1), math.Inf(-1), false
	first := b.worst
	swing := b.swing()
	n := q.part.enough(swing.moves(q.part.most))
	for k := -1; k < n; k++ {
		i := k
		if k < 0 { // the worst one of the larger box first
			i = first
		}
		moves, d := swing.moves(q.part.away[i]), q.part.discs[i]
		off, rough := q.off(d, put(m, b.at, d.at), moves)
		if off > moves {
			b.worst = i
			return true, false
		}
		if off-moves > most {
			most, b.worst = off-moves, i
		}
		mostOff, anyRough = math.Max(mostOff, off), anyRough || rough
	}
	return false, mostOff <= 0 && !anyRough && n == len(q.part.discs)
}

// root is the box of all poses about a turn at which the discs' own box is within
// the cloth's; false where there is none.
func (q *placing) root(deg, toleranceDeg float64, flip bool) (poseBox, bool) {
	b := poseBox{deg: deg, degHalf: toleranceDeg, flip: flip}
	m := b.matrix()
	lo, hi, swing := point{math.Inf(-1), math.Inf(-1)}, point{math.Inf(1), math.Inf(1)}, b.swing()
	for i, d := range q.part.discs {
		deep, at := q.deepMM+d.mm-swing.moves(q.part.away[i]), put(m, point{}, d.at)
		for x := range 2 {
			lo[x] = math.Max(lo[x], q.cloth.box.lo[x]+deep-at[x])
			hi[x] = math.Min(hi[x], q.cloth.box.hi[x]-deep-at[x])
		}
	}
	if lo[0] > hi[0] || lo[1] > hi[1] {
		return b, false
	}
	b.at, b.half = between(lo, hi, 0.5), point{(hi[0] - lo[0]) / 2, (hi[1] - lo[1]) / 2}
	return b, true
}

// nowhere reports whether no pose of the boxes will do. It says no as well where
// the steps or the time run out.
func (q *placing) nowhere(ctx context.Context, roots []poseBox) bool {
	stack := append([]poseBox{}, roots...)
	for len(stack) > 0 {
		b := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if *q.steps < 0 || ctx.Err() != nil {
			return false
		}
		closed, fits := q.closed(&b)
		if closed {
			continue
		}
		if fits || b.moves(q.part.most) < smallestMM {
			return false
		}
		halves := b.halves(q.part.most)
		stack = append(stack, halves[:]...)
	}
	return true
}
