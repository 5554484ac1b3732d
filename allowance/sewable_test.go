package allowance

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestSewable(t *testing.T) {
	for name, c := range map[string]struct {
		a, b, ease float64
		ok         bool
	}{
		"equal":                        {500, 500, 0, true},
		"eased in":                     {520, 500, 0, true},
		"25 mm":                        {525, 500, 0, true},
		"beyond 25 mm":                 {526, 500, 0, false},
		"the other longer":             {500, 526, 0, false},
		"8 % of the shorter":           {108, 100, 0, true},
		"beyond 8 %":                   {109, 100, 0, false},
		"short, as well as it's drawn": {23, 20, 0, true},
		"short, beyond":                {24, 20, 0, false},
		"a sleeve 1.5 times too large": {315, 211, 0, false},
		"gathered":                     {315, 211, 104, true},
		"gathered beyond":              {317, 211, 104, false},
		"little ease makes no rule":    {105, 100, 1, true},
	} {
		require.Equal(t, c.ok, Walked{AMM: c.a, BMM: c.b, EaseMM: c.ease}.Sewable(), name)
	}
}

// The sleeve of a pattern is sewn to a front and a back armhole in a row.
func TestWarnings(t *testing.T) {
	ref := func(p, e string) piece.Ref { return piece.Ref{Piece: p, Edge: e} }
	pattern := func(ease piece.Ease) []*piece.Piece {
		cap := straightEdge("cap", 540, ref("front", "armhole"), ref("back", "armhole"))
		cap.Ease = ease
		return []*piece.Piece{
			sewn("front", 2, straightEdge("armhole", 220, ref("sleeve", "cap"))),
			sewn("back", 2, straightEdge("armhole", 216, ref("sleeve", "cap"))),
			sewn("sleeve", 2, cap),
		}
	}
	got := Warnings(pattern(piece.Ease{}))
	require.Len(t, got, 1)
	require.Contains(t, got[0], "sleeve/cap, 540 mm long, is sewn to front/armhole + back/armhole, 436 mm long: 104 mm (24 %)")
	require.Contains(t, got[0], "ease: 104mm")
	require.Len(t, Warnings(pattern(piece.Ease{MM: 100})), 1)
	require.Empty(t, Warnings(pattern(piece.Ease{MM: 104})))
	require.Empty(t, Warnings(pattern(piece.Ease{Share: 0.25})))
	require.Len(t, Warnings(pattern(piece.Ease{Share: 0.2})), 1)
}
