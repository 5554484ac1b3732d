package puzzle

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
