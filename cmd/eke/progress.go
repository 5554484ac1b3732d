package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"eke/cmd/words"

	"eke/split/search"

	"golang.org/x/term"
)

// progress is one line on a terminal that tells how far a search is and what
// it has found, once it takes longer than a moment. Elsewhere it is silent.
// Work with no limit in time shows how long it has taken.
type progress struct {
	w     io.Writer
	start time.Time
	limit time.Duration

	stop, stopped chan struct{}

	mu   sync.Mutex
	best search.Progress
}

// startProgress begins to show how much of the limit is spent, unless it is
// to be quiet.
func startProgress(w io.Writer, limit time.Duration, quiet bool) *progress {
	f, ok := w.(*os.File)
	if quiet || !ok || !term.IsTerminal(int(f.Fd())) {
		return &progress{}
	}
	p := &progress{w: w, start: time.Now(), limit: limit, stop: make(chan struct{}), stopped: make(chan struct{})}
	go p.run()
	return p
}

func (p *progress) run() {
	defer close(p.stopped)
	const patience, every = time.Second, 200 * time.Millisecond
	for wait := patience; ; wait = every {
		select {
		case <-p.stop:
			if wait == every {
				fmt.Fprint(p.w, "\r\x1b[K")
			}
			return
		case <-time.After(wait):
			fmt.Fprint(p.w, "\r\x1b[K"+p.line(time.Since(p.start)))
		}
	}
}

// line is what the terminal shows, one column short of its usual 80.
func (p *progress) line(spent time.Duration) string {
	const cells = 16
	if p.limit == 0 {
		at := int(spent/time.Second) % cells
		return fmt.Sprintf("[%s#%s] %.0f s", strings.Repeat(" ", at), strings.Repeat(" ", cells-1-at), spent.Seconds())
	}
	full := min(cells, int(cells*spent/p.limit))
	p.mu.Lock()
	best := p.best
	p.mu.Unlock()
	found := "nothing yet"
	if best.Found {
		found = words.Plural(best.Seams, "seam") + ", Ctrl-C keeps it"
	}
	line := fmt.Sprintf("[%s%s] %.0f of %.0f s; best so far: %s",
		strings.Repeat("#", full), strings.Repeat(" ", cells-full), spent.Seconds(), p.limit.Seconds(), found)
	return shorten(line, gridColumns-1)
}

// found is told of each better plan.
func (p *progress) found(best search.Progress) {
	p.mu.Lock()
	p.best = best
	p.mu.Unlock()
}

// done wipes the line.
func (p *progress) done() {
	if p.stop != nil {
		close(p.stop)
		<-p.stopped
	}
}
