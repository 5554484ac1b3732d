package split

import (
	"math"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// CurvedYoke is one gentle arc across the grain, for where a straight yoke
// would end at the underarm: its ends run down the side, or Up, from its
// middle, whose level down the grain is the line's level. The arc is a
// parabola, the same at every level, that rises by a twelfth of the body's
// width over that width, and so by no more than a tenth of its own.
type CurvedYoke struct{ Up bool }

const riseRatio = 1.0 / 12

func (CurvedYoke) Kind() string              { return "curved yoke" }
func (CurvedYoke) Sides() (near, far string) { return "upper", "lower" }

func (c CurvedYoke) Spans(b *Body) []Span {
	return spansOf(fine(b.Ring, true), b.Piece.Keeps, func(q orb.Point) float64 { return c.LevelOf(b, q) })
}

// shape is how far below its middle the arc is, across the grain.
func (c CurvedYoke) shape(b *Body, across float64) float64 {
	half := (b.Hi[0] - b.Lo[0]) / 2
	off := (across - (b.Lo[0] + half)) / half
	down := riseRatio * 2 * half * off * off
	if c.Up {
		return -down
	}
	return down
}

func (c CurvedYoke) Line(b *Body, levelMM float64) curve.Path {
	const past = 10.0
	left, right, mid := b.Lo[0]-past, b.Hi[0]+past, (b.Lo[0]+b.Hi[0])/2
	ends := c.shape(b, left)
	// The tangents at a parabola's ends meet as far beyond its vertex.
	return curve.Path{curve.Quadratic(b.Frame.At(left, levelMM+ends), b.Frame.At(mid, levelMM-ends), b.Frame.At(right, levelMM+ends))}
}

func (c CurvedYoke) LevelOf(b *Body, q orb.Point) float64 {
	across, down := b.Frame.Place(q)
	return down - c.shape(b, across)
}

// Welcome is where both ends clear the underarm, below it.
func (c CurvedYoke) Welcome(b *Body) []float64 {
	arms := Underarms(b.Outline)
	if len(arms) == 0 {
		return nil
	}
	lowest := math.Inf(-1)
	for _, u := range arms {
		lowest = math.Max(lowest, c.LevelOf(b, u)+BelowUnderarmMM)
	}
	return []float64{lowest}
}

// runsAcross reports whether a seam made so lies across the grain.
func runsAcross(w Way) bool {
	switch w.(type) {
	case Yoke, CurvedYoke:
		return true
	}
	return false
}
