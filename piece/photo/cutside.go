package photo

import (
	"fmt"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/mat"
)

// paperSide is where on which side of a plain sheet an edge is.
type paperSide struct {
	number int       // from 1; 0 is no side of a plain sheet
	in     orb.Point // unit vector into the sheet
	along  float64   // from -1 at its one end to 1 at its other
}

// A plain sheet has four edges only, and all of one is off together: paper is cut by so much too large or too small, and
// askew, its rim curls, and what lies beside it tints where it ends. What they are off by grows with the distance from the
// sheet.
const (
	cutMM  = 0.15 // that a side is off by at its middle, as a standard deviation: of printer paper, from memory; ISO 216 allows ten times that
	skewMM = 0.10 // at its ends, the one way and the other, besides: chosen, not measured
)

// cut works out how the parameters err with the sides of plain sheets: how they follow, by the
// Jacobian of what is minimised, as each side is moved, and turned about its middle.
func (f *fitted) cut(jacobian *mat.Dense, all []sighting, noisePx float64) error {
	m, n := jacobian.Dims()
	type pageSide struct{ sheet, number int }
	seen := map[pageSide]bool{}
	var sides []pageSide
	for _, s := range all {
		p := pageSide{s.sheet, s.side.number}
		if p.number > 0 && !seen[p] {
			seen[p], sides = true, append(sides, p)
		}
	}
	f.paper = nil
	if len(sides) == 0 {
		return nil
	}
	const h = 0.01 // mm
	moved := mat.NewDense(m, 2*len(sides), nil)
	for i, s := range all {
		for k, p := range sides {
			if p.sheet == s.sheet && p.number == s.side.number {
				at := s
				at.ground = orb.Point{s.ground[0] + h*s.side.in[0], s.ground[1] + h*s.side.in[1]}
				perMM := (f.miss(at) - f.miss(s)) / (h * noisePx)
				moved.Set(i, 2*k, cutMM*perMM)
				moved.Set(i, 2*k+1, skewMM*s.side.along*perMM)
			}
		}
	}
	f.paper = mat.NewDense(n, 2*len(sides), nil)
	if err := f.paper.Solve(jacobian, moved); err != nil {
		return fmt.Errorf("the sheet does not say the picture's scale: %w", err)
	}
	return nil
}
