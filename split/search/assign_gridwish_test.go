package search

import (
	"fmt"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/wish"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// outlined is a piece with the grain down the page.
func outlined(t require.TestingT, name string, count int, corners ...orb.Point) *piece.Piece {
	d := piece.Draft{Name: name, Count: count, Mirrored: count > 1, AllowanceMM: 10, Outline: piece.DraftLine{Line: curve.Polyline(append(corners, corners[0])...), Closed: true}, Grains: []piece.DraftLine{{Line: curve.Polyline(orb.Point{100, 100}, orb.Point{100, 300})}}}
	p, err := piece.Make(d)
	require.NoError(t, err)
	return p
}

// Covers by small scraps keep wishes for an upper and a lower block, and for
// copies that are split alike; the copies are mirror images that lean.
func TestGridKeepsToWishes(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	front := outlined(t, "front", 1, orb.Point{0, 0}, orb.Point{400, 0}, orb.Point{400, 600}, orb.Point{0, 600})
	sleeve := outlined(t, "sleeve", 2, orb.Point{0, 0}, orb.Point{390, 40}, orb.Point{390, 390}, orb.Point{0, 390})
	var pile []piece.Scrap
	for k := range 30 {
		s := sheet(fmt.Sprint("b", k), float64(220+10*(k%7)), float64(240+10*(k%5)))
		s.Look, s.Count = []string{"cream", "navy"}[k%2], 1
		pile = append(pile, s)
	}
	wishes := []wish.Wish{wish.Alike{Piece: "sleeve"}, wish.Block{Piece: "front", Upper: "cream", Lower: "navy"}}
	table := newTable(pile, Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Wishes: wishes}.withDefaults())
	in := table.variants(split.Copies([]*piece.Piece{front, sleeve}), nil)[0]
	m := in.grid(t.Context(), nil)
	require.NotNil(t, m)
	r := split.Record{Settings: plan.Settings{GapMM: 3, GrainToleranceDeg: 2, AllowanceMM: 10}, Drawn: in.pieces, Scraps: table.scraps, Plans: []*split.Made{m}}
	d := r.Document()
	d.Options[0].Wishes = wish.Told(wishes, d, &d.Options[0])
	for _, w := range d.Options[0].Wishes {
		require.True(t, w.Kept, "%s: %s", w.Text, w.How)
	}
	require.Empty(t, check.Document(d))
}

// A mirror image is cut at mirrored levels, in the same order from left to right.
func TestMirroredCuts(t *testing.T) {
	t.Parallel()
	leaf := func(scrap int) *split.Tree { return &split.Tree{Scrap: scrap} }
	panel := func(level float64, near, far *split.Tree) *split.Tree {
		return &split.Tree{Way: split.Panel{}, LevelMM: level, Near: near, Far: far}
	}
	yoke := &split.Tree{Way: split.Yoke{}, LevelMM: 55, Near: leaf(1), Far: panel(30, leaf(2), leaf(3))}
	got := mirrored(panel(20, leaf(4), panel(70, yoke, leaf(5))), 100)
	require.Equal(t, panel(30, leaf(5), panel(80, &split.Tree{Way: split.Yoke{}, LevelMM: 55, Near: leaf(1), Far: panel(70, leaf(3), leaf(2))}, leaf(4))), got)
}
