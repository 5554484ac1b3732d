package search

import (
	"context"
	"strconv"
	"testing"

	"eke/piece"
	"eke/piece/race"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// Same input and seed, same plans, on any number of workers: of a sample with
// much choice, and where parts share tight scraps.
func TestSamePlansOnAnyNumberOfWorkers(t *testing.T) {
	t.Parallel()
	pieces, pile := sampleShirt(t)
	samePlans(t, pieces, pile, -1)
	garments := map[uint64]string{8: "vest", 28: "raglan", 36: "t-shirt"}
	if race.On {
		garments = map[uint64]string{8: "vest"}
	}
	for seed, garment := range garments {
		p, err := puzzle.New(seed, puzzle.Rules{Garment: garment, Seams: 1, SlackMM: 5, Share: 0.4, Decoys: 3, GapMM: 3, TurnDeg: 2})
		require.NoError(t, err)
		samePlans(t, p.Pieces, p.Scraps, 2)
	}
}

func samePlans(t *testing.T, pieces []*piece.Piece, pile []piece.Scrap, mostSeams int) {
	t.Helper()
	var first []string
	counts := []int{1, 8} // two, too, in split/soak
	if race.On {
		counts = []int{8} // the same as one without it
	}
	for _, workers := range counts {
		res, err := Run(context.Background(), pieces, pile, Options{
			MaxSeams: mostSeams, AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Workers: workers, Seed: 1,
		})
		require.NoError(t, err)
		require.NotEmpty(t, res.Plans)
		var got []string
		for _, m := range res.Plans {
			s := exactSignature(m)
			for _, p := range m.Parts {
				at := p.Leaf.Placement
				s += strconv.FormatFloat(at.DX, 'g', -1, 64) + strconv.FormatFloat(at.DY, 'g', -1, 64) + strconv.FormatFloat(at.Deg, 'g', -1, 64)
			}
			got = append(got, s)
		}
		if first == nil {
			first = got
		}
		require.Equal(t, first, got, "%d workers", workers)
	}
}
