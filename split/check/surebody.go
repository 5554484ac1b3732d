package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/peterstace/simplefeatures/geom"
)

// sureBody is what of a copy is there for certain, however its seams are moved within
// some ranges. What it gives lies within that distance of its edge, carried on
// straight at its ends. What it takes is a strip of the other piece, laid against its
// own edge: of that is certain what the least strip has, whichever shape.
type sureBody struct {
	ring    []point
	geom    geom.Geometry
	reach   []point // as far as the copy may come
	moved   bool    // its seams may be
	leastMM float64 // the least allowance of its edges
}

const (
	offMoveMM  = 0.3  // by how much a moved edge may be off
	truedByMM  = 1.0  // lines beside a strip are smoothed by that
	offSlope   = 0.02 // by how much the direction in which a curve's end is carried on may be off
	bothEndsMM = 3.0  // of a strip is nothing certain so near to its ends
)

// bodyOf is what is certain of a copy. Nil means that nothing is.
func (p *leastProof) bodyOf(at id, moves map[edgeRef]move) (*sureBody, error) {
	q := p.pieces[at]
	b := &sureBody{ring: q.region.ring, geom: q.region.geom, leastMM: math.Inf(1)}
	for _, e := range q.edges {
		b.leastMM = math.Min(b.leastMM, e.AllowanceMM)
	}
	var moved []movedEdge
	for k, e := range q.edges {
		if moves[edgeRef{at.name, e.Name}].any() {
			moved = append(moved, movedEdge{at, q, k})
		}
	}
	if len(moved) == 0 {
		return b, nil
	}
	b.moved = true
	var err error
	g, gains := b.geom, []geom.Geometry(nil)
	for _, f := range moved {
		m := moves[f.ref()]
		if m.takeMM == 0 {
			continue
		}
		strip, reach, lost, err := p.taken(f, m, moves)
		if err != nil {
			return nil, err
		}
		if g, err = geom.Difference(g, lost); err != nil {
			return nil, err
		}
		if !strip.IsEmpty() {
			gains = append(gains, strip)
		}
		b.reach = append(b.reach, reach...)
		for _, other := range p.edgesOf(m.other) {
			for _, e := range other.piece.edges {
				b.leastMM = math.Min(b.leastMM, e.AllowanceMM)
			}
		}
	}
	for _, s := range gains {
		if g, err = geom.Union(g, s); err != nil {
			return nil, err
		}
	}
	for _, e := range moved {
		if m := moves[e.ref()]; m.giveMM > 0 {
			if g, err = e.without(g, m.giveMM, m.gives); err != nil {
				return nil, err
			}
		}
	}
	if b.ring = largestRing(g); b.ring == nil {
		return nil, nil
	}
	b.geom = simple(b.ring).AsGeometry()
	if err := b.geom.Validate(); err != nil {
		return nil, nil
	}
	return b, nil
}

func (e movedEdge) ref() edgeRef { return edgeRef{e.at.name, e.piece.edges[e.k].Name} }

// largestRing is the outer line of the largest polygon, nil where there is none that
// counts.
func largestRing(g geom.Geometry) (out []point) {
	most := SlackMM * SlackMM
	for _, one := range g.Dump() {
		p, ok := one.AsPolygon()
		if !ok || p.Area() <= most || p.NumInteriorRings() > 0 {
			continue
		}
		most, out = p.Area(), nil
		xy := p.ExteriorRing().Coordinates()
		for k := range xy.Length() - 1 {
			v := xy.GetXY(k)
			out = append(out, point{v.X, v.Y})
		}
	}
	return out
}

// inward is the direction to the inside of the piece, from a direction along its
// edges.
func (e movedEdge) inward(u point) point {
	var ring []point
	for _, o := range e.piece.edges {
		ring = append(ring, o.line[:len(o.line)-1]...)
	}
	if signedArea(ring) < 0 {
		return point{u[1], -u[0]}
	}
	return point{-u[1], u[0]}
}

func unit(v point) point {
	l := math.Hypot(v[0], v[1])
	return point{v[0] / l, v[1] / l}
}

// strip is all that a move by so much may take from the piece at an edge: as far from
// the edge, carried on straight. One that tapers is as deep in its middle, and deeper
// where it is carried on.
func (e movedEdge) strip(mm float64, is shape) (geom.Geometry, error) {
	line := e.line()
	n := len(line)
	reach := 3*mm + 50
	deep := mm + offMoveMM
	if bowOf(line) > straightBowMM {
		deep += offSlope * reach
	}
	first, last := unit(sub(line[0], line[1])), unit(sub(line[n-1], line[n-2]))
	carried := append([]point{plus(line[0], first, reach)}, line...)
	carried = append(carried, plus(line[n-1], last, reach))
	g, err := geom.Buffer(lineOf(carried), deep*1.01, geom.BufferQuadSegments(16))
	if err != nil {
		return g, err
	}
	long := math.Max(1, distance(line[0], line[n-1]))
	before, after := e.beside(-1).Name, e.beside(1).Name
	for _, end := range []struct {
		at, out, in point
		beside      string
	}{{line[0], first, e.inward(point{-first[0], -first[1]}), before}, {line[n-1], last, e.inward(last), after}} {
		if is.even || is.stays != "" && is.stays == end.beside && before != after {
			continue
		}
		far := plus(end.at, end.out, reach)
		wedge := simple([]point{end.at, far, plus(far, end.in, deep*(1+1.1*reach/long)), plus(end.at, end.in, deep)})
		if g, err = geom.Union(g, wedge.AsGeometry()); err != nil {
			return g, err
		}
	}
	return g, nil
}

func lineOf(line []point) geom.Geometry {
	xy := make([]float64, 0, 2*len(line))
	for _, q := range line {
		xy = append(xy, q[0], q[1])
	}
	return geom.NewLineStringXY(xy...).AsGeometry()
}

// without is a shape less what the edge may give. Of what is left on several sides,
// what lies further in from the middle of the edge stays.
func (e movedEdge) without(g geom.Geometry, mm float64, is shape) (geom.Geometry, error) {
	s, err := e.strip(mm, is)
	if err != nil {
		return g, err
	}
	left, err := geom.Difference(g, s)
	if err != nil {
		return g, err
	}
	parts := polygonsOf(left)
	if len(parts) <= 1 {
		return left, nil
	}
	line := e.line()
	mid, u := middleOf(line)
	for in := mm; in < mm+100; in++ {
		at := plus(mid, e.inward(u), in)
		for _, one := range parts {
			if ring := largestRing(one); len(ring) > 0 && within(ring, at) {
				return one, nil
			}
		}
		if !within(e.piece.region.ring, at) {
			break
		}
	}
	return geom.Geometry{}, nil
}

func polygonsOf(g geom.Geometry) (out []geom.Geometry) {
	for _, one := range g.Dump() {
		if p, ok := one.AsPolygon(); ok && !p.IsEmpty() && p.Area() > 1e-3 {
			out = append(out, one)
		}
	}
	return out
}

// middleOf is the middle of a line, and its direction there.
func middleOf(line []point) (at, along point) {
	half := length(line) / 2
	for i := 1; i < len(line); i++ {
		if l := distance(line[i-1], line[i]); half <= l && l > 0 {
			return between(line[i-1], line[i], half/l), unit(sub(line[i], line[i-1]))
		} else {
			half -= l
		}
	}
	return line[0], unit(sub(line[len(line)-1], line[0]))
}

// taken is what an edge takes for certain, how far it may reach out with it, and what
// of the piece may be lost, where the strip does not lie as its own edge lay.
func (p *leastProof) taken(f movedEdge, m move, moves map[edgeRef]move) (strip geom.Geometry, reach []point, lost geom.Geometry, err error) {
	mates, certain := p.matesOf(f, m.other)
	apart, longer := 0.0, 0.0
	first := true
	for _, e := range mates {
		a, l, ok := likeEdges(e, f)
		if !ok {
			continue
		}
		apart, longer = math.Max(apart, a), math.Max(longer, l)
		lay := laidOn(e.line(), f.line())
		points, err := e.reach(m.takeMM, m.takes)
		if err != nil {
			return strip, nil, lost, err
		}
		for _, q := range points {
			reach = append(reach, lay(q))
		}
		if m.leastMM == 0 || !certain {
			continue
		}
		s, err := p.leastStrip(e, f, m, a+l, moves)
		if err != nil {
			return strip, nil, lost, err
		}
		s = s.TransformXY(func(xy geom.XY) geom.XY {
			q := lay(point{xy.X, xy.Y})
			return geom.XY{X: q[0], Y: q[1]}
		})
		if first {
			strip = s
		} else if strip, err = geom.Intersection(strip, s); err != nil {
			return strip, nil, lost, err
		}
		first = false
	}
	off := 2*apart + longer + offMoveMM
	if lost, err = geom.Buffer(lineOf(f.line()), off); err != nil {
		return strip, nil, lost, err
	}
	for _, step := range []int{-1, 1} {
		side, err := geom.Buffer(lineOf(f.beside(step).line), off+truedByMM)
		if err != nil {
			return strip, nil, lost, err
		}
		if lost, err = geom.Union(lost, side); err != nil {
			return strip, nil, lost, err
		}
	}
	return strip, reach, lost, nil
}

// matesOf is the edges of another piece to one of which an edge is sewn. They are
// certain where the edges beside them tell which can be.
func (p *leastProof) matesOf(f movedEdge, other edgeRef) (out []movedEdge, certain bool) {
	gives, takes := p.edgesOf(other), p.edgesOf(f.ref())
	best := make([][]int, len(gives))
	for i, e := range gives {
		most := -1
		for k, t := range takes {
			score := together(e.beside(-1), t.beside(1)) + together(e.beside(1), t.beside(-1))
			if score > most {
				most, best[i] = score, nil
			}
			if score == most {
				best[i] = append(best[i], k)
			}
		}
	}
	own := slices.IndexFunc(takes, func(t movedEdge) bool { return t.at == f.at && t.k == f.k })
	for i := range gives {
		alike := 0
		for k := range gives {
			switch {
			case slices.Equal(best[i], best[k]):
				alike++
			case slices.ContainsFunc(best[i], func(t int) bool { return slices.Contains(best[k], t) }):
				return gives, false
			}
		}
		if alike != len(best[i]) {
			return gives, false
		}
		if slices.Contains(best[i], own) {
			out = append(out, gives[i])
		}
	}
	return out, len(out) > 0
}

// together is how much speaks for it that two edges lie beside each other once the
// seam between them is sewn.
func together(a, b drawnEdge) int {
	n := 0
	if a.Name != "" && a.Name == b.Name {
		n += 2
	}
	for _, x := range a.Joins {
		for _, y := range b.Joins {
			if edgeRefOf(x).piece == edgeRefOf(y).piece {
				n++
			}
		}
	}
	return n
}

// reach is points about all that an edge may give.
func (e movedEdge) reach(mm float64, is shape) (out []point, err error) {
	s, err := e.strip(mm, is)
	if err != nil {
		return nil, err
	}
	for _, side := range []drawnEdge{e.beside(-1), e.beside(1)} {
		near, err := geom.Intersection(lineOf(side.line), s)
		if err != nil {
			return nil, err
		}
		xy := near.DumpCoordinates()
		for k := range xy.Length() {
			v := xy.GetXY(k)
			out = append(out, point{v.X, v.Y})
		}
	}
	line := e.line()
	for i, q := range line {
		u := sub(line[min(i+1, len(line)-1)], line[max(0, i-1)])
		out = append(out, q, plus(q, e.inward(unit(u)), mm))
	}
	return out, nil
}

// leastStrip is what of an edge's own piece the least strip has that it gives: as far
// in as that, between the edges beside it, and not nearer to its ends than some mm. It
// reaches a little over the edge, into the piece of the edge that takes it.
func (p *leastProof) leastStrip(e, f movedEdge, m move, offMM float64, moves map[edgeRef]move) (geom.Geometry, error) {
	g, err := geom.Buffer(e.piece.region.geom, -(offMM + offMoveMM))
	if err != nil {
		return g, err
	}
	for k, o := range e.piece.edges { // what it gives elsewhere is not there
		if at := (movedEdge{e.at, e.piece, k}); k != e.k && moves[at.ref()].giveMM > 0 {
			of := moves[edgeRef{e.at.name, o.Name}]
			if s, err := at.strip(of.giveMM, of.gives); err != nil {
				return g, err
			} else if g, err = geom.Difference(g, s); err != nil {
				return g, err
			}
		} else if at := (edgeRef{e.at.name, o.Name}); k != e.k && moves[at].takeMM > 0 {
			for _, side := range []int{-1, 0, 1} { // and may be a little less where it takes
				near, err := geom.Buffer(lineOf(movedEdge{e.at, e.piece, k}.beside(side).line), 2*mostUnlikeMM+mostLongerMM+truedByMM)
				if err != nil {
					return g, err
				}
				if g, err = geom.Difference(g, near); err != nil {
					return g, err
				}
			}
		}
	}
	line := e.line()
	long := length(line)
	ends := bothEndsMM + 2*offMM
	share := func(t float64) float64 {
		before, after := e.beside(-1).Name, e.beside(1).Name
		switch {
		case m.takes.even:
			return 1
		case m.takes.stays != "" && m.takes.stays == before && before != after:
			return t
		case m.takes.stays != "" && m.takes.stays == after && before != after:
			return 1 - t
		}
		return math.Min(t, 1-t)
	}
	var in, out, low []point // as far in as the strip, a little off, and a little in
	thin := 1 + offMM
	lay := laidOn(line, f.line())
	for mm := ends; mm <= long-ends; mm += stepMM {
		q, u := pointAlong(line, mm)
		w := e.inward(u)
		deep := share(mm/long)*m.leastMM - offMM - offMoveMM
		if deep < offMM+offMoveMM {
			continue
		}
		in, out, low = append(in, plus(q, w, deep)), append(out, plus(q, w, -thin)), append(low, plus(q, w, math.Min(thin, deep)))
		if !within(f.piece.region.ring, lay(out[len(out)-1])) || !within(e.piece.region.ring, low[len(low)-1]) {
			return geom.Geometry{}, nil // so sharp a corner is no place to be certain of
		}
	}
	if len(in) < 3 {
		return geom.Geometry{}, nil
	}
	ringOf := func(a, b []point) (geom.Geometry, error) {
		back := slices.Clone(b)
		slices.Reverse(back)
		polygon := simple(append(slices.Clone(a), back...))
		return polygon.AsGeometry(), polygon.Validate()
	}
	band, err := ringOf(in, out)
	if err != nil {
		return geom.Geometry{}, nil // of so bent a strip nothing is said
	}
	edge, err := ringOf(low, out)
	if err != nil {
		return geom.Geometry{}, nil
	}
	if band, err = geom.Intersection(band, g); err != nil {
		return band, err
	}
	if band, err = geom.Union(band, edge); err != nil {
		return band, err
	}
	for _, one := range polygonsOf(band) {
		if within(largestRing(one), between(low[len(low)/2], out[len(out)/2], 0.5)) {
			return one, nil
		}
	}
	return geom.Geometry{}, nil
}

// pointAlong is a point so far along a line, and the line's direction there.
func pointAlong(line []point, mm float64) (at, along point) {
	for i := 1; i < len(line); i++ {
		l := distance(line[i-1], line[i])
		if l > 0 && (mm <= l || i == len(line)-1) {
			return between(line[i-1], line[i], mm/l), unit(sub(line[i], line[i-1]))
		}
		mm -= l
	}
	return line[0], unit(sub(line[len(line)-1], line[0]))
}

// bodyKey tells what is certain of a copy apart from what else may be.
func (p *leastProof) bodyKey(at id, moves map[edgeRef]move, broken map[string]bool) string {
	if broken[at.name] {
		return "broken"
	}
	var key strings.Builder
	others := map[string]bool{at.name: true} // what is taken depends on what the other piece gives elsewhere
	for _, e := range p.pieces[at].edges {
		if m := moves[edgeRef{at.name, e.Name}]; m.leastMM > 0 {
			others[m.other.piece] = true
		}
	}
	for _, j := range p.joints {
		for _, side := range j.sides {
			if others[side.piece] && moves[side].any() {
				fmt.Fprintf(&key, "%s %+v;", side, moves[side])
			}
		}
	}
	return key.String()
}
