package split

import (
	"math"

	"eke/split/plan"
)

// documentStripes is the stripes as plan.json has them.
func (m *Made) documentStripes() *plan.Stripes {
	s := m.Plan.Striped
	if s == nil {
		return nil
	}
	out := &plan.Stripes{Lead: s.Lead, Looks: s.Sequence.Looks, DepthsMM: s.Sequence.DepthsMM}
	for _, c := range s.Copies {
		p := m.Plan.Pieces[c.Copy]
		d := plan.StripedPiece{Piece: p.Name, Copy: p.Copy}
		for _, b := range c.Bands {
			d.Bands = append(d.Bands, plan.StripeBand{Stripe: b.Number, FromMM: b.FromMM, ToMM: b.ToMM, Look: b.Look, Wanted: b.Wanted})
		}
		out.Pieces = append(out.Pieces, d)
		for i := range m.Seams {
			if m.Seams[i].Piece == c.Copy && m.Seams[i].Way.Traits().Runs == Along {
				out.Uprights++
			}
		}
	}
	for _, j := range s.Meets() {
		out.Meets = append(out.Meets, plan.StripeMeet{
			Join: j.Join[0].String() + " " + j.Join[1].String(), Lines: j.Lines, Meet: j.Meet, OffMM: math.Round(j.OffMM*100) / 100,
		})
	}
	return out
}
