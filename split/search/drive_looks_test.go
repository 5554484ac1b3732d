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

// One of two fronts is cut in two, of navy and cream. With both of cream none has to be; and
// where nothing is of two looks, or no plan has fewer seams, nothing is looked for.
func TestPiecesOfOneLookTakeASeamFewer(t *testing.T) {
	t.Parallel()
	fronts := split.Copies([]*piece.Piece{counted(2, rectangle(t, "front", 300, 400))})
	plans := func(looks ...string) (d *driver, inOne, inTwo *split.Made) {
		var pile []piece.Scrap
		for k, look := range looks {
			s := sheet(fmt.Sprint(look, k), 330+20*float64(k), 430+20*float64(k))
			s.Look = look
			pile = append(pile, s)
		}
		d, err := newDriver(fronts, pile, Options{MaxSeams: 2, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2}.withDefaults())
		require.NoError(t, err)
		found, _ := d.iterate(t.Context(), 1, budgets[0], 9, always)
		for _, m := range found {
			if len(d.unmatched(m)) > 0 {
				inTwo = m
			} else {
				inOne = m
			}
		}
		return d, inOne, inTwo
	}
	d, _, inTwo := plans("navy", "cream", "cream")
	require.NotNil(t, inTwo)
	better := d.tidied(t.Context(), inTwo, 0)
	require.NotEmpty(t, better)
	require.Empty(t, better[0].Seams)
	require.Zero(t, split.LookPoints(better[0]))
	require.Empty(t, d.tidied(t.Context(), inTwo, 1))
	d, inOne, _ := plans("cream", "cream", "cream")
	require.NotNil(t, inOne)
	require.Empty(t, d.tidied(t.Context(), inOne, 0))
}

// Of two plans the one whose pairs are unlike may look better, where the other has more of
// that. It is not said that its pairs are alike.
func TestBestLookingSaysOnlyWhatHolds(t *testing.T) {
	t.Parallel()
	pieces := split.Copies([]*piece.Piece{counted(2, rectangle(t, "front", 300, 400)), counted(2, rectangle(t, "back", 300, 400))})
	var scraps []*piece.Scrap
	for _, look := range []string{"navy", "cream"} {
		s := sheet(look, 1000, 1000)
		s.Look = look
		scraps = append(scraps, &s)
	}
	from := func(scraps4 ...int) *split.Made {
		p := &split.Plan{Pieces: pieces, Scraps: scraps}
		for _, s := range scraps4 {
			p.Trees = append(p.Trees, &split.Tree{Scrap: s})
		}
		m, err := split.Make(p, 10)
		require.NoError(t, err)
		return m
	}
	why := func(plans ...*split.Made) string { return withBestLooking(plans, 3)[0].BestLooking }
	require.Equal(t, "looks meet in as few places as in any other; not all pairs are alike", why(from(0, 1, 0, 0), from(0, 1, 0, 1)))
	require.Equal(t, "pairs are alike, and looks meet in as few places as in any other", why(from(0, 0, 1, 1), from(0, 1, 0, 1)))
}
