package search

import (
	"math"
	"testing"

	"eke/piece"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Cuffs are rectangles, so one is as good as its mirror image. The sleeves of a
// planted t-shirt are deeper at the front.
func TestLikeCopies(t *testing.T) {
	blanks := drawn(t, newTable(nil, Options{AllowanceMM: 10}.withDefaults()))
	like := map[string]int{}
	for i, b := range blanks {
		if l := twinOf(b, blanks[:i]); l >= 0 {
			require.Equal(t, b.piece.Name, blanks[l].piece.Name)
			like[b.piece.Name]++
		}
	}
	require.Equal(t, 1, like["cuff"])
	shirt := 0
	for i, b := range blanks {
		if b.piece.Name == "sleeve" && i+1 < len(blanks) && blanks[i+1].piece.Name == "sleeve" && math.Abs(b.area-blanks[i+1].area) < 1 && !blanks[i+1].sameLine(b) {
			shirt++
		}
	}
	require.Positive(t, shirt)
}

// How full scraps would be is counted for each fabric by itself.
func TestEvenFills(t *testing.T) {
	square := func(fabric string, side float64) piece.Scrap {
		return piece.Scrap{Name: fabric, Fabric: fabric, Outline: orb.Ring{{0, 0}, {side, 0}, {side, side}, {0, side}}, GrainDeg: 90, Count: 1}
	}
	table := newTable([]piece.Scrap{square("rib", 100), square("rib", 50), square("jersey", 900)}, Options{AllowanceMM: 10}.withDefaults())
	in := &instance{table: table, blanks: []*blank{
		{piece: &piece.Piece{Name: "band", Fabrics: []string{"rib"}}, area: 11_250},
		{piece: &piece.Piece{Name: "front", Fabrics: []string{"jersey"}}, area: 100_000},
	}}
	require.InDeltaSlice(t, []float64{0.9, 0.9, 0.74}, in.evenFills(), 1e-9)
}

// Pieces that fit one scrap only are packed when all have their bin, not one by one
// on the way, and share their shape with copies cut alike.
func TestPiecesWithoutAChoiceArePackedOnce(t *testing.T) {
	o := Options{AllowanceMM: 10, GapMM: 3, MaxSeams: 0, Seed: 1, Keep: 1}.withDefaults()
	pocket, flap := rectangle(t, "pocket", 180, 200), rectangle(t, "flap", 180, 90)
	copies := []*piece.Piece{pocket, pocket, pocket, flap, flap}
	for name, c := range map[string]struct {
		scraps        []piece.Scrap
		oneAssignment bool
	}{
		"one scrap":  {[]piece.Scrap{sheet("a", 640, 420)}, true},
		"two scraps": {[]piece.Scrap{sheet("a", 640, 420), sheet("b", 640, 420)}, false},
	} {
		t.Run(name, func(t *testing.T) {
			table := newTable(c.scraps, o)
			in := newInstanceOfKinds(table, copies, nil, nil)
			require.Zero(t, in.minSeams(t.Context()))
			require.Equal(t, c.oneAssignment, in.oneAssignment())
			require.Same(t, in.blanks[0].shape, in.blanks[2].shape)
			require.NotSame(t, in.blanks[0].shape, in.blanks[3].shape)
			plans, _ := solve(t.Context(), []stage{{instance: in, budget: budgets[0]}}, 1)
			require.NotEmpty(t, plans)
			if c.oneAssignment {
				require.Len(t, table.packs.known, 1)
			}
		})
	}
}
