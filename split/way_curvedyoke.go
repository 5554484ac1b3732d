package split

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// CurvedYoke is one gentle arc across the grain, for where a straight yoke
// would end at the underarm. Its ends lie lower than its middle, or higher with
// Up. The line's level is that of its middle, in mm down the grain. The arc is
// a parabola, the same at every level: from its middle to a side of the body
// it rises or falls by a twelfth of the body's width, and by less where the
// body is narrower. On a piece that was cut on the fold its middle is the fold.
type CurvedYoke struct {
	Up         bool
	AtUnderarm bool // only near an underarm: in the armhole just above, or as far below as a seam still lies by it
}

const riseRatio = 1.0 / 12

func (CurvedYoke) Kind() string              { return "curved yoke" }
func (CurvedYoke) Sides() (near, far string) { return "upper", "lower" }

func (c CurvedYoke) Spans(b *Body) []Span {
	level := func(q orb.Point) float64 { return c.LevelOf(b, q) }
	if !c.AtUnderarm {
		return spansOf(fine(b.Ring, true), b.Piece.Keeps, level)
	}
	arms := Underarms(b.Outline)
	if len(arms) == 0 {
		return nil
	}
	// From the level at which the whole arc lies bulkMM above the underarm to
	// the one at which it lies nearUnderarmMM below: there a straight one would
	// show less, but a scrap may be cut along a curve already.
	at := Span{math.Inf(1), math.Inf(-1)}
	for _, u := range arms {
		_, down := b.Frame.Place(u)
		at.Lo = math.Min(at.Lo, math.Min(level(u), down)-bulkMM)
		at.Hi = math.Max(at.Hi, math.Max(level(u), down)+nearUnderarmMM)
	}
	var out []Span
	for _, s := range spansOf(fine(b.Ring, true), b.Piece.Keeps, level) {
		if s.Lo, s.Hi = math.Max(s.Lo, at.Lo), math.Min(s.Hi, at.Hi); s.Lo < s.Hi {
			out = append(out, s)
		}
	}
	return out
}

// vertex is where across the grain the arc turns, and half the body's width.
func (CurvedYoke) vertex(b *Body) (across, half float64) {
	const asDrawnMM = 1.0
	across, half = (b.Lo[0]+b.Hi[0])/2, (b.Hi[0]-b.Lo[0])/2
	if fold := CentreOf(b); math.Abs(fold-across) < asDrawnMM {
		across = fold
	}
	return across, half
}

// shape is how far below its middle the arc is, across the grain.
func (c CurvedYoke) shape(b *Body, across float64) float64 {
	mid, half := c.vertex(b)
	off := (across - mid) / half
	down := riseRatio * 2 * half * off * off
	if c.Up {
		return -down
	}
	return down
}

func (c CurvedYoke) Line(b *Body, levelMM float64) curve.Path {
	const past = 50.0 // wider than any allowance
	mid, half := c.vertex(b)
	left, right := mid-half-past, mid+half+past
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

func (c CurvedYoke) Traits() Traits {
	t := Traits{Runs: Across}
	if c.AtUnderarm {
		t.Beside, t.Where = Yoke{}.Kind(), "near an underarm"
	}
	return t
}

func (c CurvedYoke) KindAt(*Body, float64) string { return c.Kind() }

func (CurvedYoke) Called(_ string, line curve.Path, p *piece.Piece) string {
	return "curved " + acrossName(line, p)
}

func (CurvedYoke) Cost(s *PiecingSeam, _ *piece.Piece) (terms []Term, uneven bool) {
	return []Term{{Name: "curve", Detail: fmt.Sprintf("seam %s is curved", s.Name), Points: pointsCurve}}, false
}

func (CurvedYoke) Instead(*PiecingSeam) []Way { return nil }
