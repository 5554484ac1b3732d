package puzzle

import (
	"fmt"
	"slices"
	"strings"
)

// Outcome is how a search of a puzzle ended. Tests tell it as an attribute of
// that name, in JSON, and cmd/figures makes tables of it.
type Outcome struct {
	Seed      uint64
	Garment   string
	Hidden    int     // seams; of pieced stripes the places where they do not meet
	Found     int     // as many of the best plan, -1 where there is none
	Processor float64 // seconds of processor time to that plan, or to the end where there is none
}

// Attribute is what tests call an Outcome.
const Attribute = "outcome"

// Solved reports whether the plan found has no more seams than were hidden.
func (o Outcome) Solved() bool { return o.Found >= 0 && o.Found <= o.Hidden }

// Tally counts how searches of puzzles ended. Its zero value has counted none.
type Tally struct {
	all, solved, none int
	more              map[int]int // plans by how many seams they have beyond those hidden
}

// Add counts an outcome.
func (t *Tally) Add(o Outcome) {
	t.all++
	switch {
	case o.Found < 0:
		t.none++
	case o.Solved():
		t.solved++
	default:
		if t.more == nil {
			t.more = map[int]int{}
		}
		t.more[o.Found-o.Hidden]++
	}
}

func (t *Tally) String() string {
	text := []string{fmt.Sprintf("solved %d of %d", t.solved, t.all)}
	var by []int
	for k := range t.more {
		by = append(by, k)
	}
	slices.Sort(by)
	for _, k := range by {
		text = append(text, fmt.Sprintf("%d seams more: %d", k, t.more[k]))
	}
	return strings.Join(append(text, fmt.Sprintf("nothing: %d", t.none)), ", ")
}
