package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"
	"eke/split"
	"eke/split/check"
	"eke/split/search/puzzle"
	"eke/split/wish"

	"github.com/stretchr/testify/require"
)

// An upper and a lower block of one piece lie on cloths of different looks, which
// other parts may share. Whatever plans are found hold, and keep the wish.
func TestBlocksShareScraps(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	found := 0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 41))
		garment := []string{"t-shirt", "vest", "raglan"}[seed%3]
		pieces, err := puzzle.Garment(garment, 0.8, rng)
		require.NoError(t, err)
		puzzle.Sew(garment, pieces)
		var pile []piece.Scrap
		for k := range 6 {
			s := sheet(fmt.Sprint("b", k), 250+25*float64(rng.IntN(18)), 250+25*float64(rng.IntN(16)))
			s.Look, s.Count = []string{"cream", "navy"}[k%2], 1
			pile = append(pile, s)
		}
		wishes := []wish.Wish{wish.Block{Piece: "front", Upper: "cream", Lower: "navy"}}
		o := Options{MaxSeams: 4, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 2, Seed: 1, Keep: 3, Wishes: wishes}
		ctx, cancel := context.WithTimeout(t.Context(), 3*time.Second)
		res, err := Run(ctx, pieces, pile, o)
		cancel()
		require.NoError(t, err)
		for _, m := range res.Plans {
			found++
			r := split.Record{Settings: o.Settings(), Drawn: res.Drawn, Scraps: split.ScrapCopies(pile), Plans: []*split.Made{m}}
			d := r.Document()
			d.Options[0].Wishes = wish.Told(wishes, d, &d.Options[0])
			require.True(t, d.Options[0].Wishes[0].Kept, "seed %d: %s", seed, d.Options[0].Wishes[0].How)
			require.Empty(t, check.Document(d), "seed %d", seed)
		}
	}
	require.NotZero(t, found)
}

// A left and a right front are worn side by side: the line between their two looks lies at
// one height where the scraps let it, also where a plan with others was found first. The
// short ones let it lie from 255 to 265 mm down.
func TestTheLineBetweenTwoLooksLiesAtOneHeight(t *testing.T) {
	t.Parallel()
	const around = 30 // for allowances and gaps
	var pile []piece.Scrap
	for _, of := range []struct {
		look string
		long float64
	}{{"cream", 265}, {"cream", 500}, {"navy", 345}, {"navy", 420}} {
		s := sheet(fmt.Sprint(of.look, " ", of.long), 330, of.long+around)
		s.Look, s.Count = of.look, 1
		pile = append(pile, s)
	}
	o := Options{MaxSeams: 4, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: 1, Seed: 1, Keep: 3, Wishes: []wish.Wish{wish.Block{Piece: "front", Upper: "cream", Lower: "navy"}}}
	d, err := newDriver(split.Copies([]*piece.Piece{counted(2, rectangle(t, "front", 300, 600))}), pile, o.withDefaults())
	require.NoError(t, err)
	at := func(level float64, upper, lower int) *split.Tree {
		return &split.Tree{Way: split.Yoke{}, LevelMM: level, Near: &split.Tree{Scrap: upper}, Far: &split.Tree{Scrap: lower}}
	}
	apart, err := split.Make(d.base.plan([]*split.Tree{at(260, 0, 3), at(400, 1, 2)}), o.AllowanceMM)
	require.NoError(t, err)
	require.InDelta(t, 140, apart.LinesApartMM("front"), 1e-9)
	d.keep([]*split.Made{apart})
	d.lineUp(t.Context(), 2)
	require.Less(t, d.found[0].LinesApartMM("front"), 5.0)
	for _, m := range d.found {
		require.Equal(t, m == apart, slices.ContainsFunc(split.Cost(m), func(term split.Term) bool {
			return term.Name == "lines at two heights" && term.Points == 28
		}))
	}
}
