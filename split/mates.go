package split

import (
	"math"
	"slices"
	"sort"
	"strings"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Two points of joined edges are mates when, right sides together, they are
// sewn to each other: the one edge runs against the other, darts that open on
// it are closed, and ease is spread evenly from the start of the join.

// mates tells which point of which edge is sewn to a point of another, for
// every copy of every piece.
type mates struct {
	copies []*piece.Piece
	sewn   map[edgeAt][]sewn
	darts  map[edgeAt]closedDarts
}

// sewn is a stretch of an edge and the stretch of another that it is sewn to,
// in mm along both with darts closed. The one runs against the other.
type sewn struct {
	lo, hi     float64
	to         edgeAt
	toLo, toHi float64
}

func newMates(copies []*piece.Piece) *mates {
	m := &mates{copies: copies, sewn: map[edgeAt][]sewn{}, darts: map[edgeAt]closedDarts{}}
	for i, p := range copies {
		for k := range p.Outline {
			m.darts[edgeAt{i, k}] = m.closeDarts(edgeAt{i, k})
		}
	}
	done := map[[2]piece.Ref]bool{}
	for _, p := range copies {
		for _, e := range p.Outline {
			a := piece.Ref{Piece: p.Name, Edge: e.Name}
			partners := m.partnersOf(a)
			if e.Name == "" || m.inARow(a, partners) {
				continue // it is told from the other side
			}
			for _, b := range partners {
				if !done[[2]piece.Ref{a, b}] && !done[[2]piece.Ref{b, a}] {
					done[[2]piece.Ref{a, b}] = true
					m.join(a, b)
				}
			}
		}
	}
	return m
}

// partnersOf are the edges that an edge is sewn to, by its own joins or by
// theirs, that the copies have.
func (m *mates) partnersOf(r piece.Ref) []piece.Ref {
	var out []piece.Ref
	add := func(o piece.Ref) {
		if !slices.Contains(out, o) && len(edgesOf(m.copies, o)) > 0 {
			out = append(out, o)
		}
	}
	for _, p := range m.copies {
		for _, e := range p.Outline {
			here := piece.Ref{Piece: p.Name, Edge: e.Name}
			if here == r {
				for _, j := range e.Joins {
					add(j)
				}
			} else if e.Name != "" && slices.Contains(e.Joins, r) {
				add(here)
			}
		}
	}
	return out
}

// inARow reports whether an edge has several sewn to it in a row, as a sleeve
// cap drawn in one has the front's armhole and the back's, and not in layers.
func (m *mates) inARow(r piece.Ref, partners []piece.Ref) bool {
	if len(partners) < 2 {
		return false
	}
	own, sum, worst := m.lengthOf(r), 0.0, 0.0
	for _, p := range partners {
		l := m.lengthOf(p)
		sum, worst = sum+l, math.Max(worst, math.Abs(own-l))
	}
	return math.Abs(own-sum) < worst
}

func (m *mates) lengthOf(r piece.Ref) float64 {
	at := edgesOf(m.copies, r)
	return m.closed(at[0]).length
}

// join pairs the edges of two names. Where one of them is sewn on in a row with
// others, its stretch of the long edge is the one that it and its neighbours
// lead to.
func (m *mates) join(a, b piece.Ref) {
	from, to := edgesOf(m.copies, a), edgesOf(m.copies, b)
	for _, pair := range m.pairs(a, b, from, to) {
		lo, hi := 0.0, m.closed(pair[1]).length
		if row := m.partnersOf(b); m.inARow(b, row) {
			lo, hi = m.placeInRow(pair, row)
		}
		l := m.closed(pair[0]).length
		m.sewn[pair[0]] = append(m.sewn[pair[0]], sewn{0, l, pair[1], lo, hi})
		m.sewn[pair[1]] = append(m.sewn[pair[1]], sewn{lo, hi, pair[0], 0, l})
	}
}

// pairs are the edges that meet on the body; none where their numbers do not
// tell.
func (m *mates) pairs(a, b piece.Ref, from, to []edgeAt) [][2]edgeAt {
	if a.Piece != b.Piece {
		if row := m.partnersOf(b); len(row) == 2 && m.inARow(b, row) {
			return m.pairsInRow(a, row, from, to)
		}
		if pairs, isStrip := pairsOfStrip(m.copies, from, to); isStrip {
			return pairs
		}
		return meeting(m.copies, from, to)
	}
	if len(from) != len(to) || a == b {
		return nil
	}
	var out [][2]edgeAt // a sleeve's underarm seam joins the two edges of one copy
	for _, f := range from {
		for _, t := range to {
			if f.copy == t.copy {
				out = append(out, [2]edgeAt{f, t})
			}
		}
	}
	if len(out) != len(from) {
		return nil
	}
	return out
}

// pairsInRow are the edges that meet where two are sewn in a row to a third: those that
// are worn on one side. What lies beside them tells less, for it may be sewn to the same
// piece at the other end of the row: the side of the back, and the front of the cap. Where
// no side is known, they meet so that they come in the order that the third edge tells on
// its first copy: a symmetrical sleeve that is cut twice serves either side.
func (m *mates) pairsInRow(a piece.Ref, row []piece.Ref, from, to []edgeAt) [][2]edgeAt {
	met := meeting(m.copies, from, to)
	if len(met) != 2 || len(from) != 2 {
		return met
	}
	side := func(at edgeAt) string { return wornOn(m.copies[at.copy], m.line(at)) }
	crossed := false
	if f, t := side(met[0][0]), side(met[0][1]); f != "" && t != "" && side(met[1][0]) != f && side(met[1][1]) != t {
		crossed = f != t
	} else {
		other := row[0]
		if other == a {
			other = row[1]
		}
		one := met[0]
		if met[1][1] == to[0] {
			one = met[1]
		}
		byEnds, told := m.placeByEnds(one, other), m.placeTold(one, other)
		crossed = byEnds*told < 0
	}
	if crossed {
		met[0][1], met[1][1] = met[1][1], met[0][1]
	}
	return met
}

// placeInRow is the stretch of the long edge that the first edge of the pair is
// sewn to. All of the row share it by their lengths. Which of two comes first on it is
// told by the ends at which they meet each other, or else by the names of the edges
// beside the long one, or else by the order in which it names them.
func (m *mates) placeInRow(pair [2]edgeAt, row []piece.Ref) (lo, hi float64) {
	if len(row) != 2 {
		return 0, 0
	}
	other := row[0]
	if other == m.refOf(pair[0]) {
		other = row[1]
	}
	long := m.closed(pair[1]).length
	share := m.closed(pair[0]).length / (m.lengthOf(row[0]) + m.lengthOf(row[1])) * long
	place := m.placeByEnds(pair, other)
	if place == 0 {
		place = m.placeTold(pair, other)
	}
	switch place {
	case 1:
		return 0, share
	case -1:
		return long - share, long
	}
	return 0, 0 // which comes where is not told
}

// placeByEnds is 1 where the first edge of the pair comes before another in a row on the
// second, -1 where after it, and 0 where their ends do not tell. What lies beside the one
// is sewn to what lies beside the other where the two meet. A front and a back armhole meet
// at both their ends, on a cap whose own ends are sewn to each other: on the cap at the
// shoulder, and at the side where it ends.
func (m *mates) placeByEnds(pair [2]edgeAt, other piece.Ref) int {
	at := pair[0]
	before, beforeAt := m.meetsBeside(neighbour(m.copies, at, -1), at.copy, other)
	after, afterAt := m.meetsBeside(neighbour(m.copies, at, 1), at.copy, other)
	p := m.copies[pair[1].copy]
	if closed := Joined(neighbour(m.copies, pair[1], -1), p, neighbour(m.copies, pair[1], 1), p); closed || before && after {
		return sense(beforeAt - afterAt)
	}
	return oneOf(before, after) // the long edge runs against it
}

// meetsBeside reports whether an edge of a copy is one of a name, or is sewn to what lies
// beside that, and whether that seam is the shoulder's, 1, or the side's, -1; 0 where it
// is neither, or both.
func (m *mates) meetsBeside(e piece.Edge, of int, to piece.Ref) (meets bool, shoulder int) {
	p := m.copies[of]
	if e.Name == "" {
		return false, 0
	}
	if (piece.Ref{Piece: p.Name, Edge: e.Name}) == to {
		return true, 0
	}
	for _, at := range edgesOf(m.copies, to) {
		for _, step := range []int{-1, 1} {
			if f := neighbour(m.copies, at, step); f.Name != "" && Joined(e, p, f, m.copies[at.copy]) {
				says := func(word string) bool { return hasWord(e.Name, word) || hasWord(f.Name, word) }
				meets, shoulder = true, shoulder+oneOf(says("shoulder"), says("side") || says("underarm"))
			}
		}
	}
	return meets, sense(shoulder)
}

// placeTold is as placeByEnds, by what the long edge and those beside it say.
func (m *mates) placeTold(pair [2]edgeAt, other piece.Ref) int {
	if place := m.placeByWords(pair, other); place != 0 {
		return place
	}
	return m.placeAsNamed(pair, other)
}

// placeByWords is as placeByEnds: the edge underarm-front leads to the front.
func (m *mates) placeByWords(pair [2]edgeAt, other piece.Ref) int {
	own := m.copies[pair[0].copy].Name
	lead := func(step int) int {
		beside := neighbour(m.copies, pair[1], step).Name
		return oneOf(hasWord(beside, strings.ToLower(own)), hasWord(beside, strings.ToLower(other.Piece)))
	}
	return sense(lead(-1) - lead(1))
}

// oneOf is 1 where only the first holds, -1 where only the second does.
func oneOf(a, b bool) int {
	switch {
	case a && !b:
		return 1
	case b && !a:
		return -1
	}
	return 0
}

func sense(n int) int { return max(-1, min(1, n)) }

// placeAsNamed is as placeByEnds: a long edge names both, in the order in which they come.
func (m *mates) placeAsNamed(pair [2]edgeAt, other piece.Ref) int {
	p, e := m.copies[pair[1].copy], m.line(pair[1])
	if own := m.refOf(pair[0]); p.Centre == nil && len(e.Joins) == 2 && slices.Contains(e.Joins, own) && slices.Contains(e.Joins, other) {
		if (e.Joins[0] == own) != listedBackwards(p, e) {
			return 1
		}
		return -1
	}
	return 0
}

// listedBackwards reports whether an edge of a copy runs against the order in which its
// joins are named: as the piece lies on the page from left to right, or from the top down.
func listedBackwards(p *piece.Piece, e piece.Edge) bool {
	run := plane.Sub(e.Line.End(), e.Line.Start())
	if math.Abs(run[0]) < math.Abs(run[1]) {
		return run[1] < 0
	}
	return (run[0] < 0) != p.Flipped
}

// of are the mates of a point of an edge, in mm along the edges' lines; it is not
// ok where nothing is sewn there, or a dart is.
func (m *mates) of(at edgeAt, alongMM float64) (out []onEdge, ok bool) {
	mm, ok := m.closed(at).shut(alongMM)
	if !ok {
		return nil, false
	}
	for _, s := range m.sewn[at] {
		if s.hi <= s.lo || s.toHi <= s.toLo || mm < s.lo || mm > s.hi {
			continue
		}
		to := s.toHi - (mm-s.lo)/(s.hi-s.lo)*(s.toHi-s.toLo)
		out = append(out, onEdge{s.to, m.closed(s.to).open(to)})
	}
	return out, len(out) > 0
}

// run reports whether two seams of different copies run on as one: an end of the one
// is sewn to an end of the other.
func (m *mates) run(a, b *PiecingSeam) bool {
	for _, x := range a.Ends {
		for _, y := range b.Ends {
			from, to := m.endAt(a, x), m.endAt(b, y)
			if from.edgeAt == none || to.edgeAt == none {
				continue
			}
			if mm, ok := m.on(to.edgeAt, from); ok && math.Abs(mm-to.mm) < meetsMM {
				return true
			}
		}
	}
	return false
}

// endAt is where on the edge of a copy a seam ends; on none where it ends on another
// seam, or on what a moved seam brought, whose place in its join is not known.
func (m *mates) endAt(s *PiecingSeam, end End) onEdge {
	if len(end.Edge.Line) > 0 && end.Edge.From == "" {
		if k := find(m.copies[s.Piece].Outline, end.Edge); k >= 0 {
			return onEdge{edgeAt{s.Piece, k}, end.AlongMM}
		}
	}
	return onEdge{edgeAt: none}
}

// on is where on an edge a point of another copy's is sewn, in mm along its line; it is
// not ok where it is not sewn to it, or that is not known. Where their numbers do not tell
// which edges of two names meet, those do that are worn on one side of the body: both
// layers of a yoke, and the front below. An edge that is far longer than the other spans
// more than that one.
func (m *mates) on(to edgeAt, from onEdge) (mm float64, ok bool) {
	a, b := m.refOf(from.edgeAt), m.refOf(to)
	p, q, e, f := m.copies[from.copy], m.copies[to.copy], m.line(from.edgeAt), m.line(to)
	here, there := m.closed(from.edgeAt), m.closed(to)
	inARow := m.inARow(a, m.partnersOf(a)) || m.inARow(b, m.partnersOf(b))
	switch {
	case !Joined(e, p, f, q), !inARow && math.Max(here.length, there.length) > spansMoreShare*math.Min(here.length, there.length):
		return 0, false
	case m.paired(from.edgeAt, b) || m.paired(to, a):
		at, _ := m.of(from.edgeAt, from.mm)
		k := slices.IndexFunc(at, func(o onEdge) bool { return o.edgeAt == to })
		if k < 0 {
			return 0, false
		}
		return at[k].mm, true
	case inARow:
		return 0, false
	case a == b: // two copies that are sewn to each other
		if !areHalves(p, q) {
			return 0, false
		}
	default:
		if side := wornOn(p, e); a.Piece == b.Piece || side == "" || side != wornOn(q, f) {
			return 0, false
		}
	}
	shut, ok := here.shut(from.mm)
	return there.open((here.length - shut) / here.length * there.length), ok
}

// areHalves reports whether two copies of one piece are those that an edge which joins
// itself is sewn between, as at a centre back.
func areHalves(p, q *piece.Piece) bool {
	return p != q && (p.Count == 2 || p.SideCopy != 0 && p.SideCopy == q.SideCopy && p.Side != q.Side)
}

// joinHalves pairs the edges of two copies of one piece that are sewn to each other there.
func (m *mates) joinHalves() {
	for i, p := range m.copies {
		for k, e := range p.Outline {
			from, self := edgeAt{i, k}, piece.Ref{Piece: p.Name, Edge: e.Name}
			if e.Name == "" || !slices.Contains(e.Joins, self) {
				continue
			}
			for _, to := range edgesOf(m.copies, self) {
				if areHalves(p, m.copies[to.copy]) {
					m.sewn[from] = append(m.sewn[from], sewn{0, m.closed(from).length, to, 0, m.closed(to).length})
				}
			}
		}
	}
}

// spansMoreShare is by how many times an edge is longer than one of two that it is sewn
// to, as a belt than the waist of a leg. No gathers are followed beyond.
const spansMoreShare = 1.5

// paired reports whether an edge of a copy is known to be sewn to one of a name.
func (m *mates) paired(at edgeAt, with piece.Ref) bool {
	return slices.ContainsFunc(m.sewn[at], func(s sewn) bool { return m.refOf(s.to) == with })
}

func (m *mates) refOf(at edgeAt) piece.Ref {
	return piece.Ref{Piece: m.copies[at.copy].Name, Edge: m.line(at).Name}
}

// onEdge is a point of an edge, in mm along its line.
type onEdge struct {
	edgeAt
	mm float64
}

func (m *mates) line(at edgeAt) piece.Edge { return m.copies[at.copy].Outline[at.edge] }

// closedDarts is an edge walked with its darts closed.
type closedDarts struct {
	mouths []Span // of the darts that open on it, in order
	length float64
}

func (m *mates) closed(at edgeAt) closedDarts { return m.darts[at] }

func (m *mates) closeDarts(at edgeAt) closedDarts {
	e := m.line(at)
	c := closedDarts{length: e.Line.Length()}
	for _, d := range m.copies[at.copy].Darts {
		from, away1 := e.Line.Nearest(d.Leg1)
		to, away2 := e.Line.Nearest(d.Leg2)
		if math.Max(away1, away2) < dartOnEdgeMM {
			c.mouths = append(c.mouths, Span{math.Min(from, to), math.Max(from, to)})
			c.length -= math.Abs(to - from)
		}
	}
	sort.Slice(c.mouths, func(i, j int) bool { return c.mouths[i].Lo < c.mouths[j].Lo })
	return c
}

// dartOnEdgeMM is how near to an edge a dart's leg ends that opens on it.
const dartOnEdgeMM = 0.1

// shut is where a point along the edge is once the darts are closed; not ok for
// one in a dart's mouth.
func (c closedDarts) shut(mm float64) (float64, bool) {
	out := mm
	for _, d := range c.mouths {
		switch {
		case mm >= d.Hi:
			out -= d.Hi - d.Lo
		case mm > d.Lo:
			return 0, false
		}
	}
	return out, true
}

// open is where along the edge a point is that has darts closed before it.
func (c closedDarts) open(mm float64) float64 {
	for _, d := range c.mouths {
		if mm > d.Lo {
			mm += d.Hi - d.Lo
		}
	}
	return mm
}

// outward is the direction out of a piece, and along its edge, at a point of it.
func outward(e piece.Edge, mm float64) (at, along, out orb.Point) {
	at, along = e.Line.At(mm)
	return at, along, orb.Point{along[1], -along[0]}
}
