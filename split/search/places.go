package search

import (
	"context"

	"eke/piece"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// Places are the search's own table of bins, for those who lay single parts by
// hand: it says by the same rules and bounds, and the same search for poses, where
// a part lies on a scrap. It may be asked by several goroutines at once.
type Places struct{ table *table }

// NewPlaces prepares scraps. They are asked by their place among all copies.
func NewPlaces(scraps []piece.Scrap, o Options) *Places {
	return &Places{newTable(scraps, o.withDefaults())}
}

// Blank is a part with all that placing it needs.
type Blank struct {
	b     *blank
	Shape *fit.Shape
}

// NewBlank prepares a part of a piece: its seam line and its cutting line.
func NewBlank(p *piece.Piece, o piece.Outline, cut orb.Ring) *Blank {
	b := blankOf(p, o, cut, "")
	return &Blank{b, b.shape}
}

// MayCut reports whether the rules let a part be cut from a scrap.
func (t *Places) MayCut(b *Blank, scrap int) bool {
	return t.table.allowed(b.b.piece, t.table.bins[scrap].scrap)
}

// Cloth is a scrap as parts are placed on it.
func (t *Places) Cloth(scrap int) *fit.Cloth { return t.table.bins[scrap].cloth }

// GrainDeg is the grain of a scrap.
func (t *Places) GrainDeg(scrap int) float64 { return t.table.bins[scrap].scrap.GrainDeg }

// Turns are those that a part may take on a scrap.
func (t *Places) Turns(b *Blank, scrap int) []fit.Turn {
	return rotations(b.b.piece, t.table.bins[scrap].scrap, t.table.options.GrainToleranceDeg)
}

// RuledOut is a certain bound: a rule, area or extent alone keep a part off a scrap.
func (t *Places) RuledOut(b *Blank, scrap int) bool {
	return t.table.ruledOut(b.b, &t.table.bins[scrap])
}

// Place finds a place for a part alone on a scrap. That there is none is certain
// unless ctx has ended.
func (t *Places) Place(ctx context.Context, b *Blank, scrap int) (fit.Placement, bool) {
	return t.table.place(ctx, b.b, &t.table.bins[scrap])
}

// Overhang is the placement that hangs off a scrap the least, of a part that fits
// nowhere on it: a search that starts at a placement, and gives nothing worse.
func (t *Places) Overhang(ctx context.Context, b *Blank, scrap int, from fit.Placement) (at fit.Placement, alongMM, acrossMM float64) {
	s := &t.table.bins[scrap]
	return fit.LeastOverhang(ctx, s.cloth, b.b.shape, t.Turns(b, scrap), s.scrap.GrainDeg, from)
}

// LongestMM is the longer of a part's extents along the grain and across it.
func (b *Blank) LongestMM() float64 { return max(b.b.length, b.b.width) }
