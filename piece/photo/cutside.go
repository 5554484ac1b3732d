package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

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

// cutSide is a side of a plain sheet, and how far it is moved and turned from where it should be, in standard deviations.
type cutSide struct {
	sheet, number int
	move, turn    float64
}

// cutSides is the sides of plain sheets that sightings are on.
func cutSides(all []sighting) (out []cutSide) {
	for _, s := range all {
		c := cutSide{sheet: s.sheet, number: s.side.number}
		if c.number > 0 && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// cut is where a sighting is on its sheet as that was cut.
func (f *fitted) cut(s sighting) orb.Point {
	for _, c := range f.sides {
		if c.sheet == s.sheet && c.number == s.side.number {
			return plane.Along(s.ground, s.side.in, cutMM*c.move+skewMM*s.side.along*c.turn)
		}
	}
	return s.ground
}

// beyond is how the first parameters err more among all than by themselves, each column one standard deviation of one
// independent way: the root of the difference of their covariances.
func beyond(all, own *mat.Dense) *mat.Dense {
	n, _ := own.Dims()
	var more, less mat.Dense
	first := all.Slice(0, n, 0, all.RawMatrix().Cols)
	more.Mul(first, first.T())
	less.Mul(own, own.T())
	apart := mat.NewSymDense(n, nil)
	for i := range n {
		for k := i; k < n; k++ {
			apart.SetSym(i, k, more.At(i, k)-less.At(i, k))
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(apart, true) {
		return nil
	}
	var ways mat.Dense
	eigen.VectorsTo(&ways)
	for k, v := range eigen.Values(nil) {
		for i := range n {
			ways.Set(i, k, ways.At(i, k)*math.Sqrt(max(v, 0)))
		}
	}
	return &ways
}
