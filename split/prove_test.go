package split_test

import (
	"fmt"
	"os"
	"path/filepath"

	"eke/piece"
	"eke/split"
	"eke/split/check"
	"eke/split/fit"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// tester is a *testing.T or a *rapid.T.
type tester interface {
	require.TestingT
	Helper()
}

// sample reads a pattern of the samples, every copy of every piece.
func sample(t tester, name string) []*piece.Piece {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "samples", name))
	require.NoError(t, err)
	defer f.Close()
	pieces, err := svg.Pattern(f, name)
	require.NoError(t, err)
	return split.Copies(pieces)
}

// only are the copies of one piece.
func only(copies []*piece.Piece, name string) []*piece.Piece {
	var out []*piece.Piece
	for _, p := range copies {
		if p.Name == name {
			out = append(out, p)
		}
	}
	return out
}

// cutting is a plan that cuts the pieces of a name as the function says, and
// leaves the rest whole.
func cutting(copies []*piece.Piece, name string, cut func(*piece.Piece, *split.Tree)) *split.Plan {
	p := &split.Plan{Pieces: copies}
	for _, c := range copies {
		tree := new(split.Tree)
		if c.Name == name {
			cut(c, tree)
		}
		p.Trees = append(p.Trees, tree)
	}
	return p
}

// byHand cuts along one line, darts within 15 mm of it taken in.
func byHand(t tester, w split.Way, level func(*split.Body) float64) func(*piece.Piece, *split.Tree) {
	return func(p *piece.Piece, tree *split.Tree) {
		t.Helper()
		require.NotZero(t, tree.ByHand(p, w, level(split.NewBody(p, p.Outline)), split.DartReachMM))
	}
}

// below is a level so far below the top of the body.
func below(mm float64) func(*split.Body) float64 {
	return func(b *split.Body) float64 { return b.Lo[1] + mm }
}

// proved carries a plan out, each part on cloth of its own, and proves it.
func proved(t tester, p *split.Plan, drawn []*piece.Piece) (*split.Made, *plan.Document) {
	t.Helper()
	made, err := split.Make(p, 10)
	require.NoError(t, err)
	d := document(made, drawn)
	require.Empty(t, check.Document(d))
	return made, d
}

func document(made *split.Made, drawn []*piece.Piece) *plan.Document {
	r := split.Record{Settings: plan.Settings{AllowanceMM: 10, DartReachMM: split.DartReachMM}, Drawn: drawn, Scraps: clothFor(made), Plans: []*split.Made{made}}
	return r.Document()
}

// clothFor lays each part on cloth of its own.
func clothFor(made *split.Made) []*piece.Scrap {
	var cloth []*piece.Scrap
	for k, part := range made.Parts {
		p := made.Plan.Pieces[part.Piece]
		at := fit.Placement{Deg: 90 - p.GrainDeg}
		box := at.Apply(part.Cut).Bound().Pad(5)
		part.Leaf.Scrap, part.Leaf.Placement = k, at
		s := &piece.Scrap{
			Name: fmt.Sprint("cloth ", k), GrainDeg: 90, Count: 1, Copy: 1,
			Outline: orb.Ring{box.Min, {box.Max[0], box.Min[1]}, box.Max, {box.Min[0], box.Max[1]}},
		}
		if len(p.Fabrics) > 0 {
			s.Fabric = p.Fabrics[0]
		}
		cloth = append(cloth, s)
	}
	return cloth
}
