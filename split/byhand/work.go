package byhand

// Work is a plan, and those before and after it that a step back and forth lead to.
type Work struct {
	Plan       *Plan
	Said       string // about the last step
	undo, redo []stage
}

// stage is a plan that was, or was to be, and what was said of the step from it, or
// to it.
type stage struct {
	plan *Plan
	kept []byte // the plan written down, where it was made of other things
	said string
}

// of is the plan, as far as it can be had of what is given now.
func (s *stage) of(g *Given) *Plan {
	if s.plan != nil {
		return s.plan
	}
	if p, err := g.Restore(s.kept); err == nil {
		return p
	}
	return g.Start()
}

// mostSteps is how far back one can go.
const mostSteps = 500

// NewWork begins with a plan.
func NewWork(p *Plan) *Work { return &Work{Plan: p} }

// On is the same work on another pattern or pile, or with other rules, as far as it
// can be kept.
func (w *Work) On(g *Given) (*Work, error) {
	now := stage{plan: w.Plan}
	out := &Work{Said: w.Said}
	for _, list := range []struct{ from, to *[]stage }{{&w.undo, &out.undo}, {&w.redo, &out.redo}} {
		for _, s := range append(*list.from, now) {
			kept := stage{kept: s.kept, said: s.said}
			if s.plan != nil {
				var err error
				if kept.kept, err = s.plan.Save(); err != nil {
					return nil, err
				}
			}
			*list.to = append(*list.to, kept)
		}
	}
	last := out.undo[len(out.undo)-1]
	out.undo, out.redo = out.undo[:len(out.undo)-1], out.redo[:len(out.redo)-1]
	out.Plan = last.of(g)
	return out, nil
}

// Do takes a step, and tells of it.
func (w *Work) Do(now *Plan, said string) {
	w.undo = append(w.undo, stage{plan: w.Plan, said: said})
	w.undo = w.undo[max(0, len(w.undo)-mostSteps):]
	w.redo = nil
	w.Plan, w.Said = now, said
}

// Steps are how many there are to go back and forth.
func (w *Work) Steps() (undo, redo int) { return len(w.undo), len(w.redo) }

// Undo goes a step back, and reports whether there was one.
func (w *Work) Undo() bool {
	return w.step(&w.undo, &w.redo, "Undone: ")
}

// Redo goes a step forth again, and reports whether there was one.
func (w *Work) Redo() bool {
	return w.step(&w.redo, &w.undo, "Done again: ")
}

func (w *Work) step(from, to *[]stage, says string) bool {
	n := len(*from) - 1
	if n < 0 {
		return false
	}
	s := (*from)[n]
	*to = append(*to, stage{plan: w.Plan, said: s.said})
	w.Plan, w.Said, *from = s.of(w.Plan.given), says+s.said, (*from)[:n]
	return true
}
