package report

import (
	_ "embed"

	"eke/split/plan"
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

func newPartial(d, part *plan.Document, pictures *optionPictures, u measure.Unit) *partial {
	p := &partial{option: newOption(part, 0, pictures, u), Holds: len(part.Pieces), Of: len(part.Pieces) + len(d.Partial.LeftOver)}
	for _, l := range d.Partial.LeftOver {
		p.LeftOver = append(p.LeftOver, plan.Plain(d.CopyName(l.Piece, l.Copy)))
	}
	return p
}
