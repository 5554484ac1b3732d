package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/mat"
)

// Lines that fan out look as joints do to a camera that leans: nothing in them tells the one from the other, and stripes of a
// pulled cloth or a rug may fan out. What a camera leans along joints of one way, though, makes those that cross them lie closer
// together at its far end, and a floor's are evenly spaced. So joints are taken to run as straight beside each other as the
// spacing of those that cross them shows, and any others to fan out.
const (
	squareWays = 0.1 // radians that ways are off a right angle, at most
	leastRows  = 4   // joints that spacing is told by
	laidMM     = 0.5 // that a joint lies off its place at least, as a standard deviation: of tiles laid with spacers, from memory
	mostUneven = 2.0 // standard deviations
)

// letFan lets the lines of each way fan out, as far as the spacing of the other does not speak against it.
func (f *fitted) letFan() {
	for i := range f.ways {
		f.ways[i].fanning = fanning
		for k := range f.ways {
			if math.Abs(apartWays(f.ways[i].bearing+math.Pi/2, f.ways[k].bearing)) > squareWays {
				continue
			}
			rows, _ := f.sideBySide(k)
			if lean, unsure := leanBySpacing(rows); math.Abs(lean) <= mostUneven*unsure {
				f.ways[i].fanning = min(fanning, max(unsure, laidFanning))
			}
		}
	}
}

// leanBySpacing is how much more the camera leans than is known, by what lies across joints that are evenly spaced, in
// radians for each mm across, and how unsure that is, as a standard deviation. What is seen at x of them then lies at x + lean x².
func leanBySpacing(rows []float64) (lean, unsure float64) {
	n := len(rows)
	if n < leastRows {
		return 0, math.Inf(1)
	}
	apart := make([]float64, n-1)
	for i := range apart {
		apart[i] = rows[i+1] - rows[i]
	}
	pitch := median(apart)
	a := mat.NewDense(n, 3, nil)
	place := 0.0
	for i := range rows {
		if i > 0 {
			place += math.Round(apart[i-1] / pitch)
		}
		a.SetRow(i, []float64{1, place, place * place})
	}
	seen := mat.NewVecDense(n, rows)
	var fit, off mat.VecDense
	if fit.SolveVec(a, seen) != nil {
		return 0, math.Inf(1)
	}
	off.MulVec(a, &fit)
	off.SubVec(seen, &off)
	noise := max(laidMM, mat.Norm(&off, 2)/math.Sqrt(float64(n-3)))
	ways, err := errs(a)
	if err != nil {
		return 0, math.Inf(1)
	}
	step := fit.AtVec(1) + place*fit.AtVec(2) // half-way
	return fit.AtVec(2) / (step * step), noise * mat.Norm(ways.RowView(2), 2) / (step * step)
}

// across is how far to the side a joint lies, in mm, as its way runs.
func (f *fitted) across(l joint) float64 {
	sin, cos := math.Sincos(f.ways[l.way].bearing)
	return plane.Cross(orb.Point{cos, sin}, f.ground(plane.Lerp(l.from, l.to, 0.5)))
}
