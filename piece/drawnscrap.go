package piece

import (
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// DrawnScrap is a scrap with its lines as they were drawn: curves are curves, points
// are where they were put, and a hole that reaches over the rim is still one.
type DrawnScrap struct {
	Scrap
	Rim     curve.Path // closed
	Cutouts []Cutout
	Grain   curve.Segment // straight; of no length where none is drawn
}

// Cutout is what is taken out of a scrap.
type Cutout struct {
	Line    curve.Path // closed
	Flaw    bool       // there is cloth, but none to be used
	OverRim bool       // it touches or crosses the rim
}

// Ground is a photograph that scraps were traced from, as it lies under their
// outlines.
type Ground struct {
	File string // beside the file of scraps, with slashes
	Box  orb.Bound
}

// Drawn is a scrap with the lines that its outline and holes make.
func (s *Scrap) Drawn() DrawnScrap {
	closed := func(r orb.Ring) curve.Path { return curve.Polyline(append(r[:len(r):len(r)], r[0])...) }
	out := DrawnScrap{Scrap: *s, Rim: closed(s.Outline)}
	for _, h := range s.Holes {
		out.Cutouts = append(out.Cutouts, Cutout{Line: closed(h)})
	}
	return out
}

// Moved is the scrap at another place.
func (s *DrawnScrap) Moved(by orb.Point) DrawnScrap {
	shift := curve.Shift(by[0], by[1])
	ring := func(r orb.Ring) orb.Ring {
		out := make(orb.Ring, len(r))
		for i, q := range r {
			out[i] = shift.Apply(q)
		}
		return out
	}
	out := *s
	out.Outline, out.Holes, out.Cutouts = ring(s.Outline), nil, nil
	for _, h := range s.Holes {
		out.Holes = append(out.Holes, ring(h))
	}
	out.Rim, out.Grain = s.Rim.Transform(shift), s.Grain.Transform(shift)
	for _, c := range s.Cutouts {
		c.Line = c.Line.Transform(shift)
		out.Cutouts = append(out.Cutouts, c)
	}
	return out
}

// GrainLine is the grain as it was drawn, or one drawn well inside the outline.
func (s *DrawnScrap) GrainLine() (a, b orb.Point) {
	if s.Grain.P0 != s.Grain.P1 {
		return s.Grain.P0, s.Grain.P1
	}
	return s.GrainIn()
}
