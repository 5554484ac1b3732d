package split

import (
	"slices"

	"eke/piece"
	"eke/split/plan"
)

// Record is what a plan document is made from. Every command that writes a
// plan makes its document here, and adds only what it alone knows: where the
// pattern came from, its notes, and what became of wishes.
type Record struct {
	plan.Settings
	Drawn  []*piece.Piece // every copy before any seam moved, in the order of each plan's pieces
	Whole  []*piece.Piece // where these are only some of the pattern: every copy of it, whose joins are walked
	Ready  []*piece.Piece // copies that are cut already: no plan has them, and they are sewn to those that it has
	Scraps []*piece.Scrap // every copy of them: a part's place in it says what it is cut from
	Plans  []*Made        // the first is option 1
	Cut    []string       // names of parts that are cut already, where the plans go on from an earlier one
	Spoilt []plan.Part    // whose cloth is gone
}

// Document is the record as plan.json has it. It needs nothing more to be
// proved or drawn.
func (r *Record) Document() *plan.Document {
	d := &plan.Document{Format: plan.Format, Settings: r.Settings, Pieces: documentPieces(slices.Concat(r.Drawn, r.Ready)), Scraps: documentScraps(r.Scraps)}
	for i, m := range r.Plans {
		d.Options = append(d.Options, r.option(m, i+1))
	}
	return d
}

// joins walks every join of the pattern, before and after the moves of a plan.
func (r *Record) joins(m *Made) []plan.Join {
	if r.Whole == nil {
		return documentJoins(slices.Concat(r.Drawn, r.Ready), slices.Concat(m.Plan.Pieces, r.Ready))
	}
	now, _, _ := m.Plan.moved(r.Whole)
	return documentJoins(r.Whole, now)
}

// ScrapCopies is every copy of every scrap, in order.
func ScrapCopies(scraps []piece.Scrap) []*piece.Scrap {
	var out []*piece.Scrap
	for i := range scraps {
		out = append(out, scraps[i].Copies()...)
	}
	return out
}
