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

// Notches of a kind that seem to be meant to meet, and do not, are told, with where they lie
// from the same end of the seam; others, as those for the ends of a pocket, are not.
func TestNotchesThatDoNotMeet(t *testing.T) {
	notched := func(name, to string, mm ...float64) *piece.Piece {
		e := straightEdge("side", 300, piece.Ref{Piece: to, Edge: "side"})
		for _, at := range mm {
			e.Notches = append(e.Notches, piece.Notch{AtMM: at, Count: 1})
		}
		return sewn(name, 1, e)
	}
	for name, c := range map[string]struct {
		front, back []float64
		want        string
	}{
		"they meet":              {[]float64{100}, []float64{200}, ""},
		"the drawing is off":     {[]float64{100}, []float64{190}, ""},
		"22 mm apart":            {[]float64{100}, []float64{178}, "a notch of front/side, 100 mm along it, and one of back/side, 122 mm from the same end of the seam, do not meet"},
		"another one meets":      {[]float64{100, 40}, []float64{178, 260}, "a notch of front/side, 100 mm along it, and one of back/side, 122 mm from"},
		"of other things":        {[]float64{40}, []float64{180}, ""},
		"one side alone has one": {[]float64{100}, nil, ""},
	} {
		got := Warnings([]*piece.Piece{notched("front", "back", c.front...), notched("back", "front", c.back...)})
		if c.want == "" {
			require.Empty(t, got, name)
			continue
		}
		require.Len(t, got, 1, name)
		require.Contains(t, got[0], c.want, name)
	}
}
