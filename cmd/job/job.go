// Package job does what eke's commands do, and what its cutting table is asked
// for: it reads patterns and scraps, finds plans and proves them, draws the files
// that they are written as, gathers what is printed and traces photographs. What
// was asked for comes as plain values, from flags or from a page.
package job

import "errors"

// Fault is a fault of eke's own, not of what it was given.
type Fault struct{ Err error }

func (f Fault) Error() string { return f.Err.Error() }

// ErrNothing says that no plan fits; what is missing has been told.
var ErrNothing = errors.New("no plan fits")
