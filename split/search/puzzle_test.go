package search

import (
	"context"
	"encoding/json"
	"flag"
	"syscall"
	"testing"
	"time"

	"eke/piece/race"
	"eke/split/search/puzzle"

	"github.com/stretchr/testify/require"
)

// cpuLimit ends a puzzle by the time the processors spent on it, so that
// figures from a busy machine can be compared.
var cpuLimit = flag.Duration("cputime", 0, "how much processor time each planted puzzle may take; 0 for no limit")

func cpuTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// limitCPU ends a context once so much processor time is spent; 0 for no limit.
func limitCPU(ctx context.Context, cancel func(), limit time.Duration) {
	if limit == 0 {
		return
	}
	go func() {
		from := cpuTime()
		for ctx.Err() == nil {
			time.Sleep(50 * time.Millisecond)
			if cpuTime()-from > limit {
				cancel()
			}
		}
	}()
}

// solved runs the search on a puzzle and says whether it needed no more seams
// than were hidden in it.
func solved(t testing.TB, seed uint64, r puzzle.Rules, limit time.Duration) bool {
	return attempt(t, seed, r, limit).Solved()
}

// attempt runs the search on a puzzle, and says how it ended.
func attempt(t testing.TB, seed uint64, r puzzle.Rules, limit time.Duration) puzzle.Outcome {
	p, err := puzzle.New(seed, r)
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	start := time.Now()
	begun := cpuTime()
	var told time.Duration
	limitCPU(ctx, cancel, *cpuLimit)
	res, err := Run(ctx, p.Pieces, p.Scraps, Options{
		MaxSeams: -1, AllowanceMM: 10, GapMM: r.GapMM, GrainToleranceDeg: 2, Workers: *workers, Seed: 1,
		Progress: func(b Progress) {
			told = cpuTime() - begun
			if b.Seams <= p.Seams {
				cancel() // that is all that is asked
			}
		},
	})
	require.NoError(t, err)
	took := time.Since(start)
	o := puzzle.Outcome{Seed: seed, Garment: r.Garment, Hidden: p.Seams, Found: -1, Processor: (cpuTime() - begun).Seconds()}
	if len(res.Plans) == 0 {
		t.Logf("%s seed %d: none; hidden %d %v; %d scraps; %.2fs of processor time, %v", r.Garment, seed, p.Seams, p.Hidden, len(p.Scraps), o.Processor, took)
		tell(t, o)
		return o
	}
	n := len(res.Plans[0].Seams)
	o.Found, o.Processor = n, told.Seconds()
	tell(t, o)
	require.False(t, res.Fewest && n > p.Seams, "%s seed %d: %d seams are said to be the fewest (%s), and %d were hidden", r.Garment, seed, n, res.Reason, p.Seams)
	t.Logf("%s seed %d: %d of %d seams, %d scraps, fewest %v (%s), found after %v of processor time, %v", r.Garment, seed, n, p.Seams, len(p.Scraps), res.Fewest, res.Reason, told.Round(10*time.Millisecond), took.Round(10*time.Millisecond))
	return o
}

// tell hands an outcome to who reads the test's output.
func tell(t testing.TB, o puzzle.Outcome) {
	text, err := json.Marshal(o)
	require.NoError(t, err)
	t.Attr(puzzle.Attribute, string(text))
}

// Scraps grown round a hidden plan, with room to spare: nearly every one must
// be found. Each takes a second or two; the limit is for a busy machine. The
// race detector gets a few.
func TestPuzzlesWithRoomToSpare(t *testing.T) {
	t.Parallel()
	const limit = 2 * time.Minute
	puzzles, need := 20, 19
	if race.On {
		puzzles, need = 2, 2
	}
	won := 0
	for seed := range uint64(puzzles) {
		garment := []string{"t-shirt", "vest"}[seed%2]
		if solved(t, seed, puzzle.Rules{Garment: garment, Seams: 1 + int(seed%3), SlackMM: 25, Decoys: 3, GapMM: 3, TurnDeg: 2}, limit) {
			won++
		}
	}
	require.GreaterOrEqual(t, won, need, "of %d", puzzles)
}

// With little to spare: each takes a second or two of processor time. The first needs a
// wide budget or one with ranges of first cuts: after a first cut as far down as its
// scrap allows there is no level left for the next one. The others want lower-bound
// parts packed from several starts, or more attempts at the levels of a component; the
// fourth, whose line is known to within a few millimetres, each scrap in turn. The fifth
// has two pieces cut in two on the same two scraps, of which areas tell only what both
// lines share out together. In the last a part lies between two cuts of a sleeve's cap,
// where the corners of the first one's allowance change with its level.
func TestTightPuzzles(t *testing.T) {
	t.Parallel()
	if race.On {
		t.Skip("one worker's search takes long here, and nothing of its own runs side by side")
	}
	for _, c := range []struct {
		seed    uint64
		garment string
		slackMM float64
	}{
		{677, "vest", 2}, {632, "vest", 2}, {641, "vest", 2}, {1154, "vest", 2},
		{1714, "raglan", 10}, {1023, "t-shirt", 2},
	} {
		r := puzzle.Rules{Garment: c.garment, Seams: 1 + int(c.seed%4), SlackMM: c.slackMM, Share: 0.4, Decoys: 3, GapMM: 3, TurnDeg: 2}
		require.True(t, solved(t, c.seed, r, 2*time.Minute), "seed %d", c.seed)
	}
}
