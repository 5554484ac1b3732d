package check

import (
	"context"
	"math"
	"slices"
)

// That some parts do not all lie on a scrap is proved by boxes of poses of each. Of
// each part by itself the boxes are a tree, halved where it is asked, so that each is
// looked at once, whatever the poses of the others. Boxes of some parts are held, and
// of each other part all those are kept that are left beside them. Where none is left, no
// poses in the boxes held will do; else one of those is halved (A. K. Mackworth,
// "Consistency in networks of relations", 1977).

// posed is a box of poses of a part by itself, and what is known of it.
type posed struct {
	poseBox
	known, closed bool
	moves         float64 // all that its discs do, at most
	halves        *[2]posed
}

// open reports whether a part may have a pose of the box, by itself.
func (q *placing) open(b *posed) bool {
	if !b.known {
		b.known, b.moves = true, b.poseBox.moves(q.part.most)
		b.closed, _ = q.closed(&b.poseBox)
	}
	return !b.closed
}

// halved are the two halves of a box.
func (q *placing) halved(b *posed) *[2]posed {
	if b.halves == nil {
		two := b.poseBox.halves(q.part.most)
		b.halves = &[2]posed{{poseBox: two[0]}, {poseBox: two[1]}}
	}
	return b.halves
}

// mostTogether is how many parts are asked of at once.
const mostTogether = 5

// group is parts that are to lie on a scrap, those first that come first.
type group struct {
	parts []*placing
	roots [][]poseBox
	near  [][]*neighbour // near[i][k] is part i as part k after it meets it
	steps *int
}

// pose is a box of poses of a part beside others.
type pose struct {
	*posed
	worst [mostTogether]int // the disc that came closest to each part before it
}

// leftPoses is boxes of a part that is not held yet.
type leftPoses struct {
	poses  []pose
	beside bool // they are known to be left beside those held
}

// newGroup is of placings with their roots, and the rings of all but the last, each seen
// from the placing's middle. Parts i and k keep apartMM(i, k) from each other.
func newGroup(parts []*placing, roots [][]poseBox, rings [][][]point, apartMM func(i, k int) float64) *group {
	g := &group{parts: parts, roots: roots, steps: parts[0].steps}
	for i, of := range rings {
		var all []point
		for _, ring := range of {
			all = append(all, ring...)
		}
		margin := 0.0
		for k := i + 1; k < len(parts); k++ {
			for _, d := range parts[k].part.discs {
				margin = math.Max(margin, apartMM(i, k)+d.mm+1)
			}
		}
		in, deep := groundIn(of, boxOf(all...).grown(margin)), 0.0
		for k := range in.cells {
			deep = math.Max(deep, in.cells[k].deep+in.step)
		}
		near := make([]*neighbour, len(parts))
		for k := i + 1; k < len(parts); k++ {
			near[k] = &neighbour{ground: in, deepMM: deep, apartMM: apartMM(i, k)}
		}
		g.near = append(g.near, near)
	}
	return g
}

// nowhere reports whether the parts do not all lie on the scrap: in each box of poses of
// them all one is off the cloth, or two meet. Two are held both from the first.
func (g *group) nowhere(ctx context.Context) bool {
	var of [][]pose
	for _, roots := range g.roots {
		var all []pose
		for _, b := range roots {
			all = append(all, pose{posed: &posed{poseBox: b}})
		}
		of = append(of, all)
	}
	for _, first := range of[0] {
		if !g.parts[0].open(first.posed) {
			continue
		}
		if len(of) > 2 {
			left := make([]leftPoses, len(of)-1)
			for k := range left {
				left[k].poses = of[k+1]
			}
			if !g.none(ctx, []pose{first}, left, 0) {
				return false
			}
			continue
		}
		if !g.noneWith(ctx, []pose{first}, of[1], nil) {
			return false
		}
	}
	return true
}

// noneWith is none where the next part has one of some boxes.
func (g *group) noneWith(ctx context.Context, held, next []pose, left []leftPoses) bool {
	k := len(held)
	for _, p := range next {
		if !g.parts[k].open(p.posed) || g.meetsAny(held, 0, k, k, &p) {
			continue
		}
		if !g.none(ctx, append(slices.Clone(held), p), slices.Clone(left), k) {
			return false
		}
	}
	return true
}

// none reports whether no poses of the boxes held will do, for these parts and those that
// have boxes left. Of those held this one is new.
func (g *group) none(ctx context.Context, held []pose, left []leftPoses, changed int) bool {
	const (
		smallest = 0.5
		share    = 4 // of how deep a disc lies in the next part, to hold it too
	)
	if *g.steps < 0 || ctx.Err() != nil {
		return false
	}
	widest := 0
	for i := range held {
		if held[i].moves >= held[widest].moves {
			widest = i
		}
	}
	moves := held[widest].moves
	for i := range left {
		k := len(held) + i
		if moves > g.parts[k].reachMM() {
			continue // nothing near them is sure to be taken
		}
		if left[i] = g.leftBeside(ctx, held, k, left[i], changed, math.Max(moves, smallest)); len(left[i].poses) == 0 {
			return true
		}
	}
	if len(left) > 1 && moves < g.parts[len(held)].reachMM()/share {
		return g.noneWith(ctx, held, left[0].poses, left[1:])
	}
	if moves < smallest {
		return false
	}
	for i := range 2 {
		half := pose{&g.parts[widest].halved(held[widest].posed)[i], held[widest].worst}
		if !g.parts[widest].open(half.posed) {
			continue
		}
		next := slices.Clone(held)
		next[widest] = half
		meets := g.meetsAny(next, 0, widest, widest, &next[widest])
		for k := widest + 1; k < len(next) && !meets; k++ {
			meets = g.meet(widest, k, &next[widest], &next[k])
		}
		if !meets && !g.none(ctx, next, slices.Clone(left), widest) {
			return false
		}
	}
	return true
}

// reachMM is how far from a part's middlemost point nothing else lies.
func (q *placing) reachMM() float64 {
	most := q.deepMM
	for _, d := range q.part.discs[:q.part.large] {
		most = math.Max(most, q.deepMM+d.mm)
	}
	return most
}

// leftBeside are the boxes of a part that are left beside those held, of which one is new,
// halved until they move the part no more than that.
func (g *group) leftBeside(ctx context.Context, held []pose, k int, left leftPoses, changed int, movesMM float64) (out leftPoses) {
	type asked struct {
		pose
		from, to int // of those held
	}
	var stack []asked
	for _, p := range left.poses {
		a := asked{p, 0, len(held)}
		if left.beside {
			a.from, a.to = changed, changed+1
		}
		stack = append(stack, a)
	}
	out.beside = true
	for len(stack) > 0 {
		p := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if *g.steps < 0 || ctx.Err() != nil {
			return left
		}
		switch {
		case !g.parts[k].open(p.posed) || g.meetsAny(held, p.from, p.to, k, &p.pose):
		case p.moves > movesMM:
			for i := range 2 {
				stack = append(stack, asked{pose{&g.parts[k].halved(p.posed)[i], p.worst}, 0, len(held)})
			}
		default:
			out.poses = append(out.poses, p.pose)
		}
	}
	return out
}

// meetsAny reports whether a part meets one of those held from one on to before another, at
// all poses of their boxes.
func (g *group) meetsAny(held []pose, from, to, k int, p *pose) bool {
	for i := from; i < to; i++ {
		if g.meet(i, k, &held[i], p) {
			return true
		}
	}
	return false
}

// meet reports whether part k meets part i before it at all poses of two boxes.
func (g *group) meet(i, k int, one, other *pose) bool {
	q, n := g.parts[k], g.near[i][k]
	n.lies(&one.poseBox)
	if at := back(n.matrix, n.at, other.at); n.ground.box.apart(box{at, at}) > q.part.most {
		*g.steps--
		return false // too far from each other
	}
	m, swing := other.matrix(), other.swing()
	most := math.Inf(-1)
	first := other.worst[i]
	count := q.part.enough(other.moves)
	for j := -1; j < count; j++ {
		c := j
		if j < 0 {
			c = first
		}
		*g.steps--
		d, moves := q.part.discs[c], swing.moves(q.part.away[c])
		over := n.meets(d, put(m, other.at, d.at), moves)
		if over > 0 {
			other.worst[i] = c
			return true
		}
		if over > most {
			most, other.worst[i] = over, c
		}
	}
	return false
}
