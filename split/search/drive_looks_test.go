package search

import (
	"fmt"
	"testing"

	"eke/piece"
	"eke/piece/race"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// Two fronts are of navy and cream, and would match with a seam more. That is no reason not
// to ask whether they match without.
func TestFrontsMatchWhereTheyCan(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	pieces := []*piece.Piece{counted(2, rectangle(t, "front", 300, 400))}
	var pile []piece.Scrap
	for k, look := range []string{"navy", "cream", "cream"} {
		s := sheet(fmt.Sprint(look, k), 330+20*float64(k), 430+20*float64(k))
		s.Look = look
		pile = append(pile, s)
	}
	o := Options{MaxSeams: 2, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2}.withDefaults()
	d, err := newDriver(split.Copies(pieces), pile, o)
	require.NoError(t, err)
	unmatched, _ := d.iterate(t.Context(), 0, budgets[0], 1, always)
	o.tidy = []string{"front"}
	matched := d.again(t.Context(), o, 1, 0)
	require.NotEmpty(t, unmatched)
	require.NotEmpty(t, matched)
	d.keep([]*split.Made{unmatched[0], matched[0]})
	require.Positive(t, d.looksBest(0))
	require.Zero(t, d.looksBest(1))
	d.look(t.Context(), 0)
	require.Zero(t, d.looksBest(0))
}
