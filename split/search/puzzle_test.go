package search

import (
	"context"
	"testing"
	"time"

	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// solved runs the search on a puzzle and says whether it needed no more seams
// than were hidden in it.
func solved(t testing.TB, seed uint64, r puzzle.Rules, limit time.Duration) bool {
	p, err := puzzle.New(seed, r)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	res, err := Run(ctx, p.Pieces, p.Scraps, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: r.GapMM, GrainToleranceDeg: 2, Workers: 2, Seed: 1,
	})
	require.NoError(t, err)
	took := time.Since(start)
	if len(res.Plans) == 0 {
		t.Logf("%s seed %d: none; hidden %d %v; %d scraps; %v", r.Garment, seed, p.Seams, p.Hidden, len(p.Scraps), took)
		return false
	}
	n := len(res.Plans[0].Seams)
	t.Logf("%s seed %d: %d of %d seams, %d scraps, fewest %v (%s), %v", r.Garment, seed, n, p.Seams, len(p.Scraps), res.Fewest, res.Reason, took)
	return n <= p.Seams
}

// Scraps grown round a hidden plan, with room to spare: nearly every one must
// be found.
func TestPuzzlesWithRoomToSpare(t *testing.T) {
	won := 0
	const puzzles = 20
	for seed := range uint64(puzzles) {
		garment := []string{"t-shirt", "vest"}[seed%2]
		if solved(t, seed, puzzle.Rules{Garment: garment, Seams: 1 + int(seed%3), SlackMM: 25, Decoys: 3, GapMM: 3, TurnDeg: 2}, 20*time.Second) {
			won++
		}
	}
	require.GreaterOrEqual(t, won, 19, "of %d", puzzles)
}
