package lining

import (
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// How exactly a facing must lie on its piece.
const (
	onLineMM   = 1.0  // an edge of the facing this near to one of the piece is the same
	cornerMM   = 4.0  // and an end of its inner edge this near to a corner of it is at the corner
	leastLies  = 0.98 // of the facing's outline is on the piece, or on its edge
	leastCutMM = 0.5  // less off an edge is nothing
	stepMM     = 1.0  // between the places of an outline that are asked
)

// facingEdge names the edge of a lining that is sewn to a facing's inner edge.
const facingEdge = "facing"

// Passed is a facing at whose inner edge a lining does not start: it goes on to the
// garment's own edge.
type Passed struct {
	Facing string
	Why    string   // in words: "facing is not cut"
	Cut    []string // the copies of it that are cut all the same, by name
}

// pass drops the facings that are passed, and says where the lining goes to the edge
// for it, and for which copies of them it is to be cut back.
func (l *Lining) pass(kept, facings []*piece.Piece, passed []Passed) (left []*piece.Piece) {
	for _, f := range facings {
		l.Facings = append(l.Facings, f.Name)
		k := slices.IndexFunc(passed, func(p Passed) bool { return p.Facing == f.Name })
		if k < 0 {
			left = append(left, f)
			continue
		}
		var edges []string
		for _, p := range kept {
			for _, e := range p.Outline {
				at := piece.Ref{Piece: p.Name, Edge: e.Name}.String()
				if slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece == f.Name }) && !slices.Contains(edges, at) {
					edges = append(edges, at)
				}
			}
		}
		if len(edges) > 0 {
			l.note("%s, so the lining goes to the garment's own edge there and is sewn to it: %s", passed[k].Why, strings.Join(edges, ", "))
		}
		for _, cut := range passed[k].Cut {
			l.note("%s is cut: cut its width off the lining on the side that it is sewn to, less two allowances, and sew the lining to it there", cut)
		}
	}
	return left
}

// takeOffFacings cuts from each piece what its facings cover. What a piece then
// lacks of a seam is sewn to the facing there, so as much of the other side of
// that seam becomes an edge of its own, sewn to the facing.
func (l *Lining) takeOffFacings(kept, facings []*piece.Piece) []*piece.Piece {
	out := slices.Clone(kept)
	cuts := map[string][]shortened{}
	for _, f := range facings {
		laid := false
		for i, p := range out {
			rest, cut, offMM, ok := takeOff(p, f)
			if !ok {
				continue
			}
			out[i], laid = rest, true
			cuts[p.Name] = append(cuts[p.Name], cut...)
			l.note("%s: its lining starts at the inner edge of %s, an edge named %s", p.Name, f.Name, facingEdge)
			if offMM > onLineMM {
				l.note("%s: an end of %s is drawn %s off its edge, and taken to be on it", p.Name, f.Name, mm(offMM))
			}
		}
		if !laid {
			l.note("%s could not be laid on a piece along an edge that it is sewn to, so the lining goes to the garment's own edge there; cut the width of the facing off, less two allowances", f.Name)
		}
	}
	for _, p := range kept {
		for _, c := range cuts[p.Name] {
			for i, q := range out {
				if q.Name == p.Name {
					continue
				}
				if rest, ok := c.partOf(q, cuts[q.Name], kept); ok {
					out[i] = rest
				}
			}
		}
	}
	return out
}

// shortened is an edge of which a facing covers a stretch at one end.
type shortened struct {
	of     piece.Ref
	joins  []piece.Ref
	beside piece.Edge // the edge that meets it at that end
	byMM   float64
}

// takeOff is a piece without what a facing covers.
// OffMM is how far an end of the facing's inner edge lies from the piece's edge.
func takeOff(p, f *piece.Piece) (rest *piece.Piece, cut []shortened, offMM float64, ok bool) {
	laid := layOn(p, f)
	if laid == nil {
		return nil, nil, 0, false
	}
	inner, offMM, ok := innerEdge(p.Outline, laid)
	if !ok {
		return nil, nil, 0, false
	}
	whole := p.Outline.Path().Ruler()
	from, _ := whole.Nearest(inner.End()) // where the piece starts again
	to, _ := whole.Nearest(inner.Start()) // where it ends
	o, cut := stretchOf(p, from, to)
	if len(o) == 0 {
		return nil, nil, 0, false
	}
	line := inner
	line[0].P0 = o[len(o)-1].Line.End()
	line[len(line)-1].P1 = o[0].Line.Start()
	o = append(o, piece.Edge{Name: facingEdge, Line: line, AllowanceMM: piece.DefaultAllowanceMM})
	c := *p
	c.Outline = o
	path := o.Path()
	on := func(q orb.Point) bool {
		_, away := path.Nearest(q)
		return away < leastCutMM
	}
	c.Darts = slices.DeleteFunc(slices.Clone(p.Darts), func(d piece.Dart) bool { return !on(d.Leg1) || !on(d.Leg2) })
	return &c, cut, offMM, true
}

// layOn is the outline of a facing laid on the piece along an edge that they
// share, as drawn or turned over; nil where it does not lie on it.
func layOn(p, f *piece.Piece) curve.Path {
	ring := p.Outline.Ring()
	var best curve.Path
	most := 0.0
	for _, e := range p.Outline {
		for _, g := range f.Outline {
			if !slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece == f.Name && r.Edge == g.Name }) {
				continue
			}
			a, b := e.Line.Start(), e.Line.End()
			c, d := g.Line.Start(), g.Line.End()
			if plane.Distance(a, b) < onLineMM || plane.Distance(c, d) < onLineMM {
				continue
			}
			drawn := f.Outline.Path()
			turned := drawn.Transform(curve.Mirror(c, d)).Reverse()
			for _, way := range []curve.Path{
				drawn.Transform(curve.Align(c, d, a, b)),
				turned.Transform(curve.Align(d, c, a, b)),
			} {
				near, lies := overlap(ring, way)
				if lies >= leastLies && near > most {
					best, most = way, near
				}
			}
		}
	}
	return best
}

// overlap is how much of a closed line runs along a ring, and how much along it
// or inside it, as shares.
func overlap(ring orb.Ring, line curve.Path) (near, lies float64) {
	points := sampled(line)
	for _, q := range points {
		switch {
		case plane.ToRing(ring, q) <= onLineMM:
			near++
			lies++
		case plane.Holds(ring, q):
			lies++
		}
	}
	n := math.Max(1, float64(len(points)))
	return near / n, lies / n
}

// sampled is places along a line, stepMM apart.
func sampled(line curve.Path) []orb.Point {
	r := line.Ruler()
	n := int(r.Length() / stepMM)
	out := make([]orb.Point, n)
	for i := range out {
		out[i], _ = line.At((float64(i) + 0.5) * r.Length() / float64(n))
	}
	return out
}

// innerEdge is the one stretch of a facing's outline that runs inside the
// piece, from its edge to its edge, in the direction in which the piece's
// outline goes on along it. OffMM is how far an end of it was drawn from that edge.
func innerEdge(o piece.Outline, facing curve.Path) (line curve.Path, offMM float64, ok bool) {
	ring := o.Ring()
	points := sampled(facing)
	inside := make([]bool, len(points))
	for i, q := range points {
		inside[i] = plane.ToRing(ring, q) > onLineMM
	}
	start, end, runs := -1, -1, 0
	for i := range inside {
		before := inside[(i+len(inside)-1)%len(inside)]
		if inside[i] && !before {
			start, runs = i, runs+1
		}
		if !inside[i] && before {
			end = i
		}
	}
	if runs != 1 || start < 0 || end < 0 {
		return nil, 0, false
	}
	r := facing.Ruler()
	step := r.Length() / float64(len(points))
	from, to := snapped(facing, float64(start)*step), snapped(facing, float64(end)*step)
	from, to = past(ring, facing, from, to, 1), past(ring, facing, to, from, -1)
	if from < to {
		line = r.Between(from, to)
	} else {
		line = append(r.Between(from, r.Length()), r.Between(0, to)...)
	}
	if len(line) == 0 {
		return nil, 0, false
	}
	line = line.Reverse()
	whole := o.Path()
	for _, end := range []*orb.Point{&line[0].P0, &line[len(line)-1].P1} {
		at, away := whole.Nearest(*end)
		if away > cornerMM {
			return nil, 0, false
		}
		offMM = math.Max(offMM, away)
		*end, _ = whole.At(at)
	}
	return line, offMM, true
}

// past takes an end of an inner edge on, in a direction along the facing's outline but
// not as far as its other end, to the last joint up to which the facing keeps to the
// piece's edge as nearly as a corner must: what lies before it is the facing's own edge
// there, drawn a little off the piece's.
func past(ring orb.Ring, facing curve.Path, at, other, direction float64) float64 {
	r := facing.Ruler()
	total := r.Length()
	var joints []float64 // how far they are from there
	sum := 0.0
	for _, s := range facing {
		joints = append(joints, math.Mod(direction*(sum-at)+2*total, total))
		sum += s.Length()
	}
	slices.Sort(joints)
	limit := math.Mod(direction*(other-at)+2*total, total)
	on, walked := 0.0, 0.0
	for _, j := range joints {
		if j >= limit {
			break
		}
		for ; walked < j; walked += stepMM {
			q, _ := facing.At(math.Mod(at+direction*walked+total, total))
			if plane.ToRing(ring, q) > cornerMM {
				return math.Mod(at+direction*on+total, total)
			}
		}
		on = j
	}
	return math.Mod(at+direction*on+total, total)
}

// snapped takes a place along a closed line to a joint of it that is near.
func snapped(line curve.Path, at float64) float64 {
	total := line.Length()
	best, near, sum := at, cornerMM, 0.0
	for _, s := range line {
		if off := math.Abs(math.Remainder(at-sum, total)); off < near {
			best, near = sum, off
		}
		sum += s.Length()
	}
	return best
}

// stretchOf is an outline from one place along it on to another, and the edges
// of which only a part is in it.
func stretchOf(p *piece.Piece, from, to float64) (piece.Outline, []shortened) {
	total := p.Outline.Length()
	if to <= from {
		to += total
	}
	var out piece.Outline
	var cut []shortened
	n := len(p.Outline)
	for turn, at := 0, 0.0; turn < 2; turn++ {
		for i, e := range p.Outline {
			length := e.Line.Length()
			lo, hi := math.Max(0, from-at), math.Min(length, to-at)
			at += length
			if hi-lo < leastCutMM {
				continue
			}
			ref := piece.Ref{Piece: p.Name, Edge: e.Name}
			if lo > leastCutMM {
				cut = append(cut, shortened{ref, e.Joins, p.Outline[(i+n-1)%n], lo})
			} else {
				lo = 0
			}
			if length-hi > leastCutMM {
				cut = append(cut, shortened{ref, e.Joins, p.Outline[(i+1)%n], length - hi})
			} else {
				hi = length
			}
			out = append(out, e.Between(lo, hi))
		}
	}
	return out, cut
}

// partOf parts from the edge of another piece that a shortened edge is sewn to
// the stretch that is sewn to the facing instead, less what a facing of its own
// has taken there. Which end of the edge that is, the names and joins of what lies beside
// the two say; or else an end where the garment is open goes with one where it is.
func (c shortened) partOf(q *piece.Piece, own []shortened, lined []*piece.Piece) (*piece.Piece, bool) {
	open := func(e piece.Edge) bool {
		return !slices.ContainsFunc(e.Joins, func(r piece.Ref) bool {
			return slices.ContainsFunc(lined, func(p *piece.Piece) bool { return p.Name == r.Piece })
		})
	}
	out := *q
	out.Outline = nil
	parted := false
	n := len(q.Outline)
	for i, e := range q.Outline {
		if e.Name == "" || !slices.ContainsFunc(c.joins, func(r piece.Ref) bool { return r.Piece == q.Name && r.Edge == e.Name }) {
			out.Outline = append(out.Outline, e)
			continue
		}
		last, next := q.Outline[(i+n-1)%n], q.Outline[(i+1)%n]
		before, after := goTogether(c.beside, last), goTogether(c.beside, next)
		if before == after && open(c.beside) && open(last) != open(next) {
			if open(last) {
				before++
			} else {
				after++
			}
		}
		by := c.byMM
		for _, mine := range own {
			if mine.of.Edge == e.Name {
				by -= mine.byMM
			}
		}
		length := e.Line.Length()
		if before == after || by < leastCutMM || by > length-leastCutMM {
			out.Outline = append(out.Outline, e)
			continue
		}
		parted = true
		sewn := func(from, to float64) piece.Edge {
			bit := e.Between(from, to)
			bit.Name, bit.Joins, bit.Ease = e.Name+"-"+facingEdge, nil, piece.Ease{}
			return bit
		}
		if before > after {
			out.Outline = append(out.Outline, sewn(0, by), e.Between(by, length))
		} else {
			out.Outline = append(out.Outline, e.Between(0, length-by), sewn(length-by, length))
		}
	}
	return &out, parted
}

// goTogether is how much speaks for two edges being sewn into one line, as the
// necks of front and back are.
func goTogether(a, b piece.Edge) int {
	score := 0
	if a.Name != "" && a.Name == b.Name {
		score += 2
	}
	if first, _, _ := strings.Cut(a.Name, "-"); first != "" && strings.HasPrefix(b.Name, first) {
		score++
	}
	for _, x := range a.Joins {
		if slices.ContainsFunc(b.Joins, func(y piece.Ref) bool { return x.Piece == y.Piece }) {
			score++
		}
	}
	return score
}
