// Command eke plans how to cut a sewing pattern from scraps of cloth.
//
// Each command is a file named command_…: its flags, and what it does in order:
// read, search, prove, write, show. The work itself is in cmd/job. The rest is
// what they share: flags (values, units) and tables on the terminal (terminal,
// grid). What was asked for goes to standard
// output, notes and warnings too unless that is to be JSON; progress and errors
// go to standard error. The exit codes stand below.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"

	"eke/cmd/job"
	"eke/cmd/words"
)

// What eke exits with.
const (
	exitPlan    = 0 // a plan was found, or the command did what it was asked
	exitFault   = 1 // a fault of eke's own
	exitUse     = 2 // bad use or bad input
	exitNothing = 3 // no plan fits
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

func run(args []string, stdout, stderr io.Writer) (code int) {
	ctx, stop := interruptible()
	defer stop()
	defer func() {
		if r := recover(); r != nil {
			fmt.Fprintf(stderr, "eke: a fault of eke's own, with %s: %v\n%s", words.OneLine(errors.New(strings.Join(args, " "))), r, debug.Stack())
			code = exitFault
		}
	}()
	root := newRoot()
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	var fault job.Fault
	switch {
	case err == nil:
		return exitPlan
	case errors.Is(err, job.ErrNothing):
		return exitNothing
	case errors.As(err, &fault):
		fmt.Fprintf(stderr, "eke: a fault of eke's own: %s\n", words.OneLine(err))
		return exitFault
	}
	fmt.Fprintf(stderr, "eke: %s\n", words.OneLine(err))
	return exitUse
}

// interruptible ends at the first Ctrl-C, so that the best so far is kept,
// and exits at the second.
func interruptible() (context.Context, context.CancelFunc) {
	ctx, cancel := context.WithCancel(context.Background())
	c := make(chan os.Signal, 2)
	signal.Notify(c, os.Interrupt, syscall.SIGTERM)
	go func() {
		if _, ok := <-c; !ok {
			return
		}
		cancel()
		if _, ok := <-c; ok {
			os.Exit(130)
		}
	}()
	return ctx, func() {
		signal.Stop(c)
		close(c)
		cancel()
	}
}
