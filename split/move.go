package split

import (
	"errors"
	"fmt"

	"eke/piece"
)

// Move is a moved seam: the strip of ByMM along the edge From goes over to
// the piece it is sewn to, at the edge To. No seam is added; both pieces
// change, and the new edges are one and the same line.
type Move struct {
	From, To piece.Ref
	ByMM     float64
	// Stays names the edge of From's piece beside it, such as the neck,
	// whose end stays where it is: the strip tapers to nothing there. Empty
	// for a strip of one width.
	Stays string
}

func (m Move) String() string {
	s := fmt.Sprintf("%s to %s by %.0f mm", m.From, m.To, m.ByMM)
	if m.Stays != "" {
		s += ", to nothing at the " + m.Stays
	}
	return s
}

// meanMM is how far the seam moves on the average along it.
func (m Move) meanMM() float64 {
	if m.Stays != "" {
		return m.ByMM / 2
	}
	return m.ByMM
}

// LeastMoveMM is the smallest move that is worth making. (Judgement, no source.)
const LeastMoveMM = 3.0

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

// Shapes are the ways to make a move by its amount, or by the least one where
// that is 0: by one width all along, and tapering to nothing at either end, so
// that the point there stays. A taper leaves the edge beside it as long as it
// was. Those that cannot be made are left out.
func (m Move) Shapes(copies []*piece.Piece) []Move {
	tries := []Move{m}
	tries[0].Stays = ""
	if from := edgesOf(copies, m.From); len(from) > 0 {
		before, after := neighbour(copies, from[0], -1).Name, neighbour(copies, from[0], 1).Name
		for _, stays := range []string{before, after} {
			if stays != "" && before != after {
				tapered := m
				tapered.Stays = stays
				tries = append(tries, tapered)
			}
		}
	}
	var out []Move
	for _, s := range tries {
		try := s
		try.ByMM = max(s.ByMM, LeastMoveMM)
		if _, err := try.Apply(copies); err == nil {
			out = append(out, s)
		}
	}
	return out
}

// Apply moves the seam on every copy of both pieces. Pieces it does not touch
// are shared with copies, which is left as it was.
func (m Move) Apply(copies []*piece.Piece) ([]*piece.Piece, error) {
	out, _, err := m.apply(copies)
	return out, err
}

// apply also tells what it found of each pair of edges.
func (m Move) apply(copies []*piece.Piece) ([]*piece.Piece, []transfer, error) {
	if m.From.Piece == m.To.Piece {
		return nil, nil, fmt.Errorf("%w: %s is sewn to its own piece, which would lose a strip and get it back", ErrNoMove, m.From)
	}
	from, to := edgesOf(copies, m.From), edgesOf(copies, m.To)
	if len(from) == 0 || len(from) != len(to) {
		return nil, nil, fmt.Errorf("%w: %s is cut %d times and %s %d times", ErrNoMove, m.From, len(from), m.To, len(to))
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
	sewn := sewnEdges(copies)
	var found []transfer
	for _, pair := range pairUp(copies, from, to) {
		giver, taker := own(pair[0].copy), own(pair[1].copy)
		// Earlier strips may have shifted the edges' places; names and
		// geometry find them again.
		i := find(giver.Outline, copies[pair[0].copy].Outline[pair[0].edge])
		j := find(taker.Outline, copies[pair[1].copy].Outline[pair[1].edge])
		if i < 0 || j < 0 {
			return nil, nil, fmt.Errorf("%w: %s and %s change the same edge twice", ErrNoMove, m.From, m.To)
		}
		t := transfer{giver: giver, taker: taker, e: i, f: j, byMM: m.ByMM, sewn: sewn}
		if err := t.run(m.Stays); err != nil {
			return nil, nil, fmt.Errorf("%w: %s and %s: %s", ErrNoMove, m.From, m.To, err)
		}
		giver.Outline, taker.Outline = t.rest, t.grown
		found = append(found, t)
	}
	markSeams(out)
	return out, found, nil
}

// sewnEdges are the edges that are sewn to others, whichever side says so.
func sewnEdges(copies []*piece.Piece) map[piece.Ref]bool {
	out := map[piece.Ref]bool{}
	for _, p := range copies {
		for _, e := range p.Outline {
			for _, j := range e.Joins {
				out[j], out[piece.Ref{Piece: p.Name, Edge: e.Name}] = true, true
			}
		}
	}
	return out
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
// comes after the other. Where that does not tell, they are worn on one side.
func pairUp(copies []*piece.Piece, from, to []edgeAt) [][2]edgeAt {
	used := make([]bool, len(to))
	var out [][2]edgeAt
	for _, f := range from {
		best, bestScore := -1, -1
		for k, t := range to {
			if used[k] {
				continue
			}
			p, q := copies[f.copy], copies[t.copy]
			score := 2 * (goTogether(neighbour(copies, f, -1), p, neighbour(copies, t, 1), q) +
				goTogether(neighbour(copies, f, 1), p, neighbour(copies, t, -1), q))
			if side := wornOn(copies[f.copy], neighbour(copies, f, 0)); side != "" && side == wornOn(copies[t.copy], neighbour(copies, t, 0)) {
				score++
			}
			if score > bestScore {
				best, bestScore = k, score
			}
		}
		used[best] = true
		out = append(out, [2]edgeAt{f, to[best]})
	}
	return out
}

// meeting are the edges that meet on the body, which pairUp finds where there are as
// many of either. Of a left and a right front that have names of their own, each meets
// what is worn on its side.
func meeting(copies []*piece.Piece, from, to []edgeAt) (out [][2]edgeAt) {
	if len(from) == len(to) {
		return pairUp(copies, from, to)
	}
	if len(from) > 1 && len(to) > 1 {
		return nil
	}
	for _, f := range from {
		for _, t := range to {
			if side := wornOn(copies[f.copy], neighbour(copies, f, 0)); side != "" && side == wornOn(copies[t.copy], neighbour(copies, t, 0)) {
				out = append(out, [2]edgeAt{f, t})
			}
		}
	}
	if len(out) > 1 {
		return nil // it does not tell
	}
	return out
}

func neighbour(copies []*piece.Piece, e edgeAt, step int) piece.Edge {
	o := copies[e.copy].Outline
	return o[(e.edge+step+len(o))%len(o)]
}

// goTogether is how much speaks for it that edge e of p and edge f of q, which lie beside two
// that are sewn together, come together as well: they are called alike, are sewn to the same
// pieces, or to each other, so that the seam runs on round a corner.
func goTogether(e piece.Edge, p *piece.Piece, f piece.Edge, q *piece.Piece) int {
	score := 0
	if e.Name != "" && e.Name == f.Name {
		score += 2
	}
	if e.Name != "" && f.Name != "" && Joined(e, p, f, q) {
		score += 2
	}
	for _, x := range e.Joins {
		for _, y := range f.Joins {
			if x.Piece == y.Piece {
				score++
			}
		}
	}
	return score
}
