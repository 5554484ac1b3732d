package split

import (
	"fmt"
	"math"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/split/plan"
)

// documentJoins walks every seam of a pattern, as drawn and as it is now: what a
// moved seam took along of an armhole or a neck is walked with the rest of it.
func documentJoins(drawn, now []*piece.Piece) []plan.Join {
	before := allowance.Walk(firsts(drawn))
	after := allowance.Walk(broughtHome(firsts(drawn), firsts(now)))
	var out []plan.Join
	for i, w := range after {
		j := plan.Join{
			A: refs(w.A), B: refs(w.B), AMM: w.AMM, BMM: w.BMM, DifferenceMM: w.DifferenceMM(),
			NotchesMeet: len(w.Mates), NotchesAlone: w.Single,
		}
		var notes []string
		if i < len(before) && refs(before[i].A) == j.A && refs(before[i].B) == j.B {
			j.DrawnAMM, j.DrawnBMM = before[i].AMM, before[i].BMM
			if change := w.DifferenceMM() - before[i].DifferenceMM(); math.Abs(change) > 0.1 {
				notes = append(notes, fmt.Sprintf("one side is %.1f mm longer against the other than drawn", math.Abs(change)))
			}
		}
		if w.Stretch {
			notes = append(notes, "the one along a stretch of the other")
		}
		if w.Single > 0 {
			notes = append(notes, fmt.Sprintf("%d of its notches meet no other", w.Single))
		}
		j.Note = strings.Join(notes, "; ")
		out = append(out, j)
	}
	return out
}

// firsts is one copy of each piece.
func firsts(copies []*piece.Piece) []*piece.Piece {
	var out []*piece.Piece
	for _, p := range copies {
		if p.Copy <= 1 {
			out = append(out, p)
		}
	}
	return out
}

// broughtHome undoes moved seams for walking. A moved seam takes a bit of an edge
// beside it along, of an armhole say, onto the neighbour. That bit is taken off
// the neighbour here and put back at the end of the edge that it came from, for
// sewn up it is part of that edge. A piece has as many edges of its own after a
// move as before, in the same order.
func broughtHome(drawn, now []*piece.Piece) []*piece.Piece {
	strips := map[piece.Ref][]piece.Edge{}
	out := make([]*piece.Piece, len(now))
	for i, p := range now {
		c := *p
		c.Outline = nil
		for _, e := range p.Outline {
			if e.From == "" {
				c.Outline = append(c.Outline, e)
				continue
			}
			ref := piece.Ref{Piece: e.From, Edge: e.Name}
			strips[ref] = append(strips[ref], e)
		}
		out[i] = &c
	}
	for i, p := range out {
		for k, e := range p.Outline {
			found := strips[piece.Ref{Piece: p.Name, Edge: e.Name}]
			if len(found) == 0 {
				continue
			}
			was := drawn[i].Outline[k].Line
			from, _ := was.Nearest(e.Line.Start())
			to, _ := was.Nearest(e.Line.End())
			if from > leastStripMM {
				e = inARow(nearestIn(found, from), e)
			}
			if rest := was.Length() - to; rest > leastStripMM {
				e = inARow(e, nearestIn(found, rest))
			}
			p.Outline[k] = e
		}
	}
	return out
}

// leastStripMM is the least that a moved seam takes off an edge beside it.
const leastStripMM = 1.0

// nearestIn is the strip whose length is nearest to one.
func nearestIn(strips []piece.Edge, lengthMM float64) piece.Edge {
	best := strips[0]
	for _, s := range strips[1:] {
		if math.Abs(s.Line.Length()-lengthMM) < math.Abs(best.Line.Length()-lengthMM) {
			best = s
		}
	}
	return best
}

// inARow is two edges as one, for walking: their lines need not touch.
func inARow(a, b piece.Edge) piece.Edge {
	e := a
	if a.From != "" {
		e = b
	}
	length := a.Line.Length()
	e.Line = append(append(curve.Path{}, a.Line...), b.Line...)
	e.Notches = append([]piece.Notch(nil), a.Notches...)
	for _, n := range b.Notches {
		n.AtMM += length
		e.Notches = append(e.Notches, n)
	}
	return e
}

func refs(rs []piece.Ref) string {
	var out []string
	for _, r := range rs {
		out = append(out, r.String())
	}
	return strings.Join(out, " + ")
}
