package check

import (
	"context"
	"math"
)

// That two parts do not lie on a scrap together is proved by boxes of poses of both. Of
// each part by itself the boxes are a tree, halved where it is asked, so that each is
// looked at once, whatever the pose of the other.

// posed is a box of poses of a part by itself, and what is known of it.
type posed struct {
	poseBox
	known, closed bool
	moves         float64 // all that its discs do, at most
	halves        *[2]posed
}

// treesOf are boxes of which nothing is known yet.
func treesOf(roots []poseBox) (out []*posed) {
	for _, b := range roots {
		out = append(out, &posed{poseBox: b})
	}
	return out
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

// twoPoses are boxes of poses of two parts.
type twoPoses struct {
	part, other *posed
	worst       int // the disc that was closest to the other
}

// nowhereBeside reports whether a part lies nowhere on a scrap while another one
// lies there too: in each box of poses of both one is off the cloth, or they meet.
// Else the box of the one that moves more is halved. The other's rings are seen from its
// middle.
func (q *placing) nowhereBeside(ctx context.Context, roots []poseBox, other *placing, otherRoots []poseBox, rings [][]point, apartMM float64) bool {
	const smallest = 0.5
	var all []point
	for _, ring := range rings {
		all = append(all, ring...)
	}
	widest := 0.0
	for _, d := range q.part.discs {
		widest = math.Max(widest, d.mm)
	}
	n := &neighbour{ground: groundIn(rings, boxOf(all...).grown(apartMM+widest+1)), apartMM: apartMM}
	for i := range n.ground.cells {
		n.deepMM = math.Max(n.deepMM, n.ground.cells[i].deep+n.ground.step)
	}
	var stack []twoPoses
	others := treesOf(otherRoots)
	for _, part := range treesOf(roots) {
		for _, o := range others {
			stack = append(stack, twoPoses{part, o, 0})
		}
	}
	for len(stack) > 0 {
		b := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if *q.steps < 0 || ctx.Err() != nil {
			return false
		}
		if !q.open(b.part) || !other.open(b.other) || q.meets(&b, n) {
			continue
		}
		switch {
		case b.other.moves < smallest && b.part.moves < smallest:
			return false
		case b.other.moves > b.part.moves:
			halves := other.halved(b.other)
			stack = append(stack, twoPoses{b.part, &halves[0], b.worst}, twoPoses{b.part, &halves[1], b.worst})
		default:
			halves := q.halved(b.part)
			stack = append(stack, twoPoses{&halves[0], b.other, b.worst}, twoPoses{&halves[1], b.other, b.worst})
		}
	}
	return true
}

// meets reports whether the part meets the other at all poses of two boxes.
func (q *placing) meets(b *twoPoses, n *neighbour) bool {
	n.pose = &b.other.poseBox
	m := b.part.matrix()
	most := math.Inf(-1)
	first := b.worst
	count := q.part.enough(b.part.moves)
	for k := -1; k < count; k++ {
		i := k
		if k < 0 {
			i = first
		}
		*q.steps--
		d, moves := q.part.discs[i], b.part.poseBox.moves(q.part.away[i])
		over := n.meets(d, put(m, b.part.at, d.at), moves)
		if over > 0 {
			b.worst = i
			return true
		}
		if over > most {
			most, b.worst = over, i
		}
	}
	return false
}
