package byhand

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/split"
)

// move is a shoulder seam that was moved.
type move struct {
	id   string
	from piece.Ref // the edge that it moves into, forward: the front's
	byMM float64   // below zero where it goes back
	split.Move
}

// Shoulder is a seam of the pattern that may be moved.
type Shoulder struct {
	Edge         piece.Ref // of the piece that loses a strip when it moves forward
	To           piece.Ref
	ByMM         float64 // that it is moved by now
	FromMM, ToMM float64 // that it may be moved by; the least move is split.LeastMoveMM
}

// shoulderOf is the shoulder seam of a copy: the edge forward of it and the other.
func (p *Plan) shoulderOf(copy int) (from, to piece.Ref, ok bool) {
	c := p.given.drawn[copy]
	for _, e := range c.Outline {
		if !strings.Contains(strings.ToLower(e.Name), "shoulder") || len(e.Joins) == 0 || e.Joins[0].Piece == c.Name {
			continue
		}
		own, other := piece.Ref{Piece: c.Name, Edge: e.Name}, e.Joins[0]
		if isFront(other.Piece) && !isFront(own.Piece) {
			return other, own, true
		}
		return own, other, true
	}
	return from, to, false
}

func isFront(name string) bool { return strings.Contains(strings.ToLower(name), "front") }

// Shoulder is the shoulder seam of a copy, where it has one that can be moved.
func (p *Plan) Shoulder(copy int) (s Shoulder, ok bool) {
	from, to, ok := p.shoulderOf(copy)
	if !ok {
		return s, false
	}
	reach, known := p.given.reaches.get(from.String())
	if !known {
		reach = [2]float64{-p.mostMove(to, from), p.mostMove(from, to)}
		p.given.reaches.set(from.String(), reach)
	}
	if reach == [2]float64{} {
		return s, false
	}
	s = Shoulder{Edge: from, To: to, FromMM: reach[0], ToMM: reach[1]}
	for _, m := range p.moves {
		if m.from == from {
			s.ByMM = m.byMM
		}
	}
	return s, true
}

// mostMove is how far a seam may go on the pattern as drawn, by bisection; 0 where
// it may not go.
func (p *Plan) mostMove(from, to piece.Ref) float64 {
	can := func(mm float64) bool {
		_, ok := shaped(split.Move{From: from, To: to, ByMM: mm}, p.given.drawn)
		return ok
	}
	if !can(split.LeastMoveMM) {
		return 0
	}
	lo, hi := split.LeastMoveMM, float64(split.MostMoveMM)
	if can(hi) {
		return hi
	}
	for hi-lo > 1 {
		if m := (lo + hi) / 2; can(m) {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}

// shaped is a move in the first of its shapes that can be made.
func shaped(m split.Move, copies []*piece.Piece) (split.Move, bool) {
	all := m.Shapes(copies)
	if len(all) == 0 {
		return m, false
	}
	return all[0], true
}

// WithShoulder moves the shoulder seam of a copy forward, or back where the
// distance is below zero; by less than the least move it is where it was drawn.
func (p *Plan) WithShoulder(copy int, byMM float64) (*Plan, error) {
	if err := finite("by", byMM); err != nil {
		return nil, err
	}
	c, err := p.copyOf(copy)
	if err != nil {
		return nil, err
	}
	s, ok := p.Shoulder(c.copy)
	if !ok {
		return nil, fmt.Errorf("%s has no shoulder seam that can be moved", c.piece.ID())
	}
	return p.withMove(s.Edge, byMM)
}

func (p *Plan) withMove(from piece.Ref, byMM float64) (*Plan, error) {
	at := slices.IndexFunc(p.given.drawn, func(c *piece.Piece) bool { return c.Name == from.Piece })
	s, ok := p.Shoulder(at)
	if !ok {
		return nil, fmt.Errorf("%s cannot be moved", from)
	}
	byMM = math.Min(math.Max(byMM, s.FromMM), s.ToMM)
	moves := slices.DeleteFunc(slices.Clone(p.moves), func(m move) bool { return m.from == from })
	if math.Abs(byMM) < split.LeastMoveMM {
		byMM = 0
	}
	last := p.last
	if byMM != 0 {
		m := split.Move{From: s.Edge, To: s.To, ByMM: byMM}
		if byMM < 0 {
			m.From, m.To, m.ByMM = m.To, m.From, -m.ByMM
		}
		m, ok := shaped(m, p.given.drawn)
		if !ok {
			return nil, fmt.Errorf("the seam %s cannot be moved by %.0f mm", s.Edge, byMM)
		}
		id := ""
		for _, was := range p.moves {
			if was.from == from {
				id = was.id
			}
		}
		if id == "" {
			last++
			id = fmt.Sprint("l", last)
		}
		moves = append(moves, move{id: id, from: from, byMM: byMM, Move: m})
	}
	return p.withMoves(moves, last)
}

// withMoves is the plan with these seams moved and no others.
func (p *Plan) withMoves(moves []move, last int) (*Plan, error) {
	out := &Plan{given: p.given, moves: moves, pieces: p.given.drawn, on: maps.Clone(p.on), last: last}
	var err error
	for _, m := range moves {
		if out.pieces, err = m.Apply(out.pieces); err != nil {
			return nil, err
		}
	}
	for i, c := range p.copies {
		if out.pieces[i] != c.piece {
			if c, err = p.given.cut(i, out.pieces[i], c.root); err != nil {
				return nil, err
			}
		}
		out.copies = append(out.copies, c)
	}
	return out, nil
}

// movedBy is the moved seam that a line is.
func (p *Plan) movedBy(line string) (move, bool) {
	for _, m := range p.moves {
		if m.id == line {
			return m, true
		}
	}
	return move{}, false
}

// ShoulderKey is the way of a line that is a shoulder seam of the pattern, moved.
const ShoulderKey = "shoulder"

// movedLines are the moved seams of a copy, each on either side.
func (p *Plan) movedLines(copy int) (out []Line) {
	c := p.pieces[copy]
	for _, m := range p.moves {
		s, _ := p.Shoulder(copy)
		l := Line{
			ID: m.id, Copy: copy, Way: Way{Key: ShoulderKey, Name: "shoulder seam, moved"}, AtMM: m.byMM, FromMM: s.FromMM, ToMM: s.ToMM, Called: "shoulder seam",
		}
		for _, end := range []piece.Ref{m.Move.From, m.Move.To} {
			if end.Piece != c.Name {
				continue
			}
			for _, k := range c.Outline.Edge(end.Edge) {
				l.Paths = append(l.Paths, c.Outline[k].Line)
			}
		}
		if l.Paths != nil {
			out = append(out, l)
		}
	}
	return out
}
