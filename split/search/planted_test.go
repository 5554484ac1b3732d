package search

import (
	"flag"
	"testing"
	"time"

	"eke/split/search/puzzle"
)

var (
	planted  = flag.Int("planted", 0, "how many planted puzzles to run; 0 for none")
	slackMM  = flag.Float64("slack", 10, "how far their scraps reach beyond the parts, in mm")
	limit    = flag.Duration("limit", 20*time.Second, "how long each puzzle and each search of a benchmark may take")
	workers  = flag.Int("workers", 2, "how many workers planted puzzles and benchmarks get")
	oneCopy  = flag.Int("one-copy", 0, "how many seams planted puzzles hide in one copy; 0 for up to four in several")
	fromSeed = flag.Int("from", 0, "the first seed")
)

// Planted puzzles with parts that share scraps: run by cmd/figures, for its table.
func TestPlantedPuzzles(t *testing.T) {
	if *planted == 0 {
		t.Skip("run with -planted 50 -slack 10")
	}
	var ended puzzle.Tally
	for k := range *planted {
		seed := uint64(*fromSeed + k)
		r := puzzle.Rules{
			Garment: []string{"t-shirt", "raglan", "vest"}[seed%3], Seams: 1 + int(seed%4),
			SlackMM: *slackMM, Share: 0.4, Decoys: 3, GapMM: 3, TurnDeg: 2, Sewn: *sewn, MovedMM: *movedMM,
		}
		if *oneCopy > 0 {
			r.Seams, r.OneCopy = *oneCopy, true
		}
		ended.Add(attempt(t, seed, r, *limit))
	}
	t.Logf("slack %g mm: %s", *slackMM, &ended)
}
