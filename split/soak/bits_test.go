package soak

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"eke/piece"
	"eke/piece/race"
	"eke/split/search"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// bits is a pile of rectangles that are too small for most pieces in two parts.
func bits(rng *rand.Rand) []piece.Scrap {
	least := 140 + 100*rng.Float64()
	var out []piece.Scrap
	for k := range 24 + rng.IntN(50) {
		w, h := least+200*rng.Float64(), least+200*rng.Float64()
		out = append(out, piece.Scrap{
			Name: fmt.Sprintf("bit %d", k), Outline: orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}, GrainDeg: 90, Count: 1,
		})
	}
	return out
}

// Garments from bits: what the greedy covers find is proved, and they find
// something nearly always. Seeds from 900000 on are for the figures, and were
// not looked at while the covers were made.
func TestGarmentsFromBits(t *testing.T) {
	if race.On {
		t.Skip("a minute under the race detector")
	}
	t.Parallel()
	end := time.Now().Add(*soak / 2)
	first := uint64(100)
	if *soak >= time.Minute {
		first = 900000
	}
	tried, found, seams := 0, 0, 0
	for seed := first; tried < 2 || *soak >= time.Minute && time.Now().Before(end); seed++ {
		s := random(seed)
		s.Puzzle.SlackMM, s.MaxSeams, s.Kinds, s.Keep, s.AllowanceMM = 10, 200, "", 1, min(10, s.AllowanceMM)
		pieces, _, err := s.draw()
		require.NoError(t, err)
		if len(pieces) == 0 {
			continue
		}
		for _, p := range pieces {
			p.Fabrics, p.Kind = nil, ""
		}
		pile := bits(s.stream("bits"))
		o := s.options()
		o.Budgets = 1
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
		o.Progress = func(search.Progress) { cancel() }
		res, err := search.Run(ctx, pieces, pile, o)
		cancel()
		require.NoError(t, err)
		tried++
		if len(res.Plans) > 0 {
			found++
			seams += len(res.Plans[0].Seams)
		}
		if w := s.prove(s.document(res, pile), res); w != nil {
			t.Errorf("seed %d: %s: %s", seed, w.Rule, w.Detail)
		}
	}
	t.Logf("%d plans of %d piles of bits, with %d seams", found, tried, seams)
	require.Positive(t, found)
}
