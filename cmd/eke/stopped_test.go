package main

import (
	"path/filepath"
	"strings"
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
		flags  planFlags
		res    *search.Result
		byHand bool
		says   string
	}{
		"nothing yet":        {planFlags{time: 20 * time.Second}, &search.Result{}, false, "more time, such as --time 60s, or more or larger scraps may help"},
		"nothing in 60 s":    {planFlags{time: time.Minute}, &search.Result{}, false, "more time, such as --time 3m, or more or larger scraps may help"},
		"nothing, with ties": {planFlags{time: time.Minute, maxSeams: seamsValue{new(1)}, seams: []string{"yoke"}}, &search.Result{}, false, "more kinds of seam than --seams allows or more seams than --max-seams 1 or more or larger scraps may help"},
		"nothing in an hour": {planFlags{time: time.Hour}, &search.Result{}, false, "it was done; more or larger scraps may help"},
		"nothing by Ctrl-C":  {planFlags{time: time.Hour}, &search.Result{}, true, "it was done; letting it run on or more or larger scraps may help"},
		"some":               {planFlags{time: time.Second}, found(2, false), false, "more time, such as --time 20s, may find better plans"},
		"some in 60 s":       {planFlags{time: time.Minute}, found(2, false), false, "more time, such as --time 3m, may find better plans"},
		"some in an hour":    {planFlags{time: time.Hour}, found(2, false), false, "to put all of the time into plans with fewer seams, give --max-seams 1"},
		"some by Ctrl-C":     {planFlags{time: time.Minute}, found(2, false), true, "it was done; letting it run on may find better plans"},
		"fewest":             {planFlags{time: time.Minute}, found(2, true), false, "more time, such as --time 3m, may find other plans with as few seams"},
		"fewest in an hour":  {planFlags{time: time.Hour}, found(2, true), false, "no plan has fewer seams"},
	} {
		t.Run(name, func(t *testing.T) {
			note := c.flags.stoppedNote(c.res, c.byHand)
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

// A curved yoke may be the only kind of seam; a note says where it is tried.
func TestCurvedYokesAlone(t *testing.T) {
	dir := t.TempDir()
	for _, kind := range []string{"curved yoke", "Curved Yoke"} {
		r := found(t, dir, "plan", sample(t, "tshirt.svg"), sample(t, "scraps.csv"), "--seams", kind, "--max-seams", "1", "-o", "out")
		require.Contains(t, oneRow(r.stdout), `give --seams "`+kind+`,yoke"`)
		options := verified(t, filepath.Join(dir, "out")).Options
		require.NotEmpty(t, options)
		for _, s := range options[0].Piecing {
			require.Equal(t, "curved yoke", s.Kind)
		}
	}
	write(t, dir, "flag.svg", flag)
	r := eke(t, dir, "plan", "flag.svg", "--scrap", "linen 1: 22.5 x 17 cm", "--scrap", "linen 2: 22.5 x 17 cm", "--seams", "curved yoke", "--max-seams", "1")
	require.Equal(t, exitNothing, r.code)
	require.Contains(t, oneRow(r.stdout), "near an underarm")
	require.Empty(t, besideNote([]string{"yoke", "curved yoke"}))
	require.Empty(t, besideNote([]string{"panel"}))
	require.Empty(t, besideNote(nil))
}

// oneRow is text with its line breaks taken out.
func oneRow(s string) string { return strings.Join(strings.Fields(s), " ") }
