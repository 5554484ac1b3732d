package split

import (
	"math"

	"eke/split/plan"
)

// documentStripes is the stripes as plan.json has them.
func (m *Made) documentStripes() *plan.Stripes {
	s := m.Plan.Striped
	if s == nil || s.Blocks != nil {
		return nil
	}
	out := &plan.Stripes{Lead: s.Lead, Looks: s.Sequence.Looks, DepthsMM: s.Sequence.DepthsMM}
	for _, c := range s.Copies {
		out.Pieces = append(out.Pieces, m.documentBands(c))
		for i := range m.Seams {
			if m.Seams[i].Piece == c.Copy && m.Seams[i].Way.Traits().Runs == Along {
				out.Uprights++
			}
		}
	}
	out.Meets = s.documentMeets()
	return out
}

func (m *Made) documentBands(c StripedCopy) plan.StripedPiece {
	p := m.Plan.Pieces[c.Copy]
	out := plan.StripedPiece{Piece: p.Name, Copy: p.Copy, Tops: c.Tops}
	for _, b := range c.Bands {
		out.Bands = append(out.Bands, plan.StripeBand{Stripe: b.Number, FromMM: b.FromMM, ToMM: b.ToMM, Look: b.Look, Wanted: b.Wanted})
	}
	return out
}

func (s *Striping) documentMeets() (out []plan.StripeMeet) {
	for _, j := range s.Meets() {
		out = append(out, plan.StripeMeet{
			Join: j.Join[0].String() + " " + j.Join[1].String(), Lines: j.Lines, Meet: j.Meet, OffMM: math.Round(j.OffMM*100) / 100,
		})
	}
	return out
}
