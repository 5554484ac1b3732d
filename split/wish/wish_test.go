package wish

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for _, line := range []string{"mix kinds", "  Mix   KINDS\t"} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, MixKinds{}, w)
		require.True(t, Has[MixKinds]([]Wish{w}))
	}
	require.False(t, Has[MixKinds](nil))
	for _, line := range []string{"", "mix", "mix kinds please", "prefer mix kinds", "stripes navy 60mm", "mixkinds"} {
		_, err := Parse(line)
		require.ErrorContains(t, err, `is not understood; the wishes known are: "mix kinds"`, line)
	}
	_, err := Parse("a wish that goes on and on for ever and ever, and then some")
	require.ErrorContains(t, err, `"a wish that goes on and on for ever and …"`)
	require.Contains(t, Usage(), `"mix kinds" (knit and woven may meet)`)
}

func TestTold(t *testing.T) {
	piece := func(name string, joins ...string) plan.Piece {
		return plan.Piece{Name: name, Copy: 1, Edges: []plan.Edge{{Joins: joins}}}
	}
	d := &plan.Document{
		Pieces: []plan.Piece{piece("front", "back/side"), piece("back", "front/side"), piece("belt")},
		Scraps: []plan.Scrap{{Name: "k", Copy: 1, Kind: "knit"}, {Name: "w", Copy: 1, Kind: "woven"}, {Name: "w", Copy: 2}},
	}
	part := func(of, scrap string, copy int) plan.Part {
		return plan.Part{Piece: of, Copy: 1, Scrap: scrap, ScrapCopy: copy}
	}
	for how, parts := range map[string][]plan.Part{
		"no knit meets woven here":                                 {part("front", "k", 1), part("back", "k", 1), part("belt", "w", 1)},
		"knit and woven meet between back and front":               {part("front", "k", 1), part("back", "w", 1)},
		"knit and woven meet in belt":                              {part("front", "k", 1), part("back", "w", 2), part("belt", "k", 1), part("belt", "w", 1)},
		"knit and woven meet in front, and between back and front": {part("front", "k", 1), part("front", "w", 1), part("back", "w", 1)},
	} {
		require.Equal(t, []plan.Wish{{Text: "mix kinds", Kept: true, How: how}}, Told([]Wish{MixKinds{}, MixKinds{}}, d, &plan.Option{Parts: parts}))
	}
	require.Nil(t, Told(nil, d, &plan.Option{}))
}
