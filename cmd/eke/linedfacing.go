package main

import (
	"errors"
	"fmt"
	"slices"

	"eke/cmd/job"

	"eke/allowance/lining"
	"eke/piece"
	"eke/split/plan"
)

// liningMaker makes linings of one garment that start at some of its facings and pass
// others.
type liningMaker struct {
	pieces        []*piece.Piece
	garment, name string // the files of the two patterns
	larger        lining.Options
}

// firstLining is a lining that starts at all facings. Where that cannot be drawn it is
// one that passes those that are optional, and undrawn says why.
func (m *liningMaker) firstLining() (l *madeLining, undrawn, err error) {
	if l, err = m.passing(nil); err == nil || isFault(err) {
		return l, nil, err
	}
	var optional []lining.Passed
	for _, p := range m.pieces {
		if p.Optional {
			optional = append(optional, undrawable(p.Name, nil))
		}
	}
	if len(optional) == 0 {
		return nil, nil, err
	}
	undrawn = err
	switch l, err = m.passing(optional); {
	case isFault(err):
		return nil, nil, err
	case err != nil || !slices.ContainsFunc(optional, func(p lining.Passed) bool { return slices.Contains(l.Facings, p.Facing) }):
		return nil, nil, undrawn
	}
	l.Notes = append(l.Notes, undrawnNote(undrawn))
	return l, undrawn, nil
}

// liningFor is the lining for the first option of a garment, with what it says of the
// others, given what firstLining made.
func (m *liningMaker) liningFor(d *plan.Document, first *madeLining, undrawn error) (*madeLining, error) {
	var lacking, passed []lining.Passed // where not all is cut; and all that may be passed
	for _, f := range first.Facings {
		cut, not := facingCopies(d, &d.Options[0], f)
		switch {
		case len(not) > 0:
			p := lining.Passed{Facing: f, Why: plan.And(not) + areNot(not) + "cut", Cut: cut}
			lacking, passed = append(lacking, p), append(passed, p)
		case slices.ContainsFunc(m.pieces, func(p *piece.Piece) bool { return p.Name == f && p.Optional }):
			passed = append(passed, undrawable(f, cut))
		}
	}
	l, used := first, []lining.Passed(nil)
	if len(lacking) > 0 || undrawn != nil {
		edged, err := m.passing(lacking)
		switch {
		case isFault(err):
			return nil, err
		case err == nil:
			l, used = edged, lacking
		case undrawn == nil:
			var names []string
			for _, p := range lacking {
				_, not := facingCopies(d, &d.Options[0], p.Facing)
				names = append(names, not...)
			}
			l.Notes = append(l.Notes, fmt.Sprintf("option %d of the garment has no cloth for %s, and the lining starts at the inner edge there all the same, for it cannot be drawn to the garment's edge: %v", d.Options[0].Rank, plan.And(names), err))
		default:
			if l, err = m.passing(passed); err != nil {
				return nil, err
			}
			l.Notes, used = append(l.Notes, undrawnNote(undrawn)), passed
		}
	}
	l.Notes = append(l.Notes, otherFacings(d, l.Facings, used)...)
	return l, nil
}

func (m *liningMaker) passing(passed []lining.Passed) (*madeLining, error) {
	larger := m.larger
	larger.Passed = passed
	return makeLining(m.pieces, m.garment, m.name, larger)
}

func isFault(err error) bool { return errors.As(err, new(job.Fault)) }

func undrawable(facing string, cut []string) lining.Passed {
	return lining.Passed{Facing: facing, Why: "the lining cannot be drawn to the inner edge of " + facing, Cut: cut}
}

func undrawnNote(why error) string {
	return fmt.Sprintf("the lining could not be drawn to the inner edges of all facings: %v", why)
}

func areNot(names []string) string {
	if len(names) > 1 {
		return " are not "
	}
	return " is not "
}

// facingCopies names the copies of a facing that an option of a garment cuts, or that
// are ready, and those that it does not cut.
func facingCopies(d *plan.Document, o *plan.Option, facing string) (cut, not []string) {
	for i := range d.Pieces {
		switch p := &d.Pieces[i]; {
		case p.Name != facing:
		case p.Ready || o.Cuts(p):
			cut = append(cut, d.CopyName(p.Name, p.Copy))
		default:
			not = append(not, d.CopyName(p.Name, p.Copy))
		}
	}
	return cut, not
}

// otherFacings says for which options of a garment a lining does not hold that passes
// some of its facings, for they cut other copies than the first option, for which it
// was made.
func otherFacings(d *plan.Document, facings []string, passed []lining.Passed) []string {
	var notes []string
	for k := 1; k < len(d.Options); k++ {
		o := &d.Options[k]
		for _, f := range facings {
			first, _ := facingCopies(d, &d.Options[0], f)
			cut, not := facingCopies(d, o, f)
			off := fmt.Sprintf("cut the width of the facing off it where it is sewn to %s, less two allowances", plan.And(cut))
			switch toEdge := slices.ContainsFunc(passed, func(p lining.Passed) bool { return p.Facing == f }); {
			case slices.Equal(cut, first):
			case toEdge && len(cut) == 0:
				notes = append(notes, fmt.Sprintf("option %d of the garment does not cut %s: for that option cut nothing off this lining for it", o.Rank, f))
			case toEdge && len(not) == 0:
				notes = append(notes, fmt.Sprintf("option %d of the garment cuts %s, and this lining goes to the garment's own edge there: for that option %s", o.Rank, plan.And(cut), off))
			case toEdge:
				notes = append(notes, fmt.Sprintf("option %d of the garment cuts %s and not %s, and this lining goes to the garment's own edge there: for that option %s, and nowhere else", o.Rank, plan.And(cut), plan.And(not), off))
			case len(not) == 0:
			default:
				note := fmt.Sprintf("option %d of the garment does not cut %s, and this lining starts at its inner edge: for that option take %s, and the joins to it, out of the pattern, and make the lining with eke lining", o.Rank, plan.And(not), f)
				if len(cut) > 0 {
					note += "; then " + off
				}
				notes = append(notes, note)
			}
		}
	}
	return notes
}
