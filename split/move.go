package split

import (
	"errors"
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// Move is a moved seam: the strip of ByMM along the edge From goes over to
// the piece it is sewn to, at the edge To. No seam is added; both pieces
// change, and the new edges are one and the same line.
type Move struct {
	From, To piece.Ref
	ByMM     float64
}

func (m Move) String() string {
	return fmt.Sprintf("%s to %s by %.0f mm", m.From, m.To, m.ByMM)
}

// How alike two joined edges must be for a strip to change sides without
// reshaping, in mm.
const (
	straightMM  = 1.5 // an edge's greatest distance from its chord
	alikeMM     = 0.5 // the difference of the two lengths
	LeastMoveMM = 3.0 // a smaller move is not worth its chalk
)

// MostMoveMM is how far a seam may move before a maker would call it a yoke.
const MostMoveMM = 80

// ErrNoMove is wrapped by every reason why a seam cannot be moved.
var ErrNoMove = errors.New("the seam cannot be moved")

// Moves lists the moves that the joins of a pattern allow, both ways of each,
// with ByMM 0. Copies are every copy of every piece.
func Moves(copies []*piece.Piece) []Move {
	var out []Move
	seen := map[Move]bool{}
	for _, p := range copies {
		for _, e := range p.Outline {
			for _, j := range e.Joins {
				m := Move{From: piece.Ref{Piece: p.Name, Edge: e.Name}, To: j}
				if e.Name == "" || j.Piece == p.Name || seen[m] {
					continue
				}
				seen[m] = true
				m.ByMM = LeastMoveMM
				if _, err := m.Apply(copies); err == nil {
					m.ByMM = 0
					out = append(out, m)
				}
			}
		}
	}
	return out
}

// Apply moves the seam on every copy of both pieces. Pieces it does not touch
// are shared with copies, which is left as it was.
func (m Move) Apply(copies []*piece.Piece) ([]*piece.Piece, error) {
	if m.From.Piece == m.To.Piece {
		return nil, fmt.Errorf("%w: %s is sewn to its own piece, which would lose a strip and get it back", ErrNoMove, m.From)
	}
	from, to := edgesOf(copies, m.From), edgesOf(copies, m.To)
	if len(from) == 0 || len(from) != len(to) {
		return nil, fmt.Errorf("%w: %s is cut %d times and %s %d times", ErrNoMove, m.From, len(from), m.To, len(to))
	}
	out := append([]*piece.Piece(nil), copies...)
	changed := map[int]bool{}
	own := func(i int) *piece.Piece {
		if !changed[i] {
			c := *out[i]
			out[i], changed[i] = &c, true
		}
		return out[i]
	}
	for _, pair := range pairUp(copies, from, to) {
		giver, taker := own(pair[0].copy), own(pair[1].copy)
		// Earlier strips may have shifted the edges' places; names and
		// geometry find them again.
		i := find(giver.Outline, copies[pair[0].copy].Outline[pair[0].edge])
		j := find(taker.Outline, copies[pair[1].copy].Outline[pair[1].edge])
		if i < 0 || j < 0 {
			return nil, fmt.Errorf("%w: %s and %s change the same edge twice", ErrNoMove, m.From, m.To)
		}
		rest, grown, err := transfer(giver, i, taker, j, m.ByMM)
		if err != nil {
			return nil, err
		}
		giver.Outline, taker.Outline = rest, grown
	}
	return out, nil
}

type edgeAt struct{ copy, edge int }

func edgesOf(copies []*piece.Piece, r piece.Ref) []edgeAt {
	var out []edgeAt
	for i, p := range copies {
		if p.Name != r.Piece {
			continue
		}
		for _, k := range p.Outline.Edge(r.Edge) {
			out = append(out, edgeAt{i, k})
		}
	}
	return out
}

func find(o piece.Outline, e piece.Edge) int {
	for i, c := range o {
		if c.Name == e.Name && c.Line.Start() == e.Line.Start() && c.Line.End() == e.Line.End() {
			return i
		}
	}
	return -1
}

// pairUp matches the edges that meet on the body: sewn right sides together
// one runs against the other, so what comes before the one must go with what
// comes after the other.
func pairUp(copies []*piece.Piece, from, to []edgeAt) [][2]edgeAt {
	used := make([]bool, len(to))
	var out [][2]edgeAt
	for _, f := range from {
		best, bestScore := -1, -1
		for k, t := range to {
			if used[k] {
				continue
			}
			score := goTogether(neighbour(copies, f, -1), neighbour(copies, t, 1)) +
				goTogether(neighbour(copies, f, 1), neighbour(copies, t, -1))
			if score > bestScore {
				best, bestScore = k, score
			}
		}
		used[best] = true
		out = append(out, [2]edgeAt{f, to[best]})
	}
	return out
}

func neighbour(copies []*piece.Piece, e edgeAt, step int) piece.Edge {
	o := copies[e.copy].Outline
	return o[(e.edge+step+len(o))%len(o)]
}

func goTogether(a, b piece.Edge) int {
	score := 0
	if a.Name != "" && a.Name == b.Name {
		score += 2
	}
	for _, x := range a.Joins {
		for _, y := range b.Joins {
			if x.Piece == y.Piece {
				score++
			}
		}
	}
	return score
}

// transfer takes the strip along edge i of the giver to edge j of the taker.
func transfer(giver *piece.Piece, i int, taker *piece.Piece, j int, byMM float64) (rest, grown piece.Outline, err error) {
	e, f := giver.Outline[i], taker.Outline[j]
	refuse := func(format string, args ...any) (piece.Outline, piece.Outline, error) {
		return nil, nil, fmt.Errorf("%w: %s/%s and %s/%s: %s", ErrNoMove, giver.Name, e.Name, taker.Name, f.Name, fmt.Sprintf(format, args...))
	}
	a, b := e.Line.Start(), e.Line.End()
	if bend := math.Max(bow(e.Line), bow(f.Line)); bend > straightMM {
		return refuse("the edges bend by %.1f mm", bend)
	}
	if off := math.Abs(e.Line.Length() - f.Line.Length()); off > alikeMM {
		return refuse("their lengths differ by %.1f mm", off)
	}
	u := orb.Point{b[0] - a[0], b[1] - a[1]}
	l := math.Hypot(u[0], u[1])
	u[0], u[1] = u[0]/l, u[1]/l
	n := orb.Point{-u[1], u[0]} // into the piece, on the right of a clockwise edge
	at := func(along float64) orb.Point {
		return orb.Point{a[0] + along*u[0] + byMM*n[0], a[1] + along*u[1] + byMM*n[1]}
	}
	const reach = 3000
	line := curve.Polyline(at(-reach), at(l+reach))
	chord, ok := chordUnder(giver.Outline, line, i)
	if !ok {
		return refuse("a strip of %.0f mm would take in more than the two neighbouring edges", byMM)
	}
	scale := (chord.To.OnQ - chord.From.OnQ) / l
	var notches []piece.Notch
	for _, k := range e.Notches {
		k.AtMM *= scale
		notches = append(notches, k)
	}
	strip, rest, _ := cutAlong(giver.Outline, line, chord, Seam{AllowanceMM: e.AllowanceMM, Notches: notches})
	for _, d := range giver.Darts {
		for _, q := range []orb.Point{d.Leg1, d.Apex, d.Leg2} {
			if (q[0]-a[0])*n[0]+(q[1]-a[1])*n[1] < byMM && inside(strip, q) {
				return refuse("a dart lies in the strip")
			}
		}
	}
	last := &rest[len(rest)-1]
	last.Name, last.Joins = e.Name, e.Joins
	// The strip's run from the end of e round to its start, in the taker's
	// coordinates, stands in for f.
	m := curve.Align(a, b, f.Line.End(), f.Line.Start())
	k := find(strip, e)
	var run piece.Outline
	for s := 1; s < len(strip); s++ {
		at := (k + s) % len(strip)
		edge := strip[at]
		if at == len(strip)-1 { // the new edge
			edge.Name, edge.Joins, edge.AllowanceMM = f.Name, f.Joins, f.AllowanceMM
		} else {
			edge.From = giver.Name
		}
		run = append(run, edge)
	}
	run = run.Transform(m)
	grown = append(grown, taker.Outline[:j]...)
	grown = append(grown, run...)
	grown = append(grown, taker.Outline[j+1:]...)
	grown = close(grown[:len(grown)-1], grown[len(grown)-1])
	if _, crosses := piece.SelfCrossing(grown.Ring()); crosses {
		return refuse("the strip would lie over the piece")
	}
	return rest, grown, nil
}

// chordUnder finds the chord that cuts off edge i with a bit of each
// neighbour and nothing else.
func chordUnder(o piece.Outline, line curve.Path, i int) (Chord, bool) {
	length := o.Length()
	var start float64
	for _, e := range o[:i] {
		start += e.Line.Length()
	}
	end := start + o[i].Line.Length()
	before := o[(i+len(o)-1)%len(o)].Line.Length()
	after := o[(i+1)%len(o)].Line.Length()
	ahead := func(from, to float64) float64 { return math.Mod(math.Mod(to-from, length)+length, length) }
	for _, c := range Chords(o, line) {
		back, on := ahead(c.From.OnP, start), ahead(end, c.To.OnP)
		if back < before-1 && on < after-1 {
			return c, true
		}
	}
	return Chord{}, false
}

func inside(o piece.Outline, q orb.Point) bool {
	r := o.Ring()
	return planar.RingContains(append(r, r[0]), q)
}

// bow is the greatest distance of a line from its chord.
func bow(line curve.Path) float64 {
	chord := curve.Polyline(line.Start(), line.End())
	var most float64
	for _, q := range line.Flatten(curve.FlattenMM) {
		_, away := chord.Nearest(q)
		most = math.Max(most, away)
	}
	return most
}
