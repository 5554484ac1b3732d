package split

import (
	"cmp"
	"math"
	"slices"

	"eke/allowance"
	"eke/piece"
)

// seamOf is a seam, and the step that sews it.
type seamOf struct {
	allowance.Walked
	step int
}

func (s seamOf) side(k int) []piece.Ref {
	if k == 0 {
		return s.A
	}
	return s.B
}

// constrain finds what must be sewn before what. Where a seam ends on another, as
// the shoulder's does on a band's, it is sewn first. Where two cross, as the waist's
// and the seam down bodice and skirt, both halves of the one are sewn before the
// other, or both after it, in one go. A band, collar or facing is made before it is
// sewn on.
//
// Which end of an edge meets which end of its mate the pattern does not say. Where
// two seams could end on an edge that goes round them, it is the one that is sewn
// sooner: the cap of a sleeve goes over the shoulder.
func (g *garment) constrain() {
	g.oneGo = make([]int, len(g.steps))
	for i := range g.oneGo {
		g.oneGo[i] = i
	}
	g.seams = nil
	for i := range g.steps {
		for _, w := range g.steps[i].seams {
			g.seams = append(g.seams, seamOf{w, i})
		}
		for k := range g.steps {
			if o := &g.steps[k]; g.steps[i].does.goesAfter(o.does) && slices.Contains(g.steps[i].trims, o.trims[0]) {
				g.need(i, k)
			}
		}
	}
	g.ends = map[[2]int]bool{}
	pairs := func(look func(w, v seamOf, k int)) {
		for i, w := range g.seams {
			for _, v := range g.seams[i+1:] {
				look(w, v, 0)
				look(w, v, 1)
			}
		}
	}
	g.stripsFirst()
	g.hemFirst()
	pairs(g.endingOn)
	var rings [][2][]seamOf
	for _, w := range g.seams {
		rings = append(rings, g.over(w)...)
	}
	pairs(g.across)
	for _, r := range rings {
		g.crossing(r[0], r[1])
	}
}

// stripsFirst has a moved seam sewn before the seams of which its strip has a bit.
func (g *garment) stripsFirst() {
	for _, mv := range g.moves {
		for _, w := range g.seams {
			if !joins(w.Walked, mv) {
				continue
			}
			for _, e := range g.strips(mv) {
				r := piece.Ref{Piece: mv.From.Piece, Edge: e.Name}
				for _, s := range g.seams {
					if slices.Contains(s.A, r) || slices.Contains(s.B, r) {
						g.need(s.step, w.step)
					}
				}
			}
		}
	}
}

// over looks for the seams that end on one that goes over them, and for those that
// join its ends, which make a ring of it: these may wait until those of the other side
// are sewn, and it gives the one line and the other. At the ends of a cap in one edge
// that is the underarm and the side, and not the shoulder, which cannot wait. What is sewn
// to a base all round it is made a ring before. (Common practice, no source.)
func (g *garment) over(w seamOf) (rings [][2][]seamOf) {
	var rows, spare [2][]seamOf
	for k, times := range [][]int{w.TimesA, w.TimesB} {
		row := g.closing(w.side(k), w.side(k), w, w)
		n := 0
		for _, t := range times {
			n += t
		}
		for _, v := range row {
			if n == 1 || len(row) >= n && g.stage(v) > g.stage(w) && g.hangsTogether(w.side(k), v, row) {
				spare[k] = append(spare[k], v)
			}
		}
		rows[k] = row
	}
	for k, row := range rows {
		ends := spare[1-k]
		if len(ends) == 0 {
			ends = rows[1-k]
		}
		for _, v := range row {
			switch {
			case g.after([]seamOf{v}, []seamOf{w}):
			case g.allRound(w.side(1-k)) || !slices.ContainsFunc(spare[k], func(s seamOf) bool { return s.step == v.step }):
				g.need(w.step, v.step)
				g.ends[[2]int{v.step, w.step}] = true
			case len(ends) > 0:
				rings = append(rings, [2][]seamOf{append([]seamOf{v}, ends...), {w}})
			}
		}
	}
	return rings
}

// allRound reports whether the edges of a row are all there are on its pieces.
func (g *garment) allRound(row []piece.Ref) bool {
	return !slices.ContainsFunc(row, func(r piece.Ref) bool {
		p := g.named(r.Piece)
		return p == nil || slices.ContainsFunc(p.Outline, func(e piece.Edge) bool { return !slices.Contains(row, piece.Ref{Piece: r.Piece, Edge: e.Name}) })
	})
}

// endingOn looks for a seam that ends where two others meet, on the cloth that goes on
// from the one to the other. K is the side of v that lies on the first side of w. A
// band, collar or facing that is sewn on by several edges is taken to go on.
func (g *garment) endingOn(w, v seamOf, k int) {
	step := &g.steps[w.step]
	for side := range 2 {
		row, other := w.side(side), v.side((side+k)%2)
		goesOn := g.meets(w.side(1-side), v.side((1-side+k)%2)) ||
			w.step == v.step && step.does == sewsOn && !slices.ContainsFunc(row, func(r piece.Ref) bool { return slices.Contains(step.trims, r.Piece) })
		found := g.closing(row, other, w, v)
		if !goesOn || len(found) == 0 {
			continue
		}
		soonest := slices.MinFunc(found, func(a, b seamOf) int { return cmp.Compare(g.stage(a), g.stage(b)) })
		if g.stage(soonest) >= min(g.stage(w), g.stage(v)) {
			continue
		}
		if late := []seamOf{soonest}; g.after(late, []seamOf{w, v}) {
			continue
		}
		for _, over := range []seamOf{w, v} {
			g.need(over.step, soonest.step)
			g.ends[[2]int{soonest.step, over.step}] = true
		}
		g.inOneGo(w.step, v.step)
	}
}

// across looks for seams that cross two others where these meet: one on either side.
// K is as for endingOn.
func (g *garment) across(w, v seamOf, k int) {
	crossing := func(side int) []seamOf {
		return slices.DeleteFunc(g.closing(w.side(side), v.side((side+k)%2), w, v), func(s seamOf) bool {
			return g.oneEnds(s, w) || g.oneEnds(s, v)
		})
	}
	if here, there := crossing(0), crossing(1); len(here) > 0 && len(there) > 0 {
		g.crossing(slices.Concat(here, there), []seamOf{w, v})
	}
}

// oneEnds reports whether one of two seams ends on the other, and so does not cross it.
func (g *garment) oneEnds(a, b seamOf) bool {
	return g.ends[[2]int{a.step, b.step}] || g.ends[[2]int{b.step, a.step}]
}

// crossing has one of two lines of seams that cross sewn before the other, which then
// goes over it in one go: what must come before, or else what is begun sooner.
func (g *garment) crossing(a, b []seamOf) {
	begun := func(line []seamOf) (first, last float64) {
		first, last = math.Inf(1), 0
		for _, s := range line {
			first, last = math.Min(first, g.stage(s)), math.Max(last, g.stage(s))
		}
		return first, last
	}
	fa, la := begun(a)
	fb, lb := begun(b)
	if sooner := fb < fa || fb == fa && lb < la; g.after(a, b) || sooner && !g.after(b, a) {
		a, b = b, a
	}
	for _, late := range b {
		for _, soon := range a {
			g.need(late.step, soon.step)
		}
	}
	for _, s := range b[1:] {
		g.inOneGo(b[0].step, s.step)
	}
}

// after reports whether one of some seams needs one of others, or what needs it.
func (g *garment) after(late, soon []seamOf) bool {
	reached := make([]bool, len(g.steps))
	var from func(step int) bool
	from = func(step int) bool {
		reached[step] = true
		return slices.ContainsFunc(g.steps[step].needs, func(k int) bool {
			return slices.ContainsFunc(soon, func(s seamOf) bool { return s.step == k }) || !reached[k] && from(k)
		})
	}
	return slices.ContainsFunc(late, func(s seamOf) bool { return from(s.step) })
}

// closing are the seams that join what lies beside one edge to what lies beside
// another, each edge of a row: they end between the two.
func (g *garment) closing(row, other []piece.Ref, w, v seamOf) (out []seamOf) {
	for _, s := range g.seams {
		if s.step == w.step || s.step == v.step {
			continue
		}
		if g.meets(s.A, row) && g.meets(s.B, other) || g.meets(s.B, row) && g.meets(s.A, other) {
			out = append(out, s)
		}
	}
	return out
}

// meets reports whether one of some edges lies beside one of a row.
func (g *garment) meets(edges, row []piece.Ref) bool {
	return slices.ContainsFunc(row, func(r piece.Ref) bool {
		return slices.ContainsFunc(g.beside(r), func(b piece.Ref) bool { return slices.Contains(edges, b) })
	})
}

// beside are the named edges next to an edge on its piece.
func (g *garment) beside(r piece.Ref) []piece.Ref {
	if found, ok := g.next[r]; ok {
		return found
	}
	var out []piece.Ref
	if p := g.named(r.Piece); p != nil {
		n := len(p.Outline)
		for _, i := range p.Outline.Edge(r.Edge) {
			for _, k := range []int{(i + 1) % n, (i + n - 1) % n} {
				if name := p.Outline[k].Name; name != "" {
					out = append(out, piece.Ref{Piece: r.Piece, Edge: name})
				}
			}
		}
	}
	g.next[r] = out
	return out
}

// hangsTogether reports whether the edges of a row hang together by the seams that
// end between them, without one of these.
func (g *garment) hangsTogether(row []piece.Ref, without seamOf, seams []seamOf) bool {
	reached := []piece.Ref{row[0]}
	for i := 0; i < len(reached); i++ {
		one := reached[i : i+1]
		for _, r := range row {
			to := []piece.Ref{r}
			if !slices.Contains(reached, r) && (g.meets(one, to) || slices.ContainsFunc(seams, func(s seamOf) bool {
				return s.step != without.step && (g.meets(s.A, one) && g.meets(s.B, to) || g.meets(s.B, one) && g.meets(s.A, to))
			})) {
				reached = append(reached, r)
			}
		}
	}
	return !slices.ContainsFunc(row, func(r piece.Ref) bool { return !slices.Contains(reached, r) })
}

// allOne reports whether all copies of the pieces in a row hang together without a step
// that goes over them, and without what is only sewn on and not in the row: a copy by the
// seams to the same copy of its neighbours, or to its own twin. Copies in a row that the
// pattern sews by one edge to another of their own, and that are no left and right, are a
// ring.
func (g *garment) allOne(row []piece.Ref, but *garmentStep) bool {
	type copyOf struct {
		piece string
		copy  int
	}
	count := func(name string) int { return max(1, g.named(name).Count) }
	ring := func(a, b piece.Ref) bool {
		return a.Piece == b.Piece && a != b && !g.named(a.Piece).Mirrored && slices.ContainsFunc(row, func(r piece.Ref) bool { return r.Piece == a.Piece })
	}
	reached := []copyOf{{row[0].Piece, 0}}
	reach := func(c copyOf) {
		if !slices.Contains(reached, c) {
			reached = append(reached, c)
		}
	}
	for i := 0; i < len(reached); i++ {
		c := reached[i]
		for _, s := range g.seams {
			inRow := func(trim string) bool {
				return slices.ContainsFunc(row, func(r piece.Ref) bool { return r.Piece == trim })
			}
			if o := &g.steps[s.step]; o.does == sewsOn && !slices.ContainsFunc(o.trims, inRow) || slices.ContainsFunc(but.seams, func(w allowance.Walked) bool { return w.A[0] == s.A[0] && w.B[0] == s.B[0] }) {
				continue
			}
			for k := range 2 {
				for _, a := range s.side(k) {
					if a.Piece != c.piece {
						continue
					}
					for _, b := range s.side(1 - k) {
						n := count(b.Piece)
						for other := range n {
							if a == b && other == c.copy^1 || ring(a, b) || a.Piece != b.Piece && (n != count(a.Piece) || other == c.copy) {
								reach(copyOf{b.Piece, other})
							}
						}
					}
				}
			}
		}
	}
	for _, r := range row {
		for k := range count(r.Piece) {
			if !slices.Contains(reached, copyOf{r.Piece, k}) {
				return false
			}
		}
	}
	return true
}

func (g *garment) stage(s seamOf) float64 { return g.steps[s.step].stage }

func (g *garment) need(step, first int) {
	if step != first && !slices.Contains(g.steps[step].needs, first) {
		g.steps[step].needs = append(g.steps[step].needs, first)
	}
}

// inOneGo notes that two steps sew one line.
func (g *garment) inOneGo(a, b int) {
	from, to := g.oneGo[b], g.oneGo[a]
	for i, k := range g.oneGo {
		if k == from {
			g.oneGo[i] = to
		}
	}
}

// sorted is the steps by stage, each after all that it needs, and beside those of its
// stage that are sewn in one go with it.
func (g *garment) sorted() []int {
	byStage := make([]int, len(g.steps))
	for i := range byStage {
		byStage[i] = i
	}
	slices.SortStableFunc(byStage, func(i, j int) int { return cmp.Compare(g.steps[i].stage, g.steps[j].stage) })
	var out []int
	begun := make([]bool, len(g.steps))
	var take, ready func(i int)
	ready = func(i int) { // takes what a step needs
		for _, k := range byStage {
			if slices.Contains(g.steps[i].needs, k) && !begun[k] {
				take(k)
			}
		}
	}
	take = func(i int) {
		begun[i] = true // before its needs: they may need it in turn
		var line []int
		for _, k := range byStage {
			if k == i || !begun[k] && g.oneGo[k] == g.oneGo[i] && g.steps[k].stage == g.steps[i].stage {
				line = append(line, k)
				begun[k] = true
			}
		}
		for _, k := range line {
			ready(k)
		}
		out = append(out, line...)
	}
	for _, i := range byStage {
		if !begun[i] {
			take(i)
		}
	}
	return out
}
