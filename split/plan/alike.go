package plan

import (
	"math"
	"slices"
	"strings"
)

// CopiesAlike reports whether the copies of a piece are split alike: into as many
// parts by seams of the same kinds, and where these run across the grain on the
// same level within 3 mm. Else it tells two copies that are not. Mirror images
// share their levels along the grain.
func CopiesAlike(o *Option, piece string) (a, b int, same bool) {
	split := map[int][]string{}
	levels := map[int][]float64{}
	var copies []int
	for _, p := range o.Parts {
		if strings.EqualFold(p.Piece, piece) && !slices.Contains(copies, p.Copy) {
			copies = append(copies, p.Copy)
			split[p.Copy] = nil
		}
	}
	for _, s := range o.PiecingSeams {
		if !strings.EqualFold(s.Piece, piece) {
			continue
		}
		split[s.Copy] = append(split[s.Copy], s.Kind)
		if at, across := s.levelAcross(o); across {
			levels[s.Copy] = append(levels[s.Copy], at)
		}
	}
	for _, c := range copies {
		slices.Sort(split[c])
		slices.Sort(levels[c])
		if d := copies[0]; !slices.Equal(split[c], split[d]) || !near(levels[c], levels[d]) {
			return d, c, false
		}
	}
	return 0, 0, true
}

// straightMM is how far a seam may be off a line square to the grain.
const straightMM = 1.0

// levelAcross is how far down its piece, along the grain, a seam runs that is
// square to the grain.
func (s *PiecingSeam) levelAcross(o *Option) (mm float64, across bool) {
	if len(s.Line) < 2 {
		return 0, false
	}
	for k := range o.Parts {
		if p := &o.Parts[k]; p.Piece == s.Piece && p.Copy == s.Copy {
			from, to := p.down(s.Line[0]), p.down(s.Line[len(s.Line)-1])
			return (from + to) / 2, math.Abs(from-to) < straightMM
		}
	}
	return 0, false
}

// down is how far down the page, along its grain, a point of a part is; to the right,
// where the grain lies level, whichever way it was drawn.
func (p *Part) down(q Point) float64 {
	const level = 1e-9 // what rounding leaves of the sine of half a turn
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	if sin < -level || math.Abs(sin) <= level && cos < 0 {
		sin, cos = -sin, -cos
	}
	return q[0]*cos + q[1]*sin
}

// Beside are the parts of a copy above and below a seam that crosses it straight and
// square to the grain, but for where a dart is taken into it; not ok for another seam.
func (o *Option) Beside(s *PiecingSeam) (above, below []*Part, ok bool) {
	level, ok := s.levelAcross(o)
	bends := s.Kind == "yoke" && o.takesIn(s)
	ok = ok || bends
	for k := range o.Parts {
		p := &o.Parts[k]
		if p.Piece != s.Piece || p.Copy != s.Copy {
			continue
		}
		var sum float64
		for _, q := range p.SeamLine {
			sum += p.down(q)
		}
		if sum/float64(len(p.SeamLine)) < level {
			above = append(above, p)
		} else {
			below = append(below, p)
		}
		ok = ok && (bends || s.straightAt(p, level))
	}
	return above, below, ok
}

// LevelOf is how far down the grain a seam across it lies, alike for mirror images of a
// piece; not ok for another seam.
func (o *Option) LevelOf(s *PiecingSeam) (level float64, ok bool) { return s.levelAcross(o) }

// takesIn reports whether a dart is taken into a seam, which then bends at its point.
func (o *Option) takesIn(s *PiecingSeam) bool {
	return slices.ContainsFunc(o.Moved, func(t MovedPiece) bool {
		return t.Piece == s.Piece && t.Copy == s.Copy && slices.ContainsFunc(t.Darts, func(d TakenDart) bool { return d.Seam == s.Name })
	})
}

// straightAt reports whether a seam of a part's piece runs at one level all along.
func (s *PiecingSeam) straightAt(p *Part, level float64) bool {
	return !slices.ContainsFunc(s.Line, func(q Point) bool { return math.Abs(p.down(q)-level) > straightMM })
}

func near(a, b []float64) bool {
	const mm = 3.0
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) <= mm })
}
