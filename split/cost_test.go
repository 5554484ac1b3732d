package split_test

import (
	"strings"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
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
	wornOnLeft := func(p *piece.Piece, b *split.Body, at orb.Point) bool {
		return (at[0] > split.CentreOf(b)) == (p.Across[1] == "left")
	}
	for _, e := range back.Outline {
		if split.Joined(e, back, end.Edge, front) && wornOnLeft(back, bb, e.Line.Start()) == wornOnLeft(front, fb, end.At) {
			q, _ := e.Line.At(split.Mate(e, end.Edge, end.AlongMM))
			mate = split.Yoke{}.LevelOf(bb, q)
		}
	}
	require.InDelta(t, level, mate, 15) // front and back are drawn beside each other, and their underarms within that
	for _, c := range []struct{ off, points float64 }{{0, -3}, {2, -3}, {10, 0}} {
		other := new(split.Tree)
		require.NotZero(t, other.ByHand(back, split.Yoke{}, mate+c.off, 0))
		made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{front, back}, Trees: []*split.Tree{tree, other}}, 10)
		require.NoError(t, err)
		require.InDelta(t, c.points, pointsFor(made, "meets its neighbour"), 1e-9, "%g mm off", c.off)
		r := split.Record{Settings: plan.Settings{AllowanceMM: 10}, Drawn: []*piece.Piece{front, back}, Scraps: []*piece.Scrap{{Name: "sheet", Count: 1}}, Plans: []*split.Made{made}}
		order := r.Document().Options[0].SewingOrder
		for k, other := range []string{"B", "A"} {
			require.Equal(t, c.points != 0, strings.HasSuffix(order[k], " Where it ends it meets seam "+other+"."), "%g mm off: %s", c.off, order[k])
		}
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

// Seams meet only where their ends are on edges of copies that are sewn to each other:
// of whatever height the other is, that is at one and on one side.
func TestSeamsMeetOnlyAcrossASeamOfTheirCopies(t *testing.T) {
	tshirt, blouse := sample(t, "tshirt.svg"), sample(t, "blouse.svg")
	layered := drawn(t, `<g id="front" data-cut="2" data-mirrored="yes">
 <path class="seam" d="M 0,60 L 60,0 H 200 V 400 H 0 Z"/><line class="grain" x1="90" y1="90" x2="90" y2="300"/>
 <path class="edge neck" d="M 0,60 L 60,0"/><path class="edge yoke" data-joins="yoke/front" d="M 60,0 H 200"/><path class="edge side" d="M 200,0 V 400"/>
 <path class="edge centre-front" data-joins="front/centre-front" d="M 0,400 V 60"/></g>
<g id="yoke" data-cut="2">
 <path class="seam" d="M 300,60 L 360,0 H 500 V 150 H 300 Z"/><path class="fold" d="M 300,150 V 60"/><line class="grain" x1="390" y1="20" x2="390" y2="130"/>
 <path class="edge front" data-joins="front/yoke" d="M 360,0 H 500"/><path class="edge armhole" d="M 500,0 V 150"/><path class="edge neck" d="M 300,60 L 360,0"/></g>`)
	tube := drawn(t, `<g id="belt" data-cut="2"><rect class="seam" x="400" y="0" width="600" height="60"/><line class="grain" x1="500" y1="10" x2="500" y2="50"/>
 <path class="edge lower" data-joins="leg/waist" d="M 1000,60 H 400"/></g>
<g id="leg" data-cut="2" data-mirrored="yes">
 <path class="seam" d="M 0,0 H 300 L 260,700 H 40 Z"/><line class="grain" x1="90" y1="50" x2="90" y2="300"/>
 <path class="edge waist" d="M 0,0 H 300"/><path class="edge inseam-front" data-joins="leg/inseam-back" d="M 300,0 L 260,700"/><path class="edge inseam-back" d="M 40,700 L 0,0"/></g>`)
	for name, c := range map[string]struct {
		copies     []*piece.Piece
		one, other string // IDs
		way        split.Way
		from, at   float64 // where the one is cut, and where the other is for them to meet; 0 for nowhere
	}{
		// The front's side has a dart 26 mm wide, and its underarm is 8 mm lower.
		"a left front and a whole back":           {blouse, "left front", "back", split.Yoke{}, 400, 366},
		"a right front and a whole back":          {blouse, "right front", "back", split.Yoke{}, 400, 366},
		"a whole front and a whole back":          {tshirt, "front", "back", split.Yoke{}, 300, 295},
		"sleeves, each sewn to itself":            {tshirt, "left sleeve", "right sleeve", split.Yoke{}, 150, 0},
		"legs, each sewn to itself":               {tube, "left leg", "right leg", split.Yoke{}, 200, 0},
		"legs and a belt that spans both":         {tube, "left leg", "left belt", split.Panel{}, 120, 0},
		"two fronts at their centre seam":         {layered, "left front", "right front", split.Yoke{}, 150, 150},
		"a left front and the outer yoke":         {layered, "left front", "yoke 1", split.Panel{}, 120, 120},
		"a left front and the inner yoke as well": {layered, "left front", "yoke 2", split.Panel{}, 120, 120},
	} {
		t.Run(name, func(t *testing.T) {
			byID := func(id string) *piece.Piece {
				for _, p := range c.copies {
					if p.ID() == id {
						return p
					}
				}
				t.Fatalf("no %s", id)
				return nil
			}
			cut := func(p *piece.Piece, mm float64) (*split.Tree, bool) {
				tree, b := new(split.Tree), split.NewBody(p, p.Outline)
				from := b.Lo[1]
				if _, across := c.way.(split.Panel); across {
					if from = b.Lo[0]; p.Centre != nil {
						from, mm = split.CentreOf(b), -mm // a yoke, as a back, has the wearer's left on the left
					} else if p.Flipped {
						from, mm = b.Hi[0], -mm
					}
				}
				return tree, tree.ByHand(p, c.way, from+mm, 0) > 0
			}
			one, other := byID(c.one), byID(c.other)
			first, ok := cut(one, c.from)
			require.True(t, ok)
			met := 0
			for mm := -200.0; mm < 600; mm += 4 {
				second, ok := cut(other, mm)
				if !ok {
					continue
				}
				p := &split.Plan{Pieces: c.copies}
				for _, q := range c.copies {
					switch q {
					case one:
						p.Trees = append(p.Trees, first)
					case other:
						p.Trees = append(p.Trees, second)
					default:
						p.Trees = append(p.Trees, new(split.Tree))
					}
				}
				made, err := split.Make(p, 10)
				if err != nil {
					continue
				}
				if pointsFor(made, "meets its neighbour") != 0 {
					met++
					require.InDelta(t, c.at, mm, 8)
				}
			}
			require.Equal(t, c.at > 0, met > 0)
		})
	}
}

// A curved level to the point of a side dart is welcome also where the dart is taken in, which
// moves the seam's end.
func TestACurvedLevelThatTakesInADartIsWelcome(t *testing.T) {
	for level, want := range map[string]float64{"M -20,230 C 60,230 120,225 330,215": -3, "": 0} {
		drawn := level
		if drawn == "" {
			drawn = "M -20,430 H 330"
		}
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g id="front"><path class="seam" d="M 0,0 H 300 V 500 H 0 Z"/><path class="dart" d="M 300,205 L 180,222 L 300,225"/><path class="level" d="`+drawn+`"/><path class="grain" d="M 60,100 V 300"/></g></svg>`), "p.svg")
		require.NoError(t, err)
		p := split.Copies(pieces)[0]
		line, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g id="front"><path class="seam" d="M 0,0 H 300 V 500 H 0 Z"/><path class="level" d="M -20,230 C 60,230 120,225 330,215"/><path class="grain" d="M 60,100 V 300"/></g></svg>`), "p.svg")
		require.NoError(t, err)
		tree := new(split.Tree)
		require.NotZero(t, tree.ByHand(p, &split.Drawn{Path: line[0].Levels[0]}, 0, 25))
		made, err := split.Make(&split.Plan{Pieces: []*piece.Piece{p}, Trees: []*split.Tree{tree}}, 10)
		require.NoError(t, err)
		require.Equal(t, -4.0, pointsFor(made, "darts taken in"))
		require.Equal(t, want, pointsFor(made, "welcome level"))
	}
}
