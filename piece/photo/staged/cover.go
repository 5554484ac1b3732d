package staged

import "github.com/paulmach/orb"

// Cover is how far cloth covers each point of the picture, and how far sheets
// do, row by row.
func (s *Scene) Cover() (cloth, sheets []float32) {
	cloth, sheets = make([]float32, s.Width*s.Height), make([]float32, s.Width*s.Height)
	lay := func(on []float32, rings ...orb.Ring) {
		for k, v := range s.cover(rings) {
			on[k] = max(on[k], v)
		}
	}
	for _, c := range s.Scraps {
		lay(cloth, append([]orb.Ring{c.Outline}, c.Holes...)...)
	}
	for _, p := range s.Sheets {
		lay(sheets, p.rim())
	}
	return cloth, sheets
}

// rim is a sheet's outline on the ground.
func (s *Sheet) rim() orb.Ring {
	w, h := s.Paper.WidthMM, s.Paper.HeightMM
	return orb.Ring{s.On(orb.Point{}), s.On(orb.Point{w, 0}), s.On(orb.Point{w, h}), s.On(orb.Point{0, h})}
}
