package main

import (
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"eke/split/search"

	"github.com/stretchr/testify/require"
)

// shownFor is what a terminal shows of work that takes so long.
func shownFor(limit, took time.Duration, found ...search.Progress) string {
	var b strings.Builder
	p := &progress{w: &b, start: time.Now(), limit: limit, stop: make(chan struct{}), stopped: make(chan struct{})}
	go p.run()
	for _, f := range found {
		p.found(f)
	}
	time.Sleep(took)
	p.done()
	return b.String()
}

// Work of a moment shows nothing at all; longer work shows how much of its time
// is spent and what is found, and the line is wiped in the end.
func TestProgressShowsWhatTakesLonger(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		const wipe = "\r\x1b[K"
		require.Empty(t, shownFor(2*time.Second, 999*time.Millisecond))
		require.Equal(t, wipe+"[########        ] 1 of 2 s; best so far: nothing yet"+wipe, shownFor(2*time.Second, 1100*time.Millisecond))
		require.Equal(t, wipe+"[########        ] 1 of 2 s; best so far: 3 seams, Ctrl-C keeps it"+wipe,
			shownFor(2*time.Second, 1100*time.Millisecond, search.Progress{Found: true, Seams: 3}))
		require.Equal(t, wipe+"[ #              ] 1 s"+wipe, shownFor(0, 1100*time.Millisecond))
	})
}
