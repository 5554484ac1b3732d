package byhand

// Work is a plan, and those before and after it that a step back and forth lead to.
type Work struct {
	Plan        *Plan
	Said        string // about the last step
	Version     int    // goes up with each step
	undo, redo  []*Plan
	said, resay []string
}

// mostSteps is how far back one can go.
const mostSteps = 500

// NewWork begins with a plan.
func NewWork(p *Plan) *Work { return &Work{Plan: p} }

// Do takes a step, and tells of it.
func (w *Work) Do(now *Plan, said string) {
	w.undo, w.said = append(w.undo, w.Plan), append(w.said, said)
	if n := len(w.undo) - mostSteps; n > 0 {
		w.undo, w.said = w.undo[n:], w.said[n:]
	}
	w.redo, w.resay = nil, nil
	w.Plan, w.Said = now, said
	w.Version++
}

// Steps are how many there are to go back and forth.
func (w *Work) Steps() (undo, redo int) { return len(w.undo), len(w.redo) }

// Undo goes a step back, and reports whether there was one.
func (w *Work) Undo() bool {
	n := len(w.undo) - 1
	if n < 0 {
		return false
	}
	w.redo, w.resay = append(w.redo, w.Plan), append(w.resay, w.said[n])
	w.Plan, w.Said = w.undo[n], "Undone: "+w.said[n]
	w.undo, w.said = w.undo[:n], w.said[:n]
	w.Version++
	return true
}

// Redo goes a step forth again, and reports whether there was one.
func (w *Work) Redo() bool {
	n := len(w.redo) - 1
	if n < 0 {
		return false
	}
	w.undo, w.said = append(w.undo, w.Plan), append(w.said, w.resay[n])
	w.Plan, w.Said = w.redo[n], "Done again: "+w.resay[n]
	w.redo, w.resay = w.redo[:n], w.resay[:n]
	w.Version++
	return true
}
