package draw_test

import (
	"bytes"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/svg"
	"eke/svg/draw"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// What is written as a file of scraps is read as the same scraps.
func TestPileIsReadBack(t *testing.T) {
	t.Parallel()
	l := orb.Ring{{0, 0}, {200, 0}, {200, 40}, {40, 40}, {40, 300}, {0, 300}}
	pile := []piece.Scrap{
		{Name: "top left 1", Outline: l, GrainDeg: 90, Count: 1, Colour: "#27345f", Note: "traced, ±0.2 mm"},
		{Name: "bottom", Fabric: "rib & co", Look: "Blue", Kind: "knit", Use: "lining", Outline: orb.Ring{{300, 0}, {500, 0}, {500, 200}, {300, 200}}, Holes: []orb.Ring{{{350, 50}, {360, 50}, {360, 60}}}, GrainDeg: 62.5, Nap: true, BothFaces: true, Count: 3},
	}
	var b bytes.Buffer
	require.NoError(t, draw.Pile(&b, "Scraps", "A note.", pile))
	got, err := svg.ReadScraps(&b, "pile.svg")
	require.NoError(t, err)
	require.Len(t, got, len(pile))
	for i, want := range pile {
		require.Empty(t, got[i].Notes)
		require.InDelta(t, plane.Area(want.Outline), plane.Area(got[i].Outline), 0.01)
		require.Len(t, got[i].Holes, len(want.Holes))
		require.InDelta(t, want.GrainDeg, got[i].GrainDeg, 0.01)
		g := got[i]
		g.Outline, g.Holes, g.File, g.Notes, g.GrainDeg = want.Outline, want.Holes, "", nil, want.GrainDeg
		require.Equal(t, want, g)
	}
}
