package split_test

import (
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/race"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A seam says why it is where it is only as far as that is so.
func TestWhyASeamIsWhereItIs(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	tshirt := sample(t, "tshirt.svg")
	plain := *only(tshirt, "front")[0]
	plain.Levels = nil
	front := []*piece.Piece{&plain}
	underarm := split.Underarms(front[0].Outline)
	require.NotEmpty(t, underarm)
	arm := underarm[0][1] - front[0].Outline.Ring().Bound().Min[1]
	levelled := func(mm float64) []*piece.Piece {
		c := plain
		y := c.Outline.Ring().Bound().Min[1] + mm
		c.Levels = []curve.Path{curve.Polyline(orb.Point{-2000, y}, orb.Point{2000, y})}
		return []*piece.Piece{&c}
	}
	for name, c := range map[string]struct {
		pieces []*piece.Piece
		below  float64
		why    string
	}{
		"far below the underarm":    {front, arm + 150, ""},
		"at the underarm":           {front, arm + 5, ""},
		"above it":                  {front, arm - 30, ""},
		"just below it":             {front, arm + split.BelowUnderarmMM, "just below the underarm, clear of it"},
		"on a level":                {levelled(arm + 150), arm + 150, "at a level drawn on the piece"},
		"beside a level":            {levelled(arm + 150), arm + 140, ""},
		"on a level by an underarm": {levelled(arm + 20), arm + 20, "at a level drawn on the piece; just below the underarm, clear of it"},
	} {
		t.Run(name, func(t *testing.T) {
			_, d := proved(t, cutting(c.pieces, "front", byHand(t, split.Yoke{}, below(c.below))), c.pieces)
			require.Equal(t, c.why, d.Options[0].PiecingSeams[0].Why)
		})
	}

	p := split.Plan{Pieces: tshirt}
	for _, c := range tshirt {
		tree := new(split.Tree)
		if c.Name == "front" || c.Name == "back" {
			for _, u := range split.Underarms(c.Outline) {
				tree.ByHand(c, split.Yoke{}, u[1]+150, 0)
				break
			}
		}
		p.Trees = append(p.Trees, tree)
	}
	_, d := proved(t, &p, tshirt)
	require.Len(t, d.Options[0].PiecingSeams, 2)
	for i, other := range []string{"B", "A"} {
		require.Equal(t, "meets "+other+" across a join", d.Options[0].PiecingSeams[i].Why)
	}

	back := only(sample(t, "blouse.svg"), "back")
	_, d = proved(t, cutting(back, "back", byHand(t, split.Yoke{}, below(262))), back)
	require.Contains(t, d.Options[0].PiecingSeams[0].Why, "takes in 2 darts")
}
