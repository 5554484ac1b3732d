package draw

import (
	"math"
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// bodies places the pieces of the body in a front and a back view. Each hangs as it
// is worn, its grain upright, and none is turned to fit a seam: what is gathered, or
// curved unlike its neighbour, lies beside it.
func (o *outfit) bodies() []*flat {
	views := []*flat{{name: "front"}, {name: "back"}}
	var waiting [2][]*whole
	for k, r := range []role{front, back} {
		views[k].body, waiting[k] = o.body(r)
	}
	for k := range views {
		for _, p := range waiting[k] {
			if m, ok := o.acrossFrom(p, views[k].body, views[1-k].body); ok {
				views[k].body = append([]placed{{piece: p, m: m, over: slices.Clone(views[k].body)}}, views[k].body...)
			}
		}
	}
	return views
}

// body places the pieces of a side of the body: one at a shoulder as it is drawn, or
// else the first, and each other beside what it is sewn to. It gives those too that
// are sewn to none of them.
func (o *outfit) body(r role) (out []placed, waiting []*whole) {
	waiting = slices.DeleteFunc(slices.Clone(o.pieces), func(p *whole) bool { return p.role != r || o.under[p] })
	if len(waiting) == 0 {
		return nil, nil
	}
	first := max(0, slices.IndexFunc(waiting, func(p *whole) bool { return p.has("shoulder") }))
	out = append(out, placed{piece: waiting[first], m: waiting[first].upright()})
	waiting = slices.Delete(waiting, first, first+1)
	for len(waiting) > 0 {
		at, m, ok := nextTo(out, waiting, false)
		if !ok {
			at, m, ok = o.besideItsTwin(out, waiting)
		}
		if !ok {
			at, m, ok = nextTo(out, waiting, true)
		}
		if !ok {
			break
		}
		out = append(out, placed{piece: waiting[at], m: m})
		waiting = slices.Delete(waiting, at, at+1)
	}
	return out, waiting
}

// hung is an edge of a piece as it hangs in a view.
type hung struct {
	ref
	m   curve.Matrix
	bit [2]float64 // from where to where of its length, in parts of that; all of it where both are 0
}

func (h hung) line() curve.Path {
	line := h.piece.edges[h.edge].path
	if h.bit != [2]float64{} {
		line = line.Between(h.bit[0]*line.Length(), h.bit[1]*line.Length())
	}
	return line.Transform(h.m)
}

// inRow is the bit of an upright edge that one edge of those is sewn to that come in a row
// on it, as the side of a hip yoke and that of the front below it do on the back's: they
// are named from the top down. It is all of the edge where their lengths do not add up to
// its own, as those of two layers.
func (o *outfit) inRow(long hung, one ref) hung {
	const asLong = 0.15
	path := long.piece.edges[long.edge].path
	if across, down := size(long.line().Bound()); across > down {
		return long
	}
	var above, own, all float64
	for _, j := range long.piece.edges[long.edge].Joins {
		mm := o.lengthOfEdge(j)
		if j == one.name() {
			above, own = all, mm
		}
		all += mm
	}
	if own == 0 || own == all || math.Abs(all-path.Length()) > asLong*path.Length() {
		return long
	}
	long.bit = [2]float64{above / all, (above + own) / all}
	switch length := path.Length(); { // at either end it is as long as what is sewn there
	case above == 0:
		long.bit = [2]float64{0, own / length}
	case above+own == all:
		long.bit = [2]float64{1 - own/length, 1}
	}
	if line := path.Transform(long.m); line.Start()[1] > line.End()[1] {
		long.bit = [2]float64{1 - long.bit[1], 1 - long.bit[0]}
	}
	return long
}

// lengthOfEdge is the length of the first edge of a name, 0 where there is none.
func (o *outfit) lengthOfEdge(name string) float64 {
	for _, p := range o.pieces {
		for i := range p.edges {
			if (ref{p, i}).name() == name {
				return p.edges[i].path.Length()
			}
		}
	}
	return 0
}

// name is how joins name the edge.
func (r ref) name() string { return r.piece.Name + "/" + r.piece.edges[r.edge].Name }

// opposite reports whether the cloth of one edge lies on the other side of it than
// that of another: edges that are sewn together do not both look to the left.
func opposite(a, b curve.Path) bool {
	const mostCos = -0.7
	u, v := plane.Sub(a.End(), a.Start()), plane.Sub(b.End(), b.Start())
	return plane.Dot(u, v) < mostCos*math.Hypot(u[0], u[1])*math.Hypot(v[0], v[1])
}

// mayMeet are those of some hanging edges that an edge is sewn to from the other side.
// Of a copy of the same piece it is an upright line, as a centre seam is: beside a
// curved one, as a crotch, it lies as beside a stranger.
func mayMeet(e hung, among []hung) (out []hung) {
	for _, h := range among {
		if h.piece == e.piece || !sewn(h.ref, e.ref) || !opposite(h.line(), e.line()) {
			continue
		}
		if across, down := size(h.line().Bound()); h.piece.Name == e.piece.Name && across > down/8 {
			continue
		}
		out = append(out, h)
	}
	return out
}

// alike are the edges of the name of one, on its piece, that look the same way: the
// halves of a piece that was drawn on the fold have one each.
func (h hung) alike() (out []hung) {
	for i, e := range h.piece.edges {
		other := hung{ref: ref{h.piece, i}, m: h.m}
		if i == h.edge || e.Name == h.piece.edges[h.edge].Name && opposite(other.line(), h.line().Reverse()) {
			out = append(out, other)
		}
	}
	return out
}

func piecesOf(edges []hung) int {
	found := map[*whole]bool{}
	for _, e := range edges {
		found[e.piece] = true
	}
	return len(found)
}

// nextTo finds the piece, and where it goes, that fits best beside those that are
// placed. One that is sewn on along several waits until all of these are placed,
// but where any is a piece that waits forever.
func nextTo(done []placed, waiting []*whole, early bool) (at int, m curve.Matrix, ok bool) {
	var there, later []hung
	for _, p := range done {
		for i := range p.piece.edges {
			there = append(there, hung{ref: ref{p.piece, i}, m: p.m})
		}
	}
	for _, w := range waiting {
		for i := range w.edges {
			later = append(later, hung{ref: ref{w, i}, m: w.upright()})
		}
	}
	least := math.Inf(1)
	for k, w := range waiting {
		for i := range w.edges {
			e := hung{ref: ref{w, i}, m: w.upright()}
			beside := mayMeet(e, there)
			if len(beside) == 0 || !early && (len(mayMeet(e, later)) > 0 || piecesOf(mayMeet(beside[0], slices.Concat(there, later))) > 1) {
				continue
			}
			shift, miss := beneath(e.alike(), beside)
			if miss < least {
				least, at, m, ok = miss, k, e.m.Then(curve.Shift(shift[0], shift[1])), true
			}
		}
	}
	return at, m, ok
}

// beneath is by how much some edges are shifted to lie on others, and how far their
// ends then miss those, in parts of their length.
func beneath(edges, on []hung) (shift orb.Point, miss float64) {
	if len(edges) == 1 && len(on) == 1 {
		line, other := edges[0].line(), on[0].line()
		a, b := plane.Sub(other.Start(), line.End()), plane.Sub(other.End(), line.Start())
		return plane.Scale(orb.Point{a[0] + b[0], a[1] + b[1]}, 0.5), plane.Distance(a, b) / 2 / line.Length()
	}
	box, onto := boxOf(edges), boxOf(on)
	w, h := size(box)
	ww, hh := size(onto)
	return plane.Sub(onto.Center(), box.Center()), (math.Abs(w-ww) + math.Abs(h-hh)) / 2 / (w + h)
}

func boxOf(edges []hung) orb.Bound {
	box := edges[0].line().Bound()
	for _, e := range edges[1:] {
		box = box.Union(e.line().Bound())
	}
	return box
}

// acrossFrom finds where a piece goes that is sewn to the other side of the body alone,
// as the under front of a wrap is: where that has its shoulder or its side, seen from
// this side.
func (o *outfit) acrossFrom(p *whole, here, there []placed) (m curve.Matrix, ok bool) {
	mirror := curve.Mirror(orb.Point{0, 0}, orb.Point{0, 1})
	var others []hung
	for _, q := range there {
		for i := range q.piece.edges {
			others = append(others, hung{ref: ref{q.piece, i}, m: q.m.Then(mirror)})
		}
	}
	// best takes an edge of a piece onto the one of the other side that it is sewn to and
	// fits best: of those that fit as well, as a level edge does that of the wrong half, the
	// one that takes all edges nearest to where they are sewn.
	best := func(p *whole, m curve.Matrix, others []hung) (shift orb.Point, miss float64, on hung) {
		var meet [][2]hung
		for i := range p.edges {
			for _, h := range others {
				if e := (hung{ref: ref{p, i}, m: m}); sewn(h.ref, e.ref) && opposite(h.line(), e.line()) {
					meet = append(meet, [2]hung{e, o.inRow(h, e.ref)})
				}
			}
		}
		const asWell = 0.001 // of the length of an edge
		miss = math.Inf(1)
		least := math.Inf(1)
		for _, pair := range meet {
			s, off := beneath([]hung{pair[0]}, []hung{pair[1]})
			if off > miss+asWell {
				continue
			}
			if all := astray(meet, s); off < miss-asWell || all < least {
				shift, miss, least, on = s, math.Min(off, miss), all, pair[1]
			}
		}
		return shift, miss, on
	}
	own, miss, on := best(p, p.upright(), others)
	if on.bit != [2]float64{} { // what comes in the row with it tells how the two sides lie to each other there
		others = slices.DeleteFunc(others, func(h hung) bool { return h.ref != on.ref })
	}
	ofView, least := orb.Point{}, math.Inf(1)
	for _, a := range here {
		if s, off, _ := best(a.piece, a.m, others); off < least {
			ofView, least = s, off
		}
	}
	if math.IsInf(math.Max(least, miss), 1) {
		return m, false
	}
	return p.upright().Then(curve.Shift(own[0]-ofView[0], own[1]-ofView[1])), true
}

// astray is how far in all the edges of a piece, once shifted, are from those that they
// may meet, each from the nearest.
func astray(meet [][2]hung, shift orb.Point) (sum float64) {
	near := map[int]float64{}
	for _, pair := range meet {
		line, other := pair[0].line(), pair[1].line()
		off := plane.Distance(plane.Add(line.End(), shift), other.Start()) + plane.Distance(plane.Add(line.Start(), shift), other.End())
		if was, ok := near[pair[0].edge]; !ok || off < was {
			near[pair[0].edge] = off
		}
	}
	for _, off := range near {
		sum += off
	}
	return sum
}

// besideItsTwin puts a mirrored copy beside the copy that is placed, the edges
// away from the armhole or side together, or as far apart as a band between
// them is wide.
func (o *outfit) besideItsTwin(done []placed, waiting []*whole) (at int, m curve.Matrix, ok bool) {
	for _, a := range done {
		for k, b := range waiting {
			if b.Name != a.piece.Name {
				continue
			}
			m := b.upright()
			boxA := orb.MultiPoint(apply(a.m, a.piece.ring())).Bound()
			boxB := orb.MultiPoint(apply(m, b.ring())).Bound()
			gap := o.bandWidth(a.piece)
			dx := boxA.Max[0] - boxB.Min[0] + gap
			if o.outerX(a) > innerX(a, boxA) {
				dx = boxA.Min[0] - boxB.Max[0] - gap
			}
			return k, m.Then(curve.Shift(dx, boxA.Min[1]-boxB.Min[1])), true
		}
	}
	return 0, curve.Identity, false
}

// outerX is where the armholes and sides of a placed piece are, left to right; of one
// that has none, where it is sewn to others of its side of the body.
func (o *outfit) outerX(p placed) float64 {
	if x, ok := p.meanX(func(i int) bool { return says(p.piece.edges[i].Name, "armhole", "side") }); ok {
		return x
	}
	x, _ := p.meanX(func(i int) bool {
		across, down := size(p.piece.edges[i].path.Transform(p.m).Bound())
		return down > across && slices.ContainsFunc(o.partners(ref{p.piece, i}), func(q ref) bool { return q.piece.role == p.piece.role })
	})
	return x
}

// innerX is where the neck and the centre of a placed piece are; of one that has neither, the
// middle of its box. That of a front cut in one with its sleeve lies in the sleeve.
func innerX(p placed, box orb.Bound) float64 {
	if x, ok := p.meanX(func(i int) bool { return says(p.piece.edges[i].Name, "neck", "centre", "center") }); ok {
		return x
	}
	return box.Center()[0]
}

// meanX is where the middles of some edges of a placed piece are, left to right.
func (p placed) meanX(is func(i int) bool) (x float64, ok bool) {
	var sum, n float64
	for i, e := range p.piece.edges {
		if is(i) {
			sum += e.path.Transform(p.m).Bound().Center()[0]
			n++
		}
	}
	return sum / math.Max(1, n), n > 0
}
