package job

import (
	"testing"
	"time"

	"eke/split"
	"eke/split/search"

	"github.com/stretchr/testify/require"
)

// More time is suggested only where it is more than was given, and never in
// words that do not fit what was found.
func TestWhatAStoppedSearchSuggests(t *testing.T) {
	found := func(seams int, fewest bool) *search.Result {
		return &search.Result{Plans: []*split.Made{{Seams: make([]split.PiecingSeam, seams)}}, Fewest: fewest}
	}
	for name, c := range map[string]struct {
		asked  Plan
		res    *search.Result
		byHand bool
		says   string
	}{
		"nothing yet":        {Plan{MaxSeams: -1, Time: 20 * time.Second}, &search.Result{}, false, "more time, such as --time 60s, or more or larger scraps may help"},
		"nothing in 60 s":    {Plan{MaxSeams: -1, Time: time.Minute}, &search.Result{}, false, "more time, such as --time 3m, or more or larger scraps may help"},
		"nothing, with ties": {Plan{MaxSeams: 1, Time: time.Minute, Kinds: []string{"yoke"}}, &search.Result{}, false, "more kinds of seam than --seams allows or more seams than --max-seams 1 or more or larger scraps may help"},
		"nothing in an hour": {Plan{MaxSeams: -1, Time: time.Hour}, &search.Result{}, false, "it was done; more or larger scraps may help"},
		"nothing by Ctrl-C":  {Plan{MaxSeams: -1, Time: time.Hour}, &search.Result{}, true, "it was done; letting it run on or more or larger scraps may help"},
		"some":               {Plan{MaxSeams: -1, Time: time.Second}, found(2, false), false, "more time, such as --time 20s, may find better plans"},
		"some in 60 s":       {Plan{MaxSeams: -1, Time: time.Minute}, found(2, false), false, "more time, such as --time 3m, may find better plans"},
		"some in an hour":    {Plan{MaxSeams: -1, Time: time.Hour}, found(2, false), false, "to put all of the time into plans with fewer seams, give --max-seams 1"},
		"some by Ctrl-C":     {Plan{MaxSeams: -1, Time: time.Minute}, found(2, false), true, "it was done; letting it run on may find better plans"},
		"fewest":             {Plan{MaxSeams: -1, Time: time.Minute}, found(2, true), false, "more time, such as --time 3m, may find other plans with as few seams"},
		"fewest in an hour":  {Plan{MaxSeams: -1, Time: time.Hour}, found(2, true), false, "no plan has fewer seams"},
	} {
		t.Run(name, func(t *testing.T) {
			note := c.asked.stoppedNote(c.res, c.byHand)
			require.Contains(t, note, "the search was stopped before it was done; ")
			require.Contains(t, note, c.says)
		})
	}
	for given := 100 * time.Millisecond; given < 24*time.Hour; given = given * 3 / 2 {
		words, ok := longer(given)
		if !ok {
			require.Greater(t, given, 15*time.Minute)
			continue
		}
		more, err := time.ParseDuration(words)
		require.NoError(t, err)
		require.GreaterOrEqual(t, more, 2*given)
	}
}

func TestNothingIsSaidBesideKindsThatServeEverywhere(t *testing.T) {
	require.Empty(t, besideNote([]string{"yoke", "curved yoke"}))
	require.Empty(t, besideNote([]string{"panel"}))
	require.Empty(t, besideNote(nil))
}
