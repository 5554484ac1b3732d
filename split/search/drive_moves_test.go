package search

import (
	"testing"
	"time"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/split/search/puzzle"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
)

// A scrap that holds the right front once the seam has moved, and the left one not even
// then, has its amount too.
func TestALeftAndARightCopyHaveAmountsOfTheirOwn(t *testing.T) {
	t.Parallel()
	front, err := piece.Make(piece.Draft{
		Name: "front", File: "test", AllowanceMM: 10, Count: 2, Mirrored: true,
		Outline: piece.DraftLine{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{150, 0}, orb.Point{150, 200}, orb.Point{0, 60}, orb.Point{0, 0}), Closed: true},
		Grains:  []piece.DraftLine{{Line: curve.Polyline(orb.Point{75, 10}, orb.Point{75, 100})}},
	})
	require.NoError(t, err)
	for i := range front.Outline {
		front.Outline[i].Name = []string{"top", "right", "hem", "left"}[i]
	}
	front.Outline[1].Joins = []piece.Ref{{Piece: "back", Edge: "left"}}
	back := sewnRectangle(t, "back", 150, 200, 3, "front/right")
	back.Count, back.Mirrored = 2, true
	copies := split.Copies([]*piece.Piece{front, back})
	m := split.Move{From: piece.Ref{Piece: "front", Edge: "right"}, To: piece.Ref{Piece: "back", Edge: "left"}, ByMM: 30}
	for i := range 2 {
		moved, err := m.Apply(copies)
		require.NoError(t, err)
		line, err := split.CutLine(moved[i], moved[i].Outline)
		require.NoError(t, err)
		grown, err := geom.Buffer(polygonOf(line), 0.2)
		require.NoError(t, err)
		d, err := newDriver(copies, []piece.Scrap{cloth("scrap", outerRing(grown)...)}, Options{AllowanceMM: 10, GapMM: 3}.withDefaults())
		require.NoError(t, err)
		for k, want := range []bool{i == 0, i == 1} {
			_, holds := d.table.place(t.Context(), newBlank(moved[k], moved[k].Outline, ""), &d.table.bins[0])
			require.Equal(t, want, holds)
		}
		amounts := d.amounts(t.Context(), m, 60)
		require.NotEmpty(t, amounts)
		require.InDelta(t, 30, amounts[len(amounts)-1], 1.1)
	}
}

// The hidden side seam moves by 33 mm at the armhole and not at the hem, where it cannot
// move as far as along its whole length.
func TestATaperMovesAsFarAsItCan(t *testing.T) {
	t.Parallel()
	require.True(t, solved(t, 1020, puzzle.Rules{
		Garment: "t-shirt", Seams: 1, SlackMM: 10, Share: 0.4, Decoys: 3, GapMM: 3, TurnDeg: 2, Sewn: true, MovedMM: 40,
	}, time.Minute))
}
