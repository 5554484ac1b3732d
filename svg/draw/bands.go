package draw

import (
	"math"
	"slices"
	"sort"
	"strings"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// neckline is the neck edges of a view from left to right, and the piece the
// middle of it belongs to.
func neckline(f *flat) (line []orb.Point, at patch, ok bool) {
	var paths []curve.Path
	for _, b := range f.body {
		for _, e := range b.piece.edges {
			if !says(e.Name, "neck") {
				continue
			}
			p := e.path.Transform(b.m)
			if lapped := f.lapped(b); len(lapped) > 0 {
				points := p.Flatten(flattenMM)
				open, _, _ := longest(points, outside(points, rings(lapped)))
				if len(open) < 2 {
					continue
				}
				p = curve.Polyline(open...)
			}
			if p.Start()[0] > p.End()[0] {
				p = p.Reverse()
			}
			paths = append(paths, p)
			mid, _ := e.path.At(e.path.Length() / 2)
			at = patch{piece: b.piece, at: mid}
		}
	}
	sort.SliceStable(paths, func(i, j int) bool { return paths[i].Start()[0] < paths[j].Start()[0] })
	for _, p := range paths {
		line = append(line, p.Flatten(flattenMM)...)
	}
	return line, at, len(line) > 1
}

// lookInside shows the back through the front's neck where it is lower: the
// back's neckline is set between the ends of the front's.
func lookInside(front, back *flat) {
	low, _, ok := neckline(front)
	high, at, ok2 := neckline(back)
	if !ok || !ok2 {
		return
	}
	a, b := high[0], high[len(high)-1]
	c, d := low[0], low[len(low)-1]
	if plane.Distance(a, b) < 1 || plane.Distance(c, d) < 1 {
		return
	}
	k := plane.Distance(c, d) / plane.Distance(a, b)
	m := curve.Align(a, b, c, d).Then(curve.Shift(-c[0], -c[1])).Then(curve.Matrix{k, 0, 0, k, 0, 0}).Then(curve.Shift(c[0], c[1]))
	high = apply(m, high)
	front.behind = &m
	at.ring = append([]orb.Point{}, high...)
	for i := len(low) - 1; i >= 0; i-- {
		at.ring = append(at.ring, low[i])
	}
	front.inside = append(front.inside, at)
}

// sewBands lays each band along the edges it is sewn to, half as wide as it
// is cut, for a band is folded (common practice, no source). A collar lies
// over the body at its whole width; what is under it is not seen. A band
// that gives no join goes to the edges of the body that have the name of one
// of its long edges.
func (o *outfit) sewBands(views []*flat) {
	var standing []*whole // collars that are sewn to a stand, which is laid first
	for _, b := range o.pieces {
		if o.standOf(b) != nil {
			standing = append(standing, b)
			continue
		}
		var width float64
		switch b.role {
		case band:
			_, short := b.sides()
			width = short / 2
		case collar:
			width = -b.depth()
		default:
			continue
		}
		var found []*ribbon
		var home []*flat
		guessed := map[ref]bool{} // the edges for which nothing tells which bit of the band goes there
		taken := map[int]bool{}
		b.inRow = o.rowsOf(b, views)
		rise := b.rise(views)
		for _, f := range views {
			for _, p := range append(append([]placed{}, f.body...), f.sleeves...) {
				for i := range p.piece.edges {
					if !b.goesTo(p.piece, i) || !o.takes(b, p, i) {
						continue
					}
					line, lo, hi := p.shown(i), 0.0, 1.0
					if len(p.over) > 0 {
						line, lo, hi = longest(line, outside(line, rings(p.over)))
					}
					if len(line) < 2 {
						continue
					}
					r := &ribbon{piece: b, line: stepped(line, 10), width: width, neck: b.role == band && says(p.piece.edges[i].Name, "neck")}
					side := line[0][0] + line[len(line)-1][0] - 2*middle(f)
					if f.name == "front" {
						side = -side // left and right change places
					}
					r.from, r.to = b.shownBit(p, i, taken, side*rise)
					if r.from == r.to {
						guessed[ref{p.piece, i}] = true
					}
					r.from, r.to = r.from+lo*(r.to-r.from), r.from+hi*(r.to-r.from)
					found, home = append(found, r), append(home, f)
				}
			}
		}
		var total float64
		for _, r := range found {
			if r.from == r.to {
				total += lengthOf(r.line)
			}
		}
		at := 0.0
		for i, r := range found {
			if r.from == r.to {
				r.unsure = len(guessed) > 1
				r.from = at / total
				at += lengthOf(r.line)
				r.to = at / total
			}
			home[i].bands = append(home[i].bands, *r)
			if len(views) > 1 && home[i] == views[1] && views[0].behind != nil && r.neck {
				inner := *r
				inner.line = apply(*views[0].behind, r.line)
				inner.from, inner.to = r.to, r.from // seen from inside, left and right change places
				views[0].innerBands = append(views[0].innerBands, inner)
			}
		}
	}
	for _, c := range standing {
		o.turnDown(c, views)
	}
}

// standOf is the band along the neck to which a collar is sewn, where it is sewn to none
// of the body; nil where there is none.
func (o *outfit) standOf(c *whole) (stand *whole) {
	if c.role != collar {
		return nil
	}
	for i := range c.edges {
		for _, q := range o.partners(ref{c, i}) {
			switch {
			case q.piece.role == front || q.piece.role == back || q.piece.role == sleeve:
				return nil
			case q.piece.role == band && !o.under[q.piece]:
				stand = q.piece
			}
		}
	}
	return stand
}

// turnDown lays a collar over its stand, from the stand's upper edge down: it shows the
// bit of its length that the stand does there, for the two are as long as one another.
func (o *outfit) turnDown(c *whole, views []*flat) {
	if o.under[c] {
		return
	}
	stand := o.standOf(c)
	for _, f := range views {
		for _, r := range slices.Clone(f.bands) {
			rings, _ := r.bits()
			if r.piece != stand || !r.neck || len(rings) == 0 {
				continue
			}
			top := []orb.Point{rings[0][3]}
			for _, q := range rings {
				top = append(top, q[2])
			}
			f.bands = append(f.bands, ribbon{piece: c, line: top, width: -c.depth(), from: r.from, to: r.to})
		}
	}
}

// rowsOf are the edges of a band that go round more edges in the views than there are of
// them.
func (o *outfit) rowsOf(b *whole, views []*flat) map[int]bool {
	round := map[int]int{}
	of := map[int]int{} // of an edge: how many of the band are sewn where it is
	for _, f := range views {
		for _, p := range slices.Concat(f.body, f.sleeves) {
			for i := range p.piece.edges {
				if !o.takes(b, p, i) || len(p.shown(i)) < 2 {
					continue
				}
				var these []int
				for k := range b.edges {
					if sewn(ref{b, k}, ref{p.piece, i}) {
						these = append(these, k)
					}
				}
				for _, k := range these {
					round[k]++
					of[k] = max(of[k], len(these))
				}
			}
		}
	}
	out := map[int]bool{}
	for k, n := range round {
		out[k] = n > of[k]
	}
	return out
}

// takes reports whether it is this copy of a band that goes to an edge: each
// copy of a piece has the band of its own side, or else of its own number, and
// of the two copies on one piece the first goes to the left.
func (o *outfit) takes(b *whole, p placed, edge int) bool {
	bands, pieces := o.copies(b), o.copies(p.piece)
	switch {
	case o.under[b]:
		return false
	case b.Side == "" && slices.ContainsFunc(o.pieces, func(q *whole) bool { return q.Name == b.Name && o.under[q] }):
		return true
	case bands < 2:
		return true
	case b.Side != "" && p.piece.Side != "":
		return b.Side == p.piece.Side
	case pieces > 1:
		return b.Copy == p.piece.Copy
	}
	middle := orb.MultiPoint(apply(p.m, p.piece.ring())).Bound().Center()
	left := p.piece.edges[edge].path.Transform(p.m).Bound().Center()[0] < middle[0]
	return left == (b.Copy == 1)
}

func (o *outfit) copies(w *whole) int {
	n := 0
	for _, p := range o.pieces {
		if p.Name == w.Name {
			n++
		}
	}
	return n
}

// goesTo reports whether a band is sewn to an edge of a piece.
func (w *whole) goesTo(p *whole, edge int) bool {
	joined := false
	for i, e := range w.edges {
		joined = joined || slices.ContainsFunc(e.Joins, func(j string) bool { return !strings.HasPrefix(j, w.Name+"/") })
		if sewn(ref{w, i}, ref{p, edge}) {
			return true
		}
	}
	if joined {
		return false
	}
	long, _ := w.sides()
	for _, e := range w.edges {
		if e.Name != "" && e.Name == p.edges[edge].Name && e.path.Length() > long/2 {
			return true
		}
	}
	return false
}

func lengthOf(line []orb.Point) float64 {
	var sum float64
	for i := 1; i < len(line); i++ {
		sum += plane.Distance(line[i-1], line[i])
	}
	return sum
}

// bits cuts a ribbon into short quadrilaterals, each with the place along the
// band that it shows.
func (r ribbon) bits() (rings [][]orb.Point, at []float64) {
	total := lengthOf(r.line)
	walked := 0.0
	normal := func(i int) orb.Point {
		a, b := r.line[max(0, i-1)], r.line[min(len(r.line)-1, i+1)]
		k := math.Max(plane.Distance(a, b), 1e-9)
		return orb.Point{(b[1] - a[1]) / k, -(b[0] - a[0]) / k}
	}
	for i := 1; i < len(r.line); i++ {
		p, q := r.line[i-1], r.line[i]
		rings = append(rings, []orb.Point{p, q, plane.Along(q, normal(i), r.width), plane.Along(p, normal(i-1), r.width)})
		step := plane.Distance(p, q)
		share := r.from + (r.to-r.from)*(walked+step/2)/total
		if share < 0 || share > 1 { // past where the band's ends meet
			share -= math.Floor(share)
		}
		at = append(at, share)
		walked += step
	}
	return rings, at
}

// markAlong notes the piecing seams that run along a folded band. Either half of it may
// be worn outside, so each lies as far from the fold as it is.
func (g *garment) markAlong(r ribbon, rings [][]orb.Point, at []float64) {
	if r.width <= 0 {
		return // a collar lies flat
	}
	box := r.piece.ring().Bound()
	long, across := 0, 1
	if w, h := size(box); h > w {
		long, across = 1, 0
	}
	length, depth := box.Max[long]-box.Min[long], box.Max[across]-box.Min[across]
	for _, s := range g.PiecingSeams {
		if s.Piece != r.piece.Name || s.Copy != r.piece.Copy || !runsAlong(s, long) || r.unsure && !r.piece.allAlong(s) {
			continue
		}
		from, to := s.Line[0], s.Line[len(s.Line)-1]
		lo, hi := (math.Min(from[long], to[long])-box.Min[long])/length, (math.Max(from[long], to[long])-box.Min[long])/length
		offFold := math.Abs((from[across]+to[across])/2-box.Center()[across]) / (depth / 2)
		place := func(sewn, fold orb.Point) orb.Point {
			return plane.Along(sewn, plane.Sub(fold, sewn), 1-offFold)
		}
		var run []orb.Point
		flush := func() {
			if lengthOf(run) >= leastShownMM {
				g.letter(s, curve.Polyline(run...))
			}
			run = nil
		}
		for i, q := range rings {
			if at[i] < lo || at[i] > hi {
				flush()
				continue
			}
			if len(run) == 0 {
				run = []orb.Point{place(q[0], q[3])}
			}
			run = append(run, place(q[1], q[2]))
		}
		flush()
	}
}

// allAlong reports whether a seam runs along all of a band's length, so that it shows
// on every bit of it.
func (w *whole) allAlong(s plan.PiecingSeam) bool {
	const endMM = 2.0
	box := w.ring().Bound()
	axis := 0
	if across, down := size(box); down > across {
		axis = 1
	}
	if !runsAlong(s, axis) {
		return false
	}
	from, to := s.Line[0][axis], s.Line[len(s.Line)-1][axis]
	return math.Min(from, to) < box.Min[axis]+endMM && math.Max(from, to) > box.Max[axis]-endMM
}

// runsAlong reports whether a seam runs along an axis more than across it.
func runsAlong(s plan.PiecingSeam, axis int) bool {
	if len(s.Line) == 0 {
		return false
	}
	from, to := s.Line[0], s.Line[len(s.Line)-1]
	return math.Abs(to[axis]-from[axis]) > math.Abs(to[1-axis]-from[1-axis])
}

// leastShownMM is the least of a piecing seam that is shown.
const leastShownMM = 5.0

// stepped is a line with a point at least every step mm.
func stepped(line []orb.Point, step float64) []orb.Point {
	out := line[:1:1]
	for i := 1; i < len(line); i++ {
		n := int(math.Ceil(plane.Distance(line[i-1], line[i]) / step))
		for k := 1; k <= n; k++ {
			out = append(out, plane.Along(line[i-1], plane.Sub(line[i], line[i-1]), float64(k)/float64(n)))
		}
	}
	return out
}
