package split

import (
	"math"
	"slices"
	"sort"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Way is one way to cut a body in two by a line that can slide. Where the line
// lies is said by its level, a number in mm. As the level grows, the near part
// must grow and the far part shrink: then whether a part still fits a scrap has
// one turning point, which the search finds by bisection.
type Way interface {
	// Kind is what flags and plan.json call the seam: "yoke", "panel".
	Kind() string
	// Sides names the near and the far part: "upper", "lower". Empty says that
	// it depends on how the line lies.
	Sides() (near, far string)
	// Spans are the levels at which the line may run: it cuts the body in
	// exactly two, neither a sliver, and crosses no keep zone. In order.
	Spans(b *Body) []Span
	// Line is the line at a level, from outside the body to outside it, near
	// on its left.
	Line(b *Body, levelMM float64) curve.Path
	// LevelOf is the level of the line that passes through q.
	LevelOf(b *Body, q orb.Point) float64
	// Welcome are the levels that would look or sew best, best first; they
	// need not lie in a span.
	Welcome(b *Body) []float64
	// Traits is what holds for all its seams.
	Traits() Traits
	// KindAt is the kind of the seam at a level, which is Kind or a special
	// case of it that has a name: a panel down the middle is a "centre".
	KindAt(b *Body, levelMM float64) string
	// Called is what people call a seam of that kind where it runs on a piece:
	// "yoke seam".
	Called(kind string, line curve.Path, p *piece.Piece) string
	// Cost is what a seam costs or gains for being made this way, and whether
	// it makes the left of its piece differ from the right.
	Cost(s *PiecingSeam, p *piece.Piece) (terms []Term, uneven bool)
	// Instead is the ways that a seam made this one may be made better, once
	// it is known where it runs.
	Instead(s *PiecingSeam) []Way
}

// Run is how the seams of a way lie to the grain.
type Run int

// The runs. A slanting seam lies neither across nor along the grain, or now
// one way and now the other.
const (
	Slanting Run = iota
	Across
	Along
)

// Traits is what holds for all seams that a way makes.
type Traits struct {
	Runs Run
	// Plain ways are quick to try and show least on the garment. The search
	// tries the others later, and only for the last cut of a piece.
	Plain bool
	// Within is the kind of a more general way that has all the lines of this
	// one: every centre seam is a panel seam. This way is left out where the
	// general one is allowed. Empty for most.
	Within string
	// Beside is set for a way that is tried in some places only. It is the
	// kind of the way that serves everywhere else; a maker who allows this
	// way alone is told so. Where says in words which the places are.
	Beside, Where string
}

// Span is a closed interval of levels in mm.
type Span struct{ Lo, Hi float64 }

// LeastPartMM is how narrow a part may be, measured across its cut. A sliver
// under 8 mm is never a part; this leaves something to hold and to press.
const LeastPartMM = 20

// leastBridgeMM is how far a line stays from the bottom of a neckline, the tip
// of a shoulder and the like.
const leastBridgeMM = 10

// Down is the highest level of the spans that is at most x.
func Down(spans []Span, x float64) (float64, bool) {
	for i := len(spans) - 1; i >= 0; i-- {
		if x >= spans[i].Lo {
			return math.Min(x, spans[i].Hi), true
		}
	}
	return 0, false
}

// Up is the lowest level of the spans that is at least x.
func Up(spans []Span, x float64) (float64, bool) {
	for _, s := range spans {
		if x <= s.Hi {
			return math.Max(x, s.Lo), true
		}
	}
	return 0, false
}

// In reports whether x lies in a span, a hair of slack allowed.
func In(spans []Span, x float64) bool {
	for _, s := range spans {
		if x >= s.Lo-1e-9 && x <= s.Hi+1e-9 {
			return true
		}
	}
	return false
}

// straightSpans are the spans of a straight line square to dir, whose level
// is the distance along dir.
func straightSpans(b *Body, dir orb.Point) []Span {
	return spansOf(b.Ring, b.Piece.Keeps, func(q orb.Point) float64 { return q[0]*dir[0] + q[1]*dir[1] })
}

// spansOf are the spans of a line that slides; level gives the level of the
// line through a point. How many parts the line makes can only change where it
// passes a local extreme of the outline. So between two neighbouring extremes
// one try tells for all levels.
func spansOf(ring orb.Ring, keeps []piece.Keep, level func(orb.Point) float64) []Span {
	n := len(ring)
	var turns []float64 // levels of the outline's local extremes
	for i, q := range ring {
		a, c := level(ring[(i+n-1)%n]), level(ring[(i+1)%n])
		if l := level(q); (l-a)*(c-l) <= 0 {
			turns = append(turns, l)
		}
	}
	sort.Float64s(turns)
	if len(turns) == 0 {
		return nil
	}
	lo, hi := turns[0]+LeastPartMM, turns[len(turns)-1]-LeastPartMM
	var spans []Span
	for i := 1; i < len(turns); i++ {
		s := Span{turns[i-1], turns[i]}
		if s.Hi-s.Lo < 1e-6 || crossingsAt(ring, level, (s.Lo+s.Hi)/2) != 2 {
			continue
		}
		if n := len(spans); n > 0 && s.Lo-spans[n-1].Hi < 1e-6 {
			spans[n-1].Hi = s.Hi
		} else {
			spans = append(spans, s)
		}
	}
	// Off the extremes, where the line would run along an edge or leave a
	// bridge too narrow to sew, such as under a neckline.
	inner := spans[:0]
	for _, s := range spans {
		s.Lo, s.Hi = math.Max(s.Lo+leastBridgeMM, lo), math.Min(s.Hi-leastBridgeMM, hi)
		if s.Hi > s.Lo {
			inner = append(inner, s)
		}
	}
	spans = inner
	for _, k := range keeps {
		spans = without(spans, keepSpan(k.Line, level))
	}
	return spans
}

// crossingsAt counts how often a ring crosses a level.
func crossingsAt(r orb.Ring, level func(orb.Point) float64, at float64) int {
	n := 0
	for i, q := range r {
		if (level(q) > at) != (level(r[(i+1)%len(r)]) > at) {
			n++
		}
	}
	return n
}

// keepSpan is the levels that a keep zone takes up, and a hair more, for it
// may bulge between the points at which it is looked at.
func keepSpan(line curve.Path, level func(orb.Point) float64) Span {
	const hairMM = 0.2
	s := Span{math.Inf(1), math.Inf(-1)}
	for _, q := range fine(orb.Ring(line.Flatten(curve.FlattenMM)), false) {
		s.Lo, s.Hi = math.Min(s.Lo, level(q)-hairMM), math.Max(s.Hi, level(q)+hairMM)
	}
	return s
}

// fineMM is how far apart the points of a fine line are at most.
const fineMM = 4.0

// fine is a line with more points, for a level that bends between the points
// of a straight side.
func fine(r orb.Ring, closed bool) orb.Ring {
	var out orb.Ring
	for i, a := range r {
		out = append(out, a)
		if i == len(r)-1 && !closed {
			break
		}
		b := r[(i+1)%len(r)]
		n := math.Ceil(plane.Distance(a, b) / fineMM)
		for k := 1.0; k < n; k++ {
			out = append(out, orb.Point{a[0] + k/n*(b[0]-a[0]), a[1] + k/n*(b[1]-a[1])})
		}
	}
	return out
}

// without takes the closed interval cut out of the spans.
func without(spans []Span, cut Span) []Span {
	var out []Span
	for _, s := range spans {
		if cut.Hi < s.Lo || cut.Lo > s.Hi {
			out = append(out, s)
			continue
		}
		if cut.Lo-s.Lo > 1e-6 {
			out = append(out, Span{s.Lo, cut.Lo - 1e-6})
		}
		if s.Hi-cut.Hi > 1e-6 {
			out = append(out, Span{cut.Hi + 1e-6, s.Hi})
		}
	}
	return out
}

// Ways is every way to split, the plainest first.
func Ways() []Way { return slices.Clone(registered) }

var registered = []Way{Yoke{}, Panel{}, CurvedYoke{AtUnderarm: true}, CurvedYoke{AtUnderarm: true, Up: true}, Corner{45}, Corner{135}, Corner{225}, Corner{315}, Panel{CentreOnly: true}}

// Register adds a way to those that every plan may use. It is for the start of
// a program, before any plan is made.
func Register(w Way) { registered = append(registered, w) }

// WaysOf is the ways whose kind is allowed.
func WaysOf(allowed func(kind string) bool) []Way {
	var out []Way
	for _, w := range registered {
		within := w.Traits().Within
		if allowed(w.Kind()) && (within == "" || !allowed(within)) {
			out = append(out, w)
		}
	}
	return out
}
