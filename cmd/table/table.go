// Package table is eke's cutting table: a page, shown by a browser on this machine
// alone, on which a maker brings a pattern and scraps, plans, and takes the plan
// away. It calls what the commands call (cmd/job) and writes what they write.
//
// The server holds no state but the files in the folder that it was started in
// and what lies on the table: which of them are the pattern and the scraps, the
// wishes and the plan. Every page asks it several times a second what has changed
// (state.go), and fetches the sections that have, so several pages show the same
// and one that is loaded anew has lost nothing.
//
// Sections are made here, by html/template, which escapes every name (section.go,
// sections.html); the page's own modules set them in, and carry what is pressed and
// dropped back (page/). guard.go is what keeps everyone else out.
package table

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"eke/cmd/job"
	"eke/svg/measure"
)

// Options are what a table is set up with.
type Options struct {
	Folder  string   // that files are brought to, and named from
	Out     string   // the folder in it that plans are written to
	Pattern string   // a file, or empty
	Scraps  []string // files
	Units   measure.Unit

	slow time.Duration // how long a request may take to arrive, if not the usual time
}

// Table is a cutting table that is served.
type Table struct {
	listener net.Listener
	server   *http.Server
	bench    *bench
	guard    *guard
}

// usualSlow is how long a request may take to arrive; what is brought comes from
// this very machine.
const usualSlow = 30 * time.Second

// New sets up a table on 127.0.0.1 at a port, or at any free one where that is 0.
func New(o Options, port int) (*Table, error) {
	if o.slow == 0 {
		o.slow = usualSlow
	}
	if !filepath.IsLocal(o.Out) {
		return nil, fmt.Errorf("-o %s: name a folder in the one you are in, such as out", o.Out)
	}
	if err := job.CanWrite(filepath.Join(o.Folder, o.Out)); err != nil {
		return nil, err
	}
	b, err := newBench(o)
	if err != nil {
		return nil, err
	}
	l, err := net.Listen("tcp4", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		return nil, fmt.Errorf("--port %d cannot be had: %w; leave it out to take any that is free", port, errors.Unwrap(err))
	}
	g := newGuard(l.Addr().(*net.TCPAddr).Port, rand.Text())
	s := &http.Server{
		Handler:           g.around(b.routes()),
		ReadHeaderTimeout: min(o.slow, 5*time.Second),
		ReadTimeout:       o.slow,
		WriteTimeout:      2 * time.Minute, // pages to print of a large plan
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    16 << 10,
	}
	return &Table{l, s, b, g}, nil
}

// URL is the address to open: it has the token that every request needs.
func (t *Table) URL() string { return t.guard.url() }

// Serve serves until the context ends, and returns when all that was started
// has ended too.
func (t *Table) Serve(ctx context.Context) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	t.bench.context = ctx
	done := make(chan error, 1)
	go func() { done <- t.server.Serve(t.listener) }()
	var err error
	select {
	case err = <-done:
	case <-ctx.Done():
		soon, stop := context.WithTimeout(context.Background(), time.Second)
		defer stop()
		if t.server.Shutdown(soon) != nil {
			_ = t.server.Close()
		}
		err = <-done
	}
	cancel()
	t.bench.work.Wait()
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// folderOf is the folder as an os.Root, out of which no name leads.
func folderOf(dir string) (*os.Root, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be opened: %w", dir, errors.Unwrap(err))
	}
	return root, nil
}
