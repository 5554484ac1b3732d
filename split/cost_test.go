package split_test

import (
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// Every term of the cost by its name, on the samples.
func TestCostTerms(t *testing.T) {
	tshirt, blouse := sample(t, "tshirt.svg"), sample(t, "blouse.svg")
	at := func(p *piece.Piece, w split.Way, level float64) *split.Tree {
		tree := new(split.Tree)
		require.NotZero(t, tree.ByHand(p, w, level, 0))
		return tree
	}
	body := func(p *piece.Piece) *split.Body { return split.NewBody(p, p.Outline) }
	type cuts func(p *piece.Piece) *split.Tree
	yoke := func(mm float64) cuts {
		return func(p *piece.Piece) *split.Tree { return at(p, split.Yoke{}, body(p).Lo[1]+mm) }
	}
	panel := func(mm float64) cuts {
		return func(p *piece.Piece) *split.Tree { return at(p, split.Panel{}, split.CentreOf(body(p))+mm) }
	}
	corner := func(p *piece.Piece) *split.Tree { return at(p, split.Corner{Deg: 60}, body(p).Lo[1]+250) }
	underarm := func(p *piece.Piece) *split.Tree {
		return at(p, split.Yoke{}, split.Yoke{}.LevelOf(body(p), split.Underarms(p.Outline)[0])+5)
	}
	dart := func(p *piece.Piece) *split.Tree {
		tree := new(split.Tree)
		require.NotZero(t, tree.ByHand(p, split.Yoke{}, body(p).Lo[1]+275, split.DartReachMM))
		return tree
	}
	for name, c := range map[string]struct {
		pattern []*piece.Piece
		trees   map[string]cuts // by the ID of a copy
		term    string
		points  float64
	}{
		"two seams":                 {tshirt, map[string]cuts{"front": yoke(300), "back": yoke(420)}, "seams added", 20},
		"no seams":                  {tshirt, nil, "seams added", 0},
		"a seam's length":           {tshirt, map[string]cuts{"front": panel(0)}, "their length", 5.3},
		"both ends at the underarm": {tshirt, map[string]cuts{"front": underarm}, "bulk", 4},
		"clear of the underarm":     {tshirt, map[string]cuts{"front": yoke(300)}, "bulk", 0},
		"both ends in the armhole":  {tshirt, map[string]cuts{"front": yoke(150)}, "ends in a curve", 6},
		"one end in the neck":       {tshirt, map[string]cuts{"front": panel(0)}, "ends in a curve", 3},
		"on the drawn level":        {tshirt, map[string]cuts{"front": yoke(255)}, "welcome level", -3},
		"beside the drawn level":    {tshirt, map[string]cuts{"front": yoke(275)}, "welcome level", 0},
		"a centre seam":             {tshirt, map[string]cuts{"front": panel(0)}, "centre seam", -1},
		"a panel off the middle":    {tshirt, map[string]cuts{"front": panel(60)}, "left and right differ", 3},
		"a corner":                  {tshirt, map[string]cuts{"front": corner}, "slant", 3},
		"one sleeve of two":         {tshirt, map[string]cuts{"left sleeve": yoke(150)}, "left and right differ", 3},
		"both sleeves alike":        {tshirt, map[string]cuts{"left sleeve": yoke(150), "right sleeve": yoke(150)}, "left and right differ", 0},
		"both sleeves, unlike":      {tshirt, map[string]cuts{"left sleeve": yoke(150), "right sleeve": yoke(120)}, "left and right differ", 3},
		"darts not taken in":        {blouse, map[string]cuts{"back": yoke(262)}, "darts taken in", 0},
		"darts of both fronts":      {blouse, map[string]cuts{"left front": dart, "right front": dart}, "darts taken in", -8},
		"the dart of one front":     {blouse, map[string]cuts{"left front": dart}, "darts taken in", 0},
		"darts, split unlike":       {blouse, map[string]cuts{"left front": dart, "right front": yoke(340)}, "darts taken in", 0},
	} {
		t.Run(name, func(t *testing.T) {
			p := &split.Plan{Pieces: c.pattern}
			for _, piece := range c.pattern {
				tree := new(split.Tree)
				if cut := c.trees[piece.ID()]; cut != nil {
					tree = cut(piece)
				}
				p.Trees = append(p.Trees, tree)
			}
			made, err := split.Make(p, 10)
			require.NoError(t, err)
			require.InDelta(t, c.points, pointsFor(made, c.term), 0.3)
			var sum float64
			for _, term := range split.Cost(made) {
				require.NotZero(t, term.Points)
				require.NotEmpty(t, term.Name)
				require.NotEmpty(t, term.Detail)
				sum += term.Points
			}
			require.InDelta(t, sum, split.Intrusion(split.Cost(made)), 1e-9)
		})
	}
}

// Two seams that end at the same place of a join meet there.
func TestMeetsItsNeighbour(t *testing.T) {
	copies := sample(t, "tshirt.svg")
	front, back := only(copies, "front")[0], only(copies, "back")[0]
	fb, bb := split.NewBody(front, front.Outline), split.NewBody(back, back.Outline)
	level := fb.Lo[1] + 300
	tree := new(split.Tree)
	require.NotZero(t, tree.ByHand(front, split.Yoke{}, level, 0))
	made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{front}, Trees: []*split.Tree{tree}}, 10)
	require.NoError(t, err)
	end := made.Seams[0].Ends[0]
	require.Equal(t, "side", end.Edge.Name)
	var mate float64
	for _, e := range back.Outline {
		if split.Joined(e, back, end.Edge, front) {
			q, _ := e.Line.At(split.Mate(e, end.Edge, end.AlongMM))
			mate = split.Yoke{}.LevelOf(bb, q)
		}
	}
	require.NotZero(t, mate)
	for _, c := range []struct{ off, points float64 }{{0, -3}, {2, -3}, {10, 0}} {
		other := new(split.Tree)
		require.NotZero(t, other.ByHand(back, split.Yoke{}, mate+c.off, 0))
		made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{front, back}, Trees: []*split.Tree{tree, other}}, 10)
		require.NoError(t, err)
		require.InDelta(t, c.points, pointsFor(made, "meets its neighbour"), 1e-9, "%g mm off", c.off)
	}
}

// A moved seam costs less than an added one, and less where it tapers.
func TestAMovedSeamCostsLess(t *testing.T) {
	copies := sample(t, "tshirt.svg")
	for stays, points := range map[string]float64{"": 6, "neck": 5, "armhole": 5} {
		m := split.Move{From: ref("front", "shoulder"), To: ref("back", "shoulder"), ByMM: 40, Stays: stays}
		now, err := m.Apply(copies)
		require.NoError(t, err)
		p := &split.Plan{Moves: []split.Move{m}, Pieces: now}
		for range now {
			p.Trees = append(p.Trees, new(split.Tree))
		}
		made, err := split.Make(p, 10)
		require.NoError(t, err)
		require.InDelta(t, points, split.Intrusion(split.Cost(made)), 1e-9)
		require.InDelta(t, points, pointsFor(made, "moved seam"), 1e-9)
	}
}
