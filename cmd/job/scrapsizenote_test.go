package job

import (
	"testing"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestScrapSizeNote(t *testing.T) {
	front, err := piece.Make(piece.Draft{Name: "front", File: "p.svg", Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{480, 0}, orb.Point{480, 680}, orb.Point{0, 680}), Closed: true}, AllowanceMM: 10, Bare: true})
	require.NoError(t, err)
	front.Count = 2 // 2 × 500 × 700 mm
	huge, err := piece.Make(piece.Draft{Name: "sheet", File: "p.svg", Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{2780, 0}, orb.Point{2780, 2780}, orb.Point{0, 2780}), Closed: true}, AllowanceMM: 10, Bare: true})
	require.NoError(t, err)
	optional := *front
	optional.Optional = true
	scrap := func(width, length, grain float64) piece.Scrap {
		return piece.Scrap{Name: "end", Outline: orb.Ring{{0, 0}, {width, 0}, {width, length}, {0, length}}, GrainDeg: grain, Count: 1}
	}
	for name, c := range map[string]struct {
		pieces []*piece.Piece
		pile   []piece.Scrap
		want   string
	}{
		"as usual":             {[]*piece.Piece{front}, []piece.Scrap{scrap(600, 800, 90)}, ""},
		"6 × 8 m":              {[]*piece.Piece{front}, []piece.Scrap{scrap(6000, 8000, 90)}, "end is 600 cm across the grain by 800 cm along it, and hardly any cloth is wider than 320 cm; if you measured otherwise, check the unit that its size is given in"},
		"a bolt":               {[]*piece.Piece{front}, []piece.Scrap{scrap(1500, 25_000, 90)}, ""},
		"a bolt that lies":     {[]*piece.Piece{front}, []piece.Scrap{scrap(25_000, 1500, 0)}, ""},
		"mm for cm":            {[]*piece.Piece{front}, []piece.Scrap{scrap(60, 80, 90), scrap(44, 10, 90)}, "all scraps together are 52.4 cm², and the pieces are 7000 cm²; if the largest, end, is larger than 6 cm across the grain by 8 cm along it, check the unit that the sizes are given in"},
		"of a huge pattern":    {[]*piece.Piece{huge}, []piece.Scrap{scrap(400, 400, 90)}, "all scraps together are 1600 cm², and the pieces are 78400 cm²; if the largest, end, is larger than 40 cm across the grain by 40 cm along it, check the unit that the sizes are given in"},
		"100 m":                {[]*piece.Piece{front}, []piece.Scrap{scrap(5000, 100_000, 90)}, "end is 500 cm across the grain by 10000 cm along it, and hardly any cloth is wider than 320 cm; if you measured otherwise, check the unit that its size is given in"},
		"too little":           {[]*piece.Piece{front}, []piece.Scrap{scrap(200, 180, 90)}, ""},
		"for what is optional": {[]*piece.Piece{&optional}, []piece.Scrap{scrap(60, 80, 90)}, ""},
		"nothing":              {nil, nil, ""},
	} {
		require.Equal(t, c.want, ScrapSizeNote(c.pieces, c.pile), name)
	}
}
