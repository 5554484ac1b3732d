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
		require.ErrorContains(t, err, `is not understood; the wishes known are: "mix kinds", "carry front to sleeve"`, line)
	}
	_, err := Parse("a wish that goes on and on for ever and ever, and then some")
	require.ErrorContains(t, err, `"a wish that goes on and on for ever and …"`)
	require.Contains(t, Usage(), `"mix kinds" (knit and woven may meet)`)
}

func TestParseCarry(t *testing.T) {
	for line, want := range map[string]Carry{
		"carry front":                {Piece: "front"},
		"Carry  Front to SLEEVE":     {Piece: "front", To: "sleeve"},
		"carry left front to a back": {Piece: "left front", To: "a back"},
		"carry to":                   {Piece: "to"},
		"carry front to":             {Piece: "front to"},
	} {
		w, err := Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, want, w)
	}
	others, carries := WithoutCarry([]Wish{Carry{Piece: "front"}, MixKinds{}})
	require.True(t, carries)
	require.Equal(t, []Wish{MixKinds{}}, others)
	o := &plan.Option{Carried: []plan.Carried{{Piece: "Front", Seams: []string{"A", "B", "C"}, OffMM: 0.2, TurnDeg: 12, TurnsAt: "front/side back/side", Above: "navy", Below: "cream"}}}
	require.Equal(t, []plan.Wish{
		{Text: "carry front", Kept: true, How: "A, B and C are one line, navy above it and cream below; at the joins its ends meet within 0.2 mm, and it turns by up to 12° (front/side to back/side)"},
		{Text: "carry front to back", How: "no seam is carried on from front as far as back"},
	}, Told([]Wish{Carry{Piece: "front"}, Carry{"front", "back"}}, &plan.Document{}, o))
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
