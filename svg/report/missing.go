package report

import (
	_ "embed"

	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/measure"
)

//go:embed missing.html
var missingHTML string

// partial is a plan for some of the pieces.
type partial struct {
	option
	Holds, Of int
	LeftOver  []string
}

func newPartial(d *plan.Document, u measure.Unit) (*partial, error) {
	part := d.PartialPlan()
	if part == nil {
		return nil, nil
	}
	o, err := newOption(part, 0, u)
	if err != nil {
		return nil, err
	}
	p := &partial{option: o, Holds: len(part.Pieces), Of: len(d.Pieces)}
	for _, l := range d.Partial.LeftOver {
		p.LeftOver = append(p.LeftOver, draw.Plain(d.CopyName(l.Piece, l.Copy)))
	}
	return p, nil
}
