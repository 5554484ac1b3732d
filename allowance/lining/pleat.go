package lining

import (
	"slices"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// pleatEdge names the bit of the outline across a pleat, where what it lies
// beside is sewn to something that has no pleat.
const pleatEdge = "pleat"

// pleat moves the fold of a block out by so much. The lines that meet the fold
// run on square to it; a notch on each shows where the centre was, to which the
// fold is brought. Where such a line is sewn, the pleat becomes an edge of its
// own, folded before it is sewn, unless what it is sewn to has the same pleat.
func (b *block) pleat(deepMM float64, blocks []*block) {
	n := len(b.edges)
	f := b.edges[n-1].now
	d := plane.Unit(plane.Sub(f.End(), f.Start()))
	out := plane.Scale(orb.Point{d[1], -d[0]}, deepMM)
	first, last := &b.edges[0], &b.edges[n-2]
	start, end := first.now.Start(), last.now.End()
	before := curve.Line(plane.Add(start, out), start)
	after := curve.Line(end, plane.Add(end, out))
	b.pleatMM = deepMM
	for i, l := range b.levels {
		if b.onFold(l.Start()) {
			l = slices.Concat(curve.Path{curve.Line(plane.Add(l.Start(), out), l.Start())}, l)
		}
		if b.onFold(l.End()) {
			l = slices.Concat(l, curve.Path{curve.Line(l.End(), plane.Add(l.End(), out))})
		}
		b.levels[i] = l
	}
	var top, bottom []edge
	if first.runsOn(blocks) {
		for i := range first.marks {
			first.marks[i].atMM += deepMM
		}
		first.now = slices.Concat(curve.Path{before}, first.now)
		first.marks = slices.Concat([]mark{{deepMM, 1}}, first.marks)
	} else {
		top = []edge{{Edge: piece.Edge{Name: pleatEdge, AllowanceMM: first.AllowanceMM}, now: curve.Path{before}, marks: []mark{{deepMM, 1}}}}
	}
	if last.runsOn(blocks) {
		last.marks = append(last.marks, mark{last.now.Length(), 1})
		last.now = slices.Concat(last.now, curve.Path{after})
	} else {
		last.marks = append(last.marks, mark{last.now.Length(), 1})
		bottom = []edge{{Edge: piece.Edge{Name: pleatEdge, AllowanceMM: last.AllowanceMM}, now: curve.Path{after}}}
	}
	b.edges[n-1].now = curve.Polyline(after.P1, before.P0)
	b.edges = slices.Concat(top, b.edges[:n-1], bottom, b.edges[n-1:])
}

// runsOn reports whether an edge that meets the fold goes on across the pleat:
// nothing is sewn to it, or only what has the pleat too.
func (e *edge) runsOn(blocks []*block) bool {
	switch e.role {
	case hem, free:
		return true
	case joint:
		return !slices.ContainsFunc(e.Joins, func(r piece.Ref) bool {
			return slices.ContainsFunc(blocks, func(b *block) bool { return b.p.Name == r.Piece && !b.isBack() })
		})
	}
	return false
}
