package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/split/plan"
)

// A seam between two pieces may be moved: a strip of the one goes over to the other.
// What is proved of all plans is proved for ranges of how far each is moved, and the
// ranges together are all there is. These are the limits within which a seam is
// moved, and those of edges between which it can be.
const (
	leastMoveMM   = 3.0
	mostMoveMM    = 80.0
	mostEdgeBow   = 1.05 / 12 // of an edge's length, a little more than is let
	mostLongerMM  = 1.5       // the one edge than the other, likewise
	mostUnlikeMM  = 3.5       // between the two, laid on each other, likewise
	straightBowMM = 0.2       // an edge that bows no more is straight
)

// edgeRef is all edges of one name on all copies of a piece.
type edgeRef struct{ piece, edge string }

func (r edgeRef) String() string { return r.piece + "/" + r.edge }

func edgeRefOf(s string) edgeRef {
	at := strings.LastIndexByte(s, '/')
	return edgeRef{s[:max(0, at)], s[at+1:]}
}

// joint is a seam that may be moved.
type joint struct {
	sides [2]edgeRef
	gives [2]bool     // whether that side may give to the other
	stays [2][]string // the edges beside it at which what it gives may taper to nothing
}

// move is how far one edge is moved, at least and at most.
type move struct {
	giveMM, takeMM float64 // at most
	leastMM        float64 // that it takes
	takes, gives   shape   // of the strip
	other          edgeRef
	seams          int // that are moved there
}

// shape is that of a strip: of one width, or tapering to nothing at the end of an edge of
// the giving piece; of neither it is not known which.
type shape struct {
	even  bool
	stays string
}

func (m move) any() bool { return m.giveMM > 0 || m.takeMM > 0 }

// findJoints finds the seams that may be moved where seams of some kinds are made. Of
// pieces that are cut already, and of those that a plan need not cut, none is.
func (p *leastProof) findJoints(kinds []string) ([]joint, error) {
	counts := func(kind string) bool {
		return len(kinds) == 0 || slices.ContainsFunc(kinds, func(k string) bool { return strings.EqualFold(k, kind) })
	}
	var out []joint
	for _, at := range p.order {
		for _, e := range p.pieces[at].edges {
			for _, j := range e.Joins {
				from, to := edgeRef{at.name, e.Name}, edgeRefOf(j)
				if !counts(from.edge) && !counts(to.edge) || from.edge == "" || from.piece == to.piece {
					continue
				}
				for _, name := range []string{from.piece, to.piece} {
					for _, o := range p.order {
						if q := p.pieces[o]; o.name == name && (q.Ready || q.Optional) {
							return nil, fmt.Errorf("the seam at %s of piece %s may be moved", e.Name, at)
						}
					}
				}
				if !p.mayMove(from, to) {
					continue
				}
				k := slices.IndexFunc(out, func(j joint) bool {
					return j.sides == [2]edgeRef{from, to} || j.sides == [2]edgeRef{to, from}
				})
				if k < 0 {
					k = len(out)
					out = append(out, joint{sides: [2]edgeRef{from, to}})
				}
				d := slices.Index(out[k].sides[:], from)
				out[k].gives[d] = true
				if out[k].stays[d] == nil {
					out[k].stays[d] = p.besideOf(from)
				}
			}
		}
	}
	return out, nil
}

// besideOf is the names of the edges beside an edge, where they tell its ends apart.
func (p *leastProof) besideOf(r edgeRef) (out []string) {
	for _, e := range p.edgesOf(r) {
		before, after := e.beside(-1).Name, e.beside(1).Name
		for _, name := range []string{before, after} {
			if name != "" && before != after && !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	return out
}

// movedEdge is an edge of a copy.
type movedEdge struct {
	at    id
	piece *pieceProof
	k     int
}

// line is the edge's, without points that are one.
func (e movedEdge) line() (out []point) {
	for _, q := range e.piece.edges[e.k].line {
		if len(out) == 0 || distance(out[len(out)-1], q) > gridMM {
			out = append(out, q)
		}
	}
	return out
}

func (e movedEdge) beside(step int) drawnEdge {
	n := len(e.piece.edges)
	return e.piece.edges[(e.k+step+n)%n]
}

func (p *leastProof) edgesOf(r edgeRef) (out []movedEdge) {
	for _, at := range p.order {
		if at.name != r.piece {
			continue
		}
		for k, e := range p.pieces[at].edges {
			if e.Name == r.edge {
				out = append(out, movedEdge{at, p.pieces[at], k})
			}
		}
	}
	return out
}

// mayMove reports whether a strip between two edges could change sides: they are as
// many, and some two of them are nearly one line.
func (p *leastProof) mayMove(from, to edgeRef) bool {
	gives, takes := p.edgesOf(from), p.edgesOf(to)
	if len(gives) != len(takes) {
		return false
	}
	for _, e := range gives {
		for _, f := range takes {
			if _, _, ok := likeEdges(e, f); ok {
				return true
			}
		}
	}
	return false
}

// likeEdges reports whether two edges are nearly one line, how far they lie apart laid on
// each other, and by how much the one is longer.
func likeEdges(e, f movedEdge) (apartMM, longerMM float64, ok bool) {
	a, b := e.line(), f.line()
	if len(a) < 2 || len(b) < 2 {
		return 0, 0, false
	}
	for _, line := range [][]point{a, b} {
		if bowOf(line) > mostEdgeBow*length(line) {
			return 0, 0, false
		}
	}
	longerMM = math.Max(math.Abs(length(a)-length(b)), math.Abs(distance(a[0], a[len(a)-1])-distance(b[0], b[len(b)-1])))
	if math.Abs(length(a)-length(b)) > mostLongerMM {
		return 0, 0, false
	}
	lay := laidOn(a, b)
	for _, q := range a {
		apartMM = math.Max(apartMM, away(b, lay(q)))
	}
	return apartMM, longerMM, apartMM <= mostUnlikeMM
}

// bowOf is how far a line is from its chord, at most.
func bowOf(line []point) (mm float64) {
	for _, q := range line {
		_, d := nearest(q, line[0], line[len(line)-1])
		mm = math.Max(mm, d)
	}
	return mm
}

// laidOn lays points so that a line's start comes to another's end, and it runs the
// other way along it: right sides together.
func laidOn(a, b []point) func(point) point {
	from, to := sub(a[len(a)-1], a[0]), sub(b[0], b[len(b)-1])
	turn := math.Atan2(to[1], to[0]) - math.Atan2(from[1], from[0])
	sin, cos := math.Sincos(turn)
	return func(q point) point {
		v := sub(q, a[0])
		return point{cos*v[0] - sin*v[1] + b[len(b)-1][0], sin*v[0] + cos*v[1] + b[len(b)-1][1]}
	}
}

// jointOf is the joint that a range is of, and from which side it gives.
func (p *leastProof) jointOf(r *plan.MoveRange) (joint, side int, err error) {
	from, to := edgeRefOf(r.From), edgeRefOf(r.To)
	for k, j := range p.joints {
		for d := range 2 {
			if j.sides[d] != from || j.sides[1-d] != to {
				continue
			}
			switch {
			case r.MostMM < r.LeastMM || r.LeastMM < 0 || math.IsNaN(r.LeastMM+r.MostMM):
				return 0, 0, fmt.Errorf("seam %s is said to be moved by %g to %g mm", r.From, r.LeastMM, r.MostMM)
			case r.MostMM > 0 && !j.gives[d], r.Even && r.Stays != "", r.Stays != "" && !slices.Contains(j.stays[d], r.Stays):
				return 0, 0, fmt.Errorf("seam %s is not moved so", r.From)
			}
			return k, d, nil
		}
	}
	return 0, 0, fmt.Errorf("there is no seam between %s and %s that may be moved", r.From, r.To)
}

// movesWithin is how far each edge is moved within some ranges. Broken are pieces of
// which nothing is known: where edges beside each other are moved, or one twice.
func (p *leastProof) movesWithin(ranges []plan.MoveRange) (moves map[edgeRef]move, broken map[string]bool, err error) {
	of := make([]*plan.MoveRange, len(p.joints))
	sides := make([]int, len(p.joints))
	for i := range ranges {
		k, d, err := p.jointOf(&ranges[i])
		if err != nil {
			return nil, nil, err
		}
		if of[k] != nil {
			return nil, nil, fmt.Errorf("two ranges are told of the seam at %s", ranges[i].From)
		}
		of[k], sides[k] = &ranges[i], d
	}
	moves, broken = map[edgeRef]move{}, map[string]bool{}
	change := func(r edgeRef, by func(*move)) {
		m := moves[r]
		by(&m)
		moves[r] = m
	}
	for k, j := range p.joints {
		if r := of[k]; r != nil && r.MostMM == 0 {
			continue
		}
		for d := range 2 {
			from, to := j.sides[d], j.sides[1-d]
			most := mostMoveMM
			if r := of[k]; r != nil {
				if d != sides[k] {
					continue
				}
				most = r.MostMM
				change(to, func(m *move) { m.leastMM, m.takes = r.LeastMM, shape{r.Even, r.Stays} })
				change(from, func(m *move) { m.gives = shape{r.Even, r.Stays} })
			} else if !j.gives[d] {
				continue
			}
			change(from, func(m *move) { m.giveMM += most })
			change(to, func(m *move) { m.takeMM += most })
		}
		for d := range 2 {
			change(j.sides[d], func(m *move) { m.seams, m.other = m.seams+1, j.sides[1-d] })
		}
	}
	for r, m := range moves {
		bad := m.seams > 1
		for _, e := range p.edgesOf(r) {
			for _, step := range []int{-1, 1} {
				if name := e.beside(step).Name; name == r.edge || moves[edgeRef{r.piece, name}].any() {
					bad = true
				}
			}
		}
		if bad {
			broken[r.piece], broken[m.other.piece] = true, true
		}
	}
	if len(broken) > 0 { // what is sewn to either of two edges, too
		for r, m := range moves {
			if m.seams > 1 {
				for _, j := range p.joints {
					if slices.Contains(j.sides[:], r) {
						broken[j.sides[0].piece], broken[j.sides[1].piece] = true, true
					}
				}
			}
		}
	}
	return moves, broken, nil
}

// allMoves proves that every way to move seams is within the ranges of some case.
// Between the levels at which some range ends, all amounts are alike.
func (p *leastProof) allMoves(cases []plan.Moved) error {
	const mostCells = 1_000_000
	ends := make([][]float64, len(p.joints))
	type range1 struct {
		*plan.MoveRange
		side int
	}
	of := make([][]*range1, len(cases)) // by joint; nil for any
	for i := range cases {
		of[i] = make([]*range1, len(p.joints))
		for n := range cases[i].Ranges {
			r := &cases[i].Ranges[n]
			k, d, err := p.jointOf(r)
			if err != nil {
				return err
			}
			of[i][k] = &range1{r, d}
			ends[k] = append(ends[k], r.LeastMM, r.MostMM)
		}
	}
	// A cell is one way to move a seam by amounts that are all alike.
	type cell struct {
		side   int // that gives; -1 for a seam that stays
		even   bool
		stays  string
		lo, hi float64
	}
	cells := make([][]cell, len(p.joints))
	total := 1
	for k, j := range p.joints {
		at := []float64{leastMoveMM, mostMoveMM}
		for _, mm := range ends[k] {
			if mm > leastMoveMM && mm < mostMoveMM {
				at = append(at, mm)
			}
		}
		slices.Sort(at)
		at = slices.Compact(at)
		cells[k] = append(cells[k], cell{side: -1})
		for d := range 2 {
			if !j.gives[d] {
				continue
			}
			for i := range len(at) - 1 {
				cells[k] = append(cells[k], cell{d, true, "", at[i], at[i+1]})
				for _, stays := range j.stays[d] {
					cells[k] = append(cells[k], cell{d, false, stays, at[i], at[i+1]})
				}
			}
		}
		if total *= len(cells[k]); total*len(cases) > mostCells {
			return fmt.Errorf("there are too many ways to move seams to go through")
		}
	}
	holds := func(r *range1, c cell) bool {
		switch {
		case r == nil:
			return true
		case c.side < 0:
			return r.LeastMM == 0
		case r.MostMM == 0 || r.side != c.side || r.Even && !c.even || r.Stays != "" && r.Stays != c.stays:
			return false
		}
		return r.LeastMM <= c.lo && r.MostMM >= c.hi
	}
	chosen := make([]cell, len(p.joints))
	var all func(k int, left []int) error
	all = func(k int, left []int) error {
		if len(left) == 0 {
			return fmt.Errorf("no case is left for some ways to move seams%s", func() (how string) {
				for i, c := range chosen[:k] {
					if c.side < 0 {
						how += fmt.Sprintf("; %s stays", p.joints[i].sides[0])
					} else {
						how += fmt.Sprintf("; %s gives %g to %g mm", p.joints[i].sides[c.side], c.lo, c.hi)
					}
				}
				return how
			}())
		}
		if k == len(p.joints) {
			return nil
		}
		for _, c := range cells[k] {
			chosen[k] = c
			var still []int
			for _, i := range left {
				if holds(of[i][k], c) {
					still = append(still, i)
				}
			}
			if err := all(k+1, still); err != nil {
				return err
			}
		}
		return nil
	}
	every := make([]int, len(cases))
	for i := range every {
		every[i] = i
	}
	return all(0, every)
}

// Moves are the seams that may be moved, each way, as far as they may: of one width,
// and tapering to nothing.
func (a *AtLeastProof) Moves() (out []plan.MoveRange) {
	for _, j := range a.proof.joints {
		for d := range 2 {
			if !j.gives[d] {
				continue
			}
			r := plan.MoveRange{From: j.sides[d].String(), To: j.sides[1-d].String(), LeastMM: leastMoveMM, MostMM: mostMoveMM}
			even := r
			even.Even = true
			out = append(out, even)
			for _, stays := range j.stays[d] {
				r.Stays = stays
				out = append(out, r)
			}
		}
	}
	return out
}

// Sure is the outline of what is certain of a copy where seams are moved within some
// ranges, and points as far as it may reach. The key is the same for ranges in which it
// is, and empty for a copy as it is drawn.
func (a *AtLeastProof) Sure(ranges []plan.MoveRange, of plan.CopyOf) (outline, reach []point, key string) {
	p, at := a.proof, id{of.Piece, of.Copy}
	if p.within(ranges) != nil {
		return nil, nil, "unknown"
	}
	if c := p.clouds[at]; c != nil {
		return c.body.ring, c.body.reach, p.body[at]
	}
	return nil, nil, p.body[at]
}
