package draw

import (
	"math"
	"slices"
	"strings"
)

// findUnder finds the copies that lie under another of their piece, as the inner yoke
// of a shirt: of several copies of one side of the body all but the first, and of those
// that have both sides on them, if none is sewn to another as a front is to its back.
// Of a band one of its edges tells: there are twice as many as edges that they are sewn
// to, and each is as long as one of those, or as all of them together.
func (o *outfit) findUnder() {
	o.under = map[*whole]bool{}
	for _, roles := range [][]role{{front, back}, {band}, {collar}} {
		seen := map[[2]string]bool{}
		for _, p := range o.pieces {
			id := [2]string{p.Name, p.Side}
			if slices.Contains(roles, p.role) && seen[id] && o.layered(p) {
				o.under[p] = true
			}
			seen[id] = true
		}
	}
}

// layered reports whether the copies of a piece lie on one another.
func (o *outfit) layered(p *whole) bool {
	switch p.role {
	case front, back:
		return (p.Side != "" || p.onBothSides()) && !slices.ContainsFunc(p.edges, func(e edge) bool {
			return slices.ContainsFunc(e.Joins, func(j string) bool { return strings.HasPrefix(j, p.Name+"/") })
		})
	case collar:
		return true
	case band:
		return p.Side != "" || slices.ContainsFunc(p.edges, func(e edge) bool { return o.twiceOn(p, e) || o.goesAllRound(p, e) })
	}
	return false
}

// onBothSides reports whether the piece has an edge on its one half and its like on the
// other.
func (w *whole) onBothSides() bool {
	for i, e := range w.edges {
		if e.Name != "" && slices.ContainsFunc(w.edges[i+1:], func(f edge) bool { return f.Name == e.Name }) {
			return true
		}
	}
	return false
}

// nearly is how unlike in length edges that are sewn together may be, as a part of it: ease,
// and a neck that is stretched.
const nearly = 0.1

// goesAllRound reports whether an edge of a band goes by itself round all that it is sewn to,
// as a stand does round the neck from one front to the other: another copy is a layer of it.
func (o *outfit) goesAllRound(p *whole, e edge) bool {
	var all float64
	for _, q := range o.partners(p.named(e.Name)) {
		if !o.under[q.piece] {
			all += q.piece.edges[q.edge].path.Length()
		}
	}
	return e.Name != "" && len(e.Joins) > 1 && math.Abs(all-e.path.Length()) <= nearly*e.path.Length()
}

// twiceOn reports whether the copies of a band have an edge twice as often as what it
// is sewn to has its own, which is as long.
func (o *outfit) twiceOn(p *whole, e edge) bool {
	own, others := 0, 0
	for _, q := range o.pieces {
		for i, f := range q.edges {
			switch r := (ref{q, i}); {
			case q.Name == p.Name && f.Name == e.Name:
				own++
			case !o.under[q] && q.Name != p.Name && sewn(r, p.named(e.Name)):
				if math.Abs(f.path.Length()-e.path.Length()) > nearly*e.path.Length() {
					return false
				}
				others++
			}
		}
	}
	return others > 0 && own == 2*others
}

// named is the first edge of a name.
func (w *whole) named(name string) ref {
	return ref{w, slices.IndexFunc(w.edges, func(e edge) bool { return e.Name == name })}
}
