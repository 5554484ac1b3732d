package lining

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/mat"
)

// equalise makes the two sides of each seam equally long, or as different as
// gathers were drawn. What gives is the corners that nothing of the garment
// holds, and the bend of curved edges: as little as can be, by the least sum of
// squares, a corner's way counting more than a bend. That is a least-norm
// problem with equations for the lengths, solved by Newton's steps, each of
// which solves the equations made linear (the Gauss-Newton method with the
// Moore-Penrose inverse; textbooks of numerical analysis, from memory). A step
// that makes the lengths differ more is halved until they differ less (damped
// Newton, from memory): the bend of a flat curve is far from linear.
func equalise(blocks []*block, wanted []equation, allow map[string]float64) error {
	s := &seams{blocks: blocks, means: map[piece.Ref]float64{}}
	for _, b := range blocks {
		b.bend()
		s.measure(b)
	}
	s.unknowns()
	s.equations(wanted, allow)
	x := make([]float64, len(s.vary))
	const steps = 300 // where bends are flat each gains little, and takes little time
	for range steps {
		if s.off() < unequalMM/4 || len(x) == 0 {
			break
		}
		x = s.damped(x, s.step(x))
	}
	for _, w := range s.equal {
		if off := math.Abs(s.residual(w)); off > unequalMM {
			return fmt.Errorf("%s and %s differ by %s in the lining, and the pieces cannot give that much; give less ease, or write lining: no on one of them", side(w.A), side(w.B), mm(off))
		}
	}
	for i, v := range s.vary {
		if math.Abs(x[i]) > mostGiveMM {
			return fmt.Errorf("to make its seams equal, %q would have to give by more than %s at %s; check the lengths that are sewn together there, or write lining: no on it", v.of.p.Name, mm(mostGiveMM), v.of.called(v.edge))
		}
	}
	return nil
}

// mostGiveMM is the most that a corner or a bend gives. More would be another
// garment's.
const mostGiveMM = 30.0

// seams is what may vary and what must be equal.
type seams struct {
	blocks []*block
	vary   []unknown
	equal  []equation
	means  map[piece.Ref]float64 // how long one edge of each name is, darts closed
}

// unknown is one number that may vary, in mm: the place of the corner where an
// edge starts, in x or y, or the bend of the edge.
type unknown struct {
	of   *block
	edge int
	axis int // 0 x, 1 y, 2 the bend
	cost float64
}

// equation is a seam whose two sides are to differ by so much.
type equation struct {
	allowance.Walked
	differMM  float64
	coveredMM float64 // what a facing takes from B, so that as much of A is sewn to the facing; less than 0 where it takes from A
}

// What a millimetre of a corner's way, and of a bend, count for in the sum of
// squares; and from which height of its bow on an edge counts as a curve. They
// are judgement: a cap or an armhole can take a few millimetres of bend, and
// the ease at the side is to stay.
const (
	cornerCost = 4.0
	bendCost   = 1.0
	leastBowMM = 4.0
)

func (s *seams) unknowns() {
	for _, b := range s.blocks {
		for i := range b.edges {
			e, before := &b.edges[i], b.beside(i, -1)
			held := func(r role) bool { return r == shell || r == fold }
			if !held(e.role) && !held(before.role) && (e.role == joint || before.role == joint) {
				s.vary = append(s.vary, unknown{b, i, 0, cornerCost}, unknown{b, i, 1, cornerCost})
			}
			if e.role == joint && e.height >= leastBowMM {
				s.vary = append(s.vary, unknown{b, i, 2, bendCost})
			}
		}
	}
}

// bow is how far a line strays from the straight one between its ends.
func bow(line curve.Path) float64 {
	chord := curve.Polyline(line.Start(), line.End())
	far := 0.0
	for _, q := range line.Flatten(1) {
		_, away := chord.Nearest(q)
		far = math.Max(far, away)
	}
	return far
}

// String names a seam by its edges.
func (w equation) String() string { return side(w.A) + " and " + side(w.B) }

// seamsOf are the seams of the pieces that are kept of a garment, and by how much
// the two sides of each are to differ in a lining: where the garment's are
// gathered, as they do, and where a facing covers a stretch of one side alone, by that.
// How often each edge is in a seam the whole garment tells: what is left of a seam beside
// a facing may come out even in another reading.
func seamsOf(kept, garment []*piece.Piece) []equation {
	lengths := meanMM(kept)
	whole := allowance.Walk(garment)
	var out []equation
	for _, w := range allowance.Walk(kept) {
		if w.Stretch || len(w.A) == 1 && slices.Equal(w.A, w.B) {
			continue // or an edge sewn to its own like
		}
		e := equation{Walked: w}
		g, found := asIn(whole, w)
		if found {
			e.TimesA, e.TimesB, e.Seams = g.TimesA, g.TimesB, g.Seams
			e.AMM, e.BMM = e.sides(lengths)
		}
		switch covered := e.DifferenceMM() - g.DifferenceMM(); {
		case !found && !w.EasesIn():
			e.differMM = w.DifferenceMM()
		case found && !g.EasesIn() && !e.EasesIn():
			e.differMM = e.DifferenceMM()
		case found && math.Abs(covered) > leastCutMM:
			e.differMM, e.coveredMM = covered, covered
		}
		out = append(out, e)
	}
	return out
}

// asIn is what a seam is in others, of which it may be a part: how often each of its edges
// is in it, and by how much the sides differ.
func asIn(whole []allowance.Walked, w allowance.Walked) (allowance.Walked, bool) {
	times := func(refs, in []piece.Ref, of []int) (out []int) {
		for _, r := range refs {
			if k := slices.Index(in, r); k >= 0 {
				out = append(out, of[k])
			}
		}
		return out
	}
	for _, g := range whole {
		for _, turned := range []bool{false, true} {
			if turned {
				g.A, g.B, g.TimesA, g.TimesB, g.AMM, g.BMM = g.B, g.A, g.TimesB, g.TimesA, g.BMM, g.AMM
			}
			a, b := times(w.A, g.A, g.TimesA), times(w.B, g.B, g.TimesB)
			if len(a) == len(w.A) && len(b) == len(w.B) {
				g.TimesA, g.TimesB = a, b
				return g, true
			}
		}
	}
	return allowance.Walked{}, false
}

// meanMM is how long one edge of each name is on some pieces, darts closed.
func meanMM(pieces []*piece.Piece) func(piece.Ref) float64 {
	return func(r piece.Ref) float64 {
		sum, n := 0.0, 0
		for _, p := range pieces {
			if p.Name != r.Piece {
				continue
			}
			for _, i := range p.Outline.Edge(r.Edge) {
				sum, n = sum+allowance.ClosedMM(p.Outline[i], p.Darts), n+1
			}
		}
		return sum / float64(max(1, n))
	}
}

// sides is how long both sides of a seam are, given how long one edge of each name is.
func (w equation) sides(meanMM func(piece.Ref) float64) (aMM, bMM float64) {
	for i, r := range w.A {
		aMM += float64(w.TimesA[i]) * meanMM(r)
	}
	for i, r := range w.B {
		bMM += float64(w.TimesB[i]) * meanMM(r)
	}
	return aMM, bMM
}

// equations are the seams of the garment as far as it is lined.
func (s *seams) equations(wanted []equation, allow map[string]float64) {
	for _, w := range wanted {
		if w.differMM != 0 {
			for _, b := range s.blocks {
				b.gather(append(slices.Clone(w.A), w.B...))
			}
		}
		w.differMM += allow[w.String()]
		s.equal = append(s.equal, w)
	}
}

// gather says of the edges of a block that are among those that they, or what
// they are sewn to, are gathered.
func (b *block) gather(refs []piece.Ref) {
	for i := range b.edges {
		if slices.Contains(refs, piece.Ref{Piece: b.p.Name, Edge: b.edges[i].Name}) {
			b.edges[i].gathered = true
		}
	}
}

// off is by how much a seam is off, given how long one edge of each name is.
func (w equation) off(meanMM func(piece.Ref) float64) float64 {
	a, b := w.sides(meanMM)
	return a - b - w.differMM
}

func (s *seams) residual(w equation) float64 {
	return w.off(func(r piece.Ref) float64 { return s.means[r] })
}

// off is by how much the seam is off that is off most.
func (s *seams) off() float64 {
	worst := 0.0
	for _, w := range s.equal {
		worst = math.Max(worst, math.Abs(s.residual(w)))
	}
	return worst
}

// measure measures the edges of a block that are sewn to others.
func (s *seams) measure(b *block) {
	whole := 1.0
	if b.folded {
		whole = 2
	}
	for i := range b.edges {
		if e := &b.edges[i]; e.role == joint {
			s.means[piece.Ref{Piece: b.p.Name, Edge: e.Name}] = 0
		}
	}
	for i := range b.edges {
		if e := &b.edges[i]; e.role == joint {
			times := len(b.p.Outline.Edge(e.Name))
			s.means[piece.Ref{Piece: b.p.Name, Edge: e.Name}] += whole * b.closed(i) / float64(times)
		}
	}
}

// closed is the length of an edge without the mouths of the darts on it.
func (b *block) closed(i int) float64 {
	e := &b.edges[i]
	length := e.now.Length()
	for _, d := range b.darts {
		from, ok1 := e.onto(d.Leg1)
		to, ok2 := e.onto(d.Leg2)
		if ok1 && ok2 {
			length -= math.Abs(to - from)
		}
	}
	return length
}

// onto is where along an edge, as it is now, a place on it as it was comes to
// lie; false for a place that was not on it, or is no more.
func (e *edge) onto(was orb.Point) (alongMM float64, ok bool) {
	const onMM = 0.1
	if _, away := e.Line.Nearest(was); away > onMM {
		return 0, false
	}
	alongMM, away := e.now.Nearest(e.toNow.Apply(e.toBase.Apply(was)))
	return alongMM, away <= onMM
}

// step is the next numbers, for which the equations made linear at x hold and
// the sum of squares is the least.
func (s *seams) step(x []float64) []float64 {
	const h = 1e-4
	rows, cols := len(s.equal), len(s.vary)
	j, r := mat.NewDense(rows, cols, nil), mat.NewVecDense(rows, nil)
	for k, w := range s.equal {
		r.SetVec(k, s.residual(w))
	}
	for c, v := range s.vary {
		var side [2][]float64
		for n, at := range []float64{x[c] + h, x[c] - h} {
			s.put(v, at)
			for _, w := range s.equal {
				side[n] = append(side[n], s.residual(w))
			}
		}
		s.put(v, x[c])
		for k := range rows {
			// In units of cost, so that the least norm is the least sum.
			j.Set(k, c, (side[0][k]-side[1][k])/(2*h)/math.Sqrt(v.cost))
		}
	}
	// J y = J y0 - r, y being x in units of cost.
	y0, want := mat.NewVecDense(cols, nil), mat.NewVecDense(rows, nil)
	for c := range cols {
		y0.SetVec(c, x[c]*math.Sqrt(s.vary[c].cost))
	}
	want.MulVec(j, y0)
	want.SubVec(want, r)
	var svd mat.SVD
	if !svd.Factorize(j, mat.SVDThin) {
		return x
	}
	const leastSingular = 1e-6
	rank := 0
	for _, v := range svd.Values(nil) {
		if v > leastSingular {
			rank++
		}
	}
	if rank == 0 {
		return x
	}
	var y mat.VecDense
	svd.SolveVecTo(&y, want, rank)
	out := make([]float64, cols)
	for c := range cols {
		out[c] = y.AtVec(c) / math.Sqrt(s.vary[c].cost)
	}
	return out
}

// damped puts the unknowns as far from x towards next as makes the sum of
// squares of what the seams are off by less, and returns them. Where no such way
// is found they stay at x.
func (s *seams) damped(x, next []float64) []float64 {
	const mostHalvings = 10
	put := func(at []float64) []float64 {
		for c, v := range s.vary {
			s.put(v, at[c])
		}
		return at
	}
	before := s.squares()
	for range mostHalvings {
		if put(next); s.squares() < before {
			return next
		}
		for c := range next {
			next[c] = (x[c] + next[c]) / 2
		}
	}
	return put(x)
}

// squares is the sum of squares of what the seams are off by.
func (s *seams) squares() float64 {
	sum := 0.0
	for _, w := range s.equal {
		sum += s.residual(w) * s.residual(w)
	}
	return sum
}

// put gives an unknown its number, and measures the block anew.
func (s *seams) put(v unknown, x float64) {
	if v.axis < 2 {
		v.of.moved[v.edge][v.axis] = x
	} else {
		v.of.edges[v.edge].bowMM = x
	}
	v.of.bend()
	s.measure(v.of)
}

// bend makes the lines as they are now of those that the ease gave.
func (b *block) bend() {
	n := len(b.edges)
	for i := range b.edges {
		e := &b.edges[i]
		bend := 1.0
		if e.bowMM != 0 {
			bend += e.bowMM / e.height
		}
		e.toNow = stretch(e.base, b.moved[i], b.moved[(i+1)%n], bend)
		e.now = e.base.Transform(e.toNow)
		e.now[0].P0 = plane.Add(e.base.Start(), b.moved[i])
		e.now[len(e.now)-1].P1 = plane.Add(e.base.End(), b.moved[(i+1)%n])
	}
}

func side(refs []piece.Ref) string {
	var out []string
	for _, r := range refs {
		out = append(out, r.String())
	}
	return strings.Join(out, " + ")
}
