package split

import (
	"sort"
	"strings"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// BelowUnderarmMM is how far below the underarm point a yoke line runs, so
// that no bulk lands in the armhole (common practice, no source).
const BelowUnderarmMM = 20

// Yoke is a straight line across the grain. Its level is measured down the
// grain from the page's origin.
type Yoke struct{}

func (Yoke) Kind() string              { return "yoke" }
func (Yoke) Sides() (near, far string) { return "upper", "lower" }
func (Yoke) Spans(b *Body) []Span      { return straightSpans(b, b.Frame.Down) }

func (Yoke) Line(b *Body, levelMM float64) curve.Path {
	return curve.Polyline(b.Frame.At(b.Lo[0]-10, levelMM), b.Frame.At(b.Hi[0]+10, levelMM))
}

func (Yoke) LevelOf(b *Body, q orb.Point) float64 {
	_, down := b.Frame.Place(q)
	return down
}

// Welcome is the drawn levels first, then where seams of the garment meet a
// band, then just below the underarm.
func (Yoke) Welcome(b *Body) []float64 {
	var out []float64
	for _, l := range b.Piece.Levels {
		a, c := l.Start(), l.End()
		across1, down1 := b.Frame.Place(a)
		across2, down2 := b.Frame.Place(c)
		if dx, dy := across2-across1, down2-down1; dx*dx >= dy*dy {
			out = append(out, (down1+down2)/2)
		}
	}
	var arms []float64
	for _, u := range Underarms(b.Outline) {
		_, down := b.Frame.Place(u)
		arms = append(arms, down+BelowUnderarmMM)
	}
	sort.Float64s(arms)
	return append(append(out, AtSeams(Yoke{}, b)...), arms...)
}

func (Yoke) Traits() Traits                 { return Traits{Runs: Across, Plain: true} }
func (y Yoke) KindAt(*Body, float64) string { return y.Kind() }

func (Yoke) Called(_ string, line curve.Path, p *piece.Piece) string { return acrossName(line, p) }

func (Yoke) Cost(*PiecingSeam, *piece.Piece) ([]Term, bool) { return nil, false }

// Instead is an arc, down or up, where the seam ends at an underarm.
func (Yoke) Instead(s *PiecingSeam) []Way {
	for _, u := range Underarms(s.Body.Piece.Outline) {
		for _, end := range s.Ends {
			if plane.Distance(u, end.At) < 2*BelowUnderarmMM {
				return []Way{CurvedYoke{}, CurvedYoke{Up: true}}
			}
		}
	}
	return nil
}

// isArmhole reports whether an edge is one that a sleeve is set into, where
// the end of a piecing seam would add bulk.
func isArmhole(name string) bool {
	return hasWord(name, "armhole") || hasWord(name, "raglan") || hasWord(name, "cap")
}

func hasWord(name, word string) bool {
	return strings.Contains(strings.ToLower(name), word)
}
