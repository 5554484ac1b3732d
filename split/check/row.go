package check

import (
	"math"
	"slices"
	"strings"
)

// seamEdge is an edge of a copy.
type seamEdge struct {
	piece *pieceProof
	edge  drawnEdge
	k     int // of the piece's edges
}

func (e seamEdge) ref() string { return e.piece.Name + "/" + e.edge.Name }

// like are the edges of a name, of all copies.
func (c *carriedProof) like(ref string) (out []seamEdge) {
	for _, at := range c.order {
		of := c.pieces[at]
		for k, e := range of.edges {
			if s := (seamEdge{of, e, k}); strings.EqualFold(s.ref(), ref) {
				out = append(out, s)
			}
		}
	}
	return out
}

// starts are where along a long edge one of two in a row on it may start: one place where
// the pattern tells which of them comes first, else two.
func (c *carriedProof) starts(one, long seamEdge, row []string) []float64 {
	if len(row) != 2 {
		return nil
	}
	whole := c.sewnLength(long.ref())
	last := whole - c.sewnLength(one.ref())*whole/c.total(row)
	switch c.comesFirst(one, long, row) {
	case 1:
		return []float64{0}
	case -1:
		return []float64{last}
	}
	return []float64{0, last}
}

// placeTold reports whether the place of the one on the other is told, if that is in a row.
func (c *carriedProof) placeTold(a, b seamEdge) bool {
	if row := c.partners(a.ref()); c.inRow(a.ref(), row) {
		return len(c.starts(b, a, row)) == 1
	}
	if row := c.partners(b.ref()); c.inRow(b.ref(), row) {
		return len(c.starts(a, b, row)) == 1
	}
	return true
}

// comesFirst is 1 where the one of a row of two is sewn to the start of the long edge, -1
// where to its end, and 0 where nothing tells: where the two meet each other, an edge
// beside the long one that is called after one of them, or the order in which it names
// them. That is as it is drawn from left to right, and is read of pieces alone that are cut
// as mirror images: one drawn on the fold names them from there.
func (c *carriedProof) comesFirst(one, long seamEdge, row []string) int {
	other := row[0]
	if strings.EqualFold(other, one.ref()) {
		other = row[1]
	}
	start, atStart := c.turnsInto(one, -1, other)
	end, atEnd := c.turnsInto(one, 1, other)
	if start == end || c.closed(long) { // the cap goes over the shoulder, and its ends meet at the side
		start, end = atStart > atEnd, atEnd > atStart
	}
	switch { // sewn to each other they run against each other
	case start && !end:
		return 1
	case end && !start:
		return -1
	}
	called := func(step int) (sum int) {
		beside := strings.ToLower(long.beside(step).Name)
		for k, name := range []string{one.piece.Name, pieceNamed(other)} {
			if strings.Contains(beside, strings.ToLower(name)) {
				sum += 1 - 2*k
			}
		}
		return sum
	}
	switch before, after := called(-1), called(1); {
	case before > after:
		return 1
	case before < after:
		return -1
	}
	joins := long.edge.Joins
	if !c.mirrored(long.piece.Name) || len(joins) != 2 {
		return 0
	}
	first := strings.EqualFold(joins[0], one.ref()) && strings.EqualFold(joins[1], other)
	if !first && !(strings.EqualFold(joins[1], one.ref()) && strings.EqualFold(joins[0], other)) {
		return 0
	}
	run := sub(long.edge.line[len(long.edge.line)-1], long.edge.line[0])
	along := run[0] > 0 != long.piece.Flipped
	if math.Abs(run[1]) > math.Abs(run[0]) { // one that stands is named from the top down
		along = run[1] > 0
	}
	if first == along {
		return 1
	}
	return -1
}

// closed reports whether what lies before an edge is sewn to what lies after it, as the
// underarm seam of a sleeve makes a ring of the cap.
func (c *carriedProof) closed(long seamEdge) bool {
	before, after := long.beside(-1), long.beside(1)
	return before.Name != "" && after.Name != "" && slices.ContainsFunc(c.partners(long.piece.Name+"/"+before.Name), func(r string) bool {
		return strings.EqualFold(r, long.piece.Name+"/"+after.Name)
	})
}

// beside is the next edge of its piece, or with a step of -1 the one before.
func (e seamEdge) beside(step int) drawnEdge {
	n := len(e.piece.edges)
	return e.piece.edges[(e.k+step+n)%n]
}

// turnsInto reports whether what lies beside an edge, after it or with a step of -1 before
// it, is an edge of another name, or is sewn to what lies beside that. Over is 1 where that
// seam is a shoulder's, -1 where it is a side's, and 0 where it is neither, or both.
func (c *carriedProof) turnsInto(e seamEdge, step int, other string) (into bool, over int) {
	next := e.beside(step)
	own := e.piece.Name + "/" + next.Name
	if next.Name == "" {
		return false, 0
	}
	if strings.EqualFold(own, other) {
		return true, 0
	}
	for _, o := range c.like(other) {
		for _, side := range []int{-1, 1} {
			far := o.beside(side)
			ref := o.piece.Name + "/" + far.Name
			for _, to := range c.partners(own) {
				if far.Name == "" || !strings.EqualFold(to, ref) {
					continue
				}
				into = true
				names := strings.ToLower(next.Name + " " + far.Name)
				if strings.Contains(names, "shoulder") {
					over++
				}
				if strings.Contains(names, "side") || strings.Contains(names, "underarm") {
					over--
				}
			}
		}
	}
	return into, max(-1, min(1, over))
}

// mirrored reports whether some copies of a piece are mirror images of others.
func (c *carriedProof) mirrored(name string) bool {
	var drawn, flipped bool
	for at, p := range c.pieces {
		if strings.EqualFold(at.name, name) {
			drawn, flipped = drawn || !p.Flipped, flipped || p.Flipped
		}
	}
	return drawn && flipped
}
