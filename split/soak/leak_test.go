package soak

import (
	"context"
	"runtime"
	"testing"
	"time"

	"eke/split/search"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// A search leaves no goroutine behind: one that is done, one whose time runs
// out, one that is stopped at any moment and one that never had time.
func TestNoGoroutineIsLeft(t *testing.T) {
	s := setting{Seed: 7, Garment: "t-shirt", Puzzle: puzzle.Rules{Seams: 2, SlackMM: 15, Decoys: 4, GapMM: 3}, Keep: 3, MaxSeams: 4, AllowanceMM: 10, GapMM: 3, Workers: 4}
	pieces, scraps, err := s.draw()
	require.NoError(t, err)
	easy := setting{Seed: 7, Garment: "vest", Puzzle: puzzle.Rules{SlackMM: 80}, Keep: 1, AllowanceMM: 10, Workers: 4}
	wide, cloth, err := easy.draw()
	require.NoError(t, err)
	before := runtime.NumGoroutine()
	none := func(what string) {
		t.Helper()
		// The question is asked from one more.
		require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+1 }, time.Minute, time.Millisecond, what)
	}
	res, err := search.Run(context.Background(), wide, cloth, easy.options())
	require.NoError(t, err)
	require.True(t, res.Settled)
	none("done")
	for _, after := range []time.Duration{0, time.Millisecond, 10 * time.Millisecond, 100 * time.Millisecond, 400 * time.Millisecond} {
		ctx, cancel := context.WithTimeout(context.Background(), after)
		_, err := search.Run(ctx, pieces, scraps, s.options())
		cancel()
		require.NoError(t, err)
		none(after.String())

		ctx, cancel = context.WithCancel(context.Background())
		time.AfterFunc(after, cancel)
		_, err = search.Run(ctx, pieces, scraps, s.options())
		require.NoError(t, err)
		search.Short(ctx, pieces, scraps, s.options())
		none(after.String())
	}
}
