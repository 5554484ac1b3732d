package split

import (
	"math"
	"slices"

	"eke/piece"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// Blocking is the upright lines of a grid of blocks. Its level lines are those of
// stripes that are all as deep. Upright lines are counted from the centre of each
// piece: one runs there, or two half a block from it.
type Blocking struct {
	SizeMM   float64
	Uprights map[int][]float64 // by copy, of all copies; across the grain, from left to right
}

// UprightLines are those of a copy: with one on its centre, or half a block from it.
func UprightLines(b *Body, sizeMM float64, besideCentre bool) []float64 {
	from := CentreOf(b)
	if besideCentre {
		from += sizeMM / 2
	}
	var out []float64
	for x := from - sizeMM*math.Floor((from-b.Lo[0])/sizeMM); x < b.Hi[0]; x += sizeMM {
		if x > b.Lo[0] {
			out = append(out, x)
		}
	}
	return out
}

// BlockSide is a stretch of a straight line of the grid that a block lies on.
type BlockSide struct {
	Level        bool
	AtMM         float64 // down the grain, or across it
	FromMM, ToMM float64 // along the line
}

// Touch reports whether two blocks of a copy lie side by side.
func Touch(a, b []BlockSide) bool {
	for _, s := range a {
		for _, t := range b {
			if s.Level == t.Level && math.Abs(s.AtMM-t.AtMM) < 0.1 && math.Min(s.ToMM, t.ToMM)-math.Max(s.FromMM, t.FromMM) > leastSeamMM {
				return true
			}
		}
	}
	return false
}

// BlockSides are the sides that a block was cut along.
func BlockSides(b *Body) []BlockSide {
	var out []BlockSide
	for _, e := range b.Outline {
		if e.Seam == "" {
			continue
		}
		a1, d1 := b.Frame.Place(e.Line.Start())
		a2, d2 := b.Frame.Place(e.Line.End())
		if math.Abs(d2-d1) < math.Abs(a2-a1) {
			out = append(out, BlockSide{true, (d1 + d2) / 2, math.Min(a1, a2), math.Max(a1, a2)})
		} else {
			out = append(out, BlockSide{false, (a1 + a2) / 2, math.Min(d1, d2), math.Max(d1, d2)})
		}
	}
	return out
}

// Sewn is a place on the outline of another copy, of all copies, that is sewn to one.
type Sewn struct {
	Copy int
	At   orb.Point
}

// AcrossJoins are the places that the middle of a drawn edge of a block is sewn to.
func (s *Striping) AcrossJoins(of int, e piece.Edge) []Sewn {
	k := slices.Index(s.body, of)
	if k < 0 || e.Seam != "" || e.Line.Length() < LeastPartMM {
		return nil
	}
	middle, _ := e.Line.At(e.Line.Length() / 2)
	var out []Sewn
	for i, whole := range s.whole[k].Outline {
		mm, away := whole.Line.Nearest(middle)
		if away > 0.1 {
			continue
		}
		at, _ := s.mates.of(edgeAt{k, i}, mm)
		for _, m := range at {
			q, _, _ := outward(s.mates.line(m.edgeAt), m.mm)
			out = append(out, Sewn{s.body[m.copy], q})
		}
	}
	return out
}

// OnDrawnEdge reports whether a place is on what was drawn of a block's outline.
func OnDrawnEdge(o piece.Outline, q orb.Point) bool {
	return slices.ContainsFunc(o, func(e piece.Edge) bool {
		_, away := e.Line.Nearest(q)
		return e.Seam == "" && away < 0.5
	})
}

// blocked are the parts that are blocks.
func (m *Made) blocked() (out []int) {
	for k, p := range m.Parts {
		if _, ok := m.Plan.Striped.Blocks.Uprights[p.Piece]; ok {
			out = append(out, k)
		}
	}
	return out
}

// sideBySide are the pairs of blocks that have one look, in a piece or across a join.
func (m *Made) sideBySide() (out [][2]int) {
	blocks := m.blocked()
	sides := map[int][]BlockSide{}
	for _, k := range blocks {
		sides[k] = BlockSides(NewBody(m.Plan.Pieces[m.Parts[k].Piece], m.Parts[k].Outline))
	}
	for n, i := range blocks {
		for _, k := range blocks[n+1:] {
			if m.lookOf(i) == m.lookOf(k) && (m.Parts[i].Piece == m.Parts[k].Piece && Touch(sides[i], sides[k]) || m.sewnOn(i, k) || m.sewnOn(k, i)) {
				out = append(out, [2]int{i, k})
			}
		}
	}
	return out
}

// sewnOn reports whether the middle of an edge of a part is sewn to another part.
func (m *Made) sewnOn(part, to int) bool {
	for _, e := range m.Parts[part].Outline {
		for _, at := range m.Plan.Striped.AcrossJoins(m.Parts[part].Piece, e) {
			if at.Copy == m.Parts[to].Piece && OnDrawnEdge(m.Parts[to].Outline, at.At) {
				return true
			}
		}
	}
	return false
}

// documentBlocks is the grid as plan.json has it.
func (m *Made) documentBlocks() *plan.Blocks {
	s := m.Plan.Striped
	if s == nil || s.Blocks == nil {
		return nil
	}
	out := &plan.Blocks{SizeMM: s.Blocks.SizeMM, Lead: s.Lead, Meets: s.documentMeets()}
	for k, c := range s.Copies {
		b := s.whole[k]
		p := plan.BlockedPiece{StripedPiece: m.documentBands(c), UprightsMM: s.Blocks.Uprights[c.Copy], CentreMM: CentreOf(b)}
		for _, level := range c.Tops {
			if Crosses(b, level) {
				p.LevelsMM = append(p.LevelsMM, level)
			}
		}
		slices.Sort(p.LevelsMM)
		for i := range m.Parts {
			if m.Parts[i].Piece == c.Copy && reachesOver(NewBody(b.Piece, m.Parts[i].Outline), p.LevelsMM, p.UprightsMM) {
				out.Larger++
			}
		}
		out.Pieces = append(out.Pieces, p)
	}
	for _, pair := range m.sideBySide() {
		a, b := m.Parts[pair[0]], m.Parts[pair[1]]
		out.Alike = append(out.Alike, plan.AlikeBlocks{Parts: [2]string{a.Name, b.Name}, Copies: [2]int{m.Plan.Pieces[a.Piece].Copy, m.Plan.Pieces[b.Piece].Copy}})
	}
	return out
}

// reachesOver reports whether a block lies on both sides of a line of the grid.
func reachesOver(b *Body, levels, uprights []float64) bool {
	const overMM = 0.5
	within := func(axis int) func(float64) bool {
		return func(x float64) bool { return x > b.Lo[axis]+overMM && x < b.Hi[axis]-overMM }
	}
	return slices.ContainsFunc(levels, within(1)) || slices.ContainsFunc(uprights, within(0))
}
