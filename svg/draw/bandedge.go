package draw

import "github.com/paulmach/orb"

// shown is the line of an edge of a placed piece in the view, the garment on
// its right.
func (p placed) shown(edge int) []orb.Point {
	line := p.piece.edges[edge].path.Flatten(flattenMM)
	if p.keep != nil {
		bits := p.keep.cut(line)
		if len(bits) == 0 {
			return nil
		}
		line = bits[0]
	}
	line = apply(p.m, line)
	if p.flipped() {
		for i, j := 0, len(line)-1; i < j; i, j = i+1, j-1 {
			line[i], line[j] = line[j], line[i]
		}
	}
	return line
}

func (p placed) flipped() bool { return flips(p.m) }

// middle is the x of a view's middle.
func middle(f *flat) float64 {
	var b orb.MultiPoint
	for _, p := range f.body {
		b = append(b, apply(p.m, p.piece.ring())...)
	}
	return b.Bound().Center()[0]
}

// shownBit is which bit of a band shows along an edge that it is sewn to. from
// and to are fractions of the band's length: what shows where the edge's line
// in the view starts, and where it ends. Where several edges of the band are
// sewn to this one, it takes the one furthest along the band if high is above
// 0, the least far if it is below, and the next that is not taken if it is 0.
// Without a join, and where nothing tells which bit of an edge goes where, both are 0.
//
// Both outlines run clockwise, so the band's edge starts where the other
// ends; a collar is turned down, which shows the side that faced the neck.
func (w *whole) shownBit(p placed, edge int, taken map[int]bool, high float64) (from, to float64) {
	box := w.ring().Bound()
	axis := 0
	if across, down := size(box); down > across {
		axis = 1
	}
	part := func(q orb.Point) float64 { return (q[axis] - box.Min[axis]) / (box.Max[axis] - box.Min[axis]) }
	for _, e := range w.edges {
		if from, to, ok := e.bitAlong(p.piece, edge); ok {
			mm := func(mm float64) float64 {
				a, b := part(e.path.Start()), part(e.path.End())
				return a + (b-a)*mm/e.path.Length()
			}
			if from, to = mm(from), mm(to); p.flipped() != (w.role == collar) {
				from, to = to, from
			}
			return from, to
		}
	}
	best := -1
	for i, e := range w.edges {
		if taken[i] || w.inRow[i] || !sewn(ref{w, i}, ref{p.piece, edge}) {
			continue
		}
		if best < 0 || high*(part(e.path.Bound().Center())-part(w.edges[best].path.Bound().Center())) > 0 {
			best = i
		}
	}
	if best < 0 {
		return 0, 0
	}
	taken[best] = true
	from, to = part(w.edges[best].path.End()), part(w.edges[best].path.Start())
	if p.flipped() != (w.role == collar) {
		from, to = to, from
	}
	return from, to
}

// bitAlong is which bit of a band's edge that goes round several others is sewn to
// one of them, in mm along it: at the start of that edge, and at its end. One that
// is sewn to both ends of the band goes on past its length.
func (e edge) bitAlong(p *whole, other int) (from, to float64, ok bool) {
	for _, s := range e.Stretches {
		if s.To != p.Name+"/"+p.edges[other].Name || s.Copy != p.Copy {
			continue
		}
		if ok && to == 0 { // the band's ends meet in its middle
			return from + e.path.Length(), s.FromMM, true
		}
		from, to, ok = s.ToMM, s.FromMM, true
	}
	return from, to, ok
}

// rise is 1 where the band runs from left to right over the back, -1 where it
// runs from right to left, and 0 where that cannot be told.
func (w *whole) rise(views []*flat) float64 {
	for _, f := range views {
		if f.name != "back" {
			continue
		}
		for _, p := range f.body {
			for i := range p.piece.edges {
				line := p.shown(i)
				from, to := w.shownBit(p, i, map[int]bool{}, 0)
				if from == to || len(line) < 2 {
					continue
				}
				if (to-from)*(line[len(line)-1][0]-line[0][0]) > 0 {
					return 1
				}
				return -1
			}
		}
	}
	return 0
}
