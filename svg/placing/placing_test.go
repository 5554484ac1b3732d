package placing

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"eke/split/plan"
	"eke/svg/measure"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type vec = [2]float64

// printed is what a maker reads of a distance, in mm.
func printed(t require.TestingT, u measure.Unit, mm float64) float64 {
	s := u.Mark(mm)
	if u != measure.Inches {
		x, err := strconv.ParseFloat(strings.TrimSuffix(s, " cm"), 64)
		require.NoError(t, err, s)
		return x * 10
	}
	m := regexp.MustCompile(`^(?:(\d+) ?)?(?:\b(\d+)/(\d+))? ?in$`).FindStringSubmatch(s)
	require.NotNil(t, m, s)
	n := func(s string) float64 { x, _ := strconv.ParseFloat("0"+s, 64); return x }
	inches := n(m[1])
	if m[3] != "" {
		inches += n(m[2]) / n(m[3])
	}
	return inches * 25.4
}

// drawn is where a maker marks a corner, from the numbers alone: square to two
// edges, or with two tapes, on the right of the way from the first corner.
func drawn(s *Sheet, p *Part, mm [2]float64) vec {
	at := func(i int) vec { return vec(s.Corners[i].At) }
	if len(s.Edges) == 2 {
		// n·(x - a) = mm for either edge.
		var n [2]vec
		var c [2]float64
		for e, edge := range s.Edges {
			a, b := at(edge[0]), at(edge[1])
			l := math.Hypot(b[0]-a[0], b[1]-a[1])
			n[e] = vec{-(b[1] - a[1]) / l, (b[0] - a[0]) / l}
			c[e] = mm[e] + n[e][0]*a[0] + n[e][1]*a[1]
		}
		det := n[0][0]*n[1][1] - n[0][1]*n[1][0]
		return vec{(c[0]*n[1][1] - c[1]*n[0][1]) / det, (n[0][0]*c[1] - n[1][0]*c[0]) / det}
	}
	a, b := at(p.From[0]), at(p.From[1])
	l := math.Hypot(b[0]-a[0], b[1]-a[1])
	along := (mm[0]*mm[0] - mm[1]*mm[1] + l*l) / (2 * l)
	off := math.Sqrt(math.Max(0, mm[0]*mm[0]-along*along))
	u := vec{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
	return vec{a[0] + along*u[0] - off*u[1], a[1] + along*u[1] + off*u[0]}
}

// laid is how far, at most, a part lies from where the plan has it, once its
// three corners are laid on the marks as nearly as they go.
func laid(t require.TestingT, o *plan.Option, s *Sheet, p *Part, u measure.Unit) float64 {
	// The corners as the paper part has them.
	var from, to [3]vec
	part := &o.Parts[p.Part]
	m := part.Placement
	place := func(q vec) vec { return vec{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]} }
	for i, c := range p.Corners {
		from[i] = vec(c.At)
		to[i] = drawn(s, p, [2]float64{printed(t, u, c.MM[0]), printed(t, u, c.MM[1])})
	}
	mean := func(a [3]vec) vec { return vec{(a[0][0] + a[1][0] + a[2][0]) / 3, (a[0][1] + a[1][1] + a[2][1]) / 3} }
	f, g := mean(from), mean(to)
	var dot, turn float64
	for i := range from {
		a, b := vec{from[i][0] - f[0], from[i][1] - f[1]}, vec{to[i][0] - g[0], to[i][1] - g[1]}
		dot, turn = dot+a[0]*b[0]+a[1]*b[1], turn+a[0]*b[1]-a[1]*b[0]
	}
	sin, cos := math.Sincos(math.Atan2(turn, dot))
	worst := 0.0
	for _, q := range part.CutLine {
		was := place(q)
		a := vec{was[0] - f[0], was[1] - f[1]}
		worst = math.Max(worst, math.Hypot(g[0]+cos*a[0]-sin*a[1]-was[0], g[1]+sin*a[0]+cos*a[1]-was[1]))
	}
	return worst
}

// star is an outline round 0, 0.
func star(t *rapid.T, least, most float64, n int) []plan.Point {
	var out []plan.Point
	for i := range n {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(-0.3, 0.3).Draw(t, "a")) / float64(n)
		r := rapid.Float64Range(least, most).Draw(t, "r")
		out = append(out, plan.Point{r * math.Cos(a), r * math.Sin(a)})
	}
	return out
}

// What is printed places every part to a millimetre.
func TestSheetsPlaceTheParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := random(t)
		sheets := Sheets(d, 0)
		require.Len(t, sheets, 1)
		s := &sheets[0]
		require.Len(t, s.Parts, 1)
		for _, u := range []measure.Unit{measure.Millimetres, measure.Centimetres, measure.Inches} {
			require.Less(t, laid(t, &d.Options[0], s, &s.Parts[0], u), 1.0)
		}
		for _, c := range s.Parts[0].Corners {
			require.GreaterOrEqual(t, math.Min(c.MM[0], c.MM[1]), 0.0)
		}
	})
}

// random is a scrap with a part that lies in it.
func random(t *rapid.T) *plan.Document {
	outline := star(t, 220, 600, rapid.IntRange(5, 14).Draw(t, "n"))
	if rapid.Bool().Draw(t, "straight") {
		w, h, lean := rapid.Float64Range(300, 1500).Draw(t, "w"), rapid.Float64Range(300, 1500).Draw(t, "h"), rapid.Float64Range(-100, 100).Draw(t, "lean")
		outline = []plan.Point{{-w / 2, -h / 2}, {w / 2, -h/2 + lean}, {w/2 - lean, h / 2}, {-w / 2, h / 2}}
	}
	deg := rapid.Float64Range(0, 360).Draw(t, "deg") * math.Pi / 180
	sin, cos := math.Sincos(deg)
	part := star(t, 25, 85, rapid.IntRange(3, 30).Draw(t, "corners"))
	return &plan.Document{
		Scraps:  []plan.Scrap{{Name: "s", Copy: 1, Outline: outline}},
		Options: []plan.Option{{Parts: []plan.Part{{Name: "p", CutLine: part, Scrap: "s", ScrapCopy: 1, Placement: [6]float64{cos, sin, -sin, cos, rapid.Float64Range(-5, 5).Draw(t, "x"), 2}}}}},
	}
}

func document(outline ...plan.Point) *plan.Document {
	return &plan.Document{
		Scraps: []plan.Scrap{{Name: "s", Copy: 1, Outline: outline}, {Name: "unused", Copy: 1, Outline: outline}},
		Options: []plan.Option{{Parts: []plan.Part{{
			Name: "p", CutLine: []plan.Point{{0, 0}, {100, 0}, {100, 50}, {50, 20}, {0, 50}}, Scrap: "s", ScrapCopy: 1, Placement: [6]float64{1, 0, 0, 1, 20, 30},
		}}}},
	}
}

func TestSheetsOfARectangle(t *testing.T) {
	for name, outline := range map[string][]plan.Point{
		"clockwise":         {{0, 0}, {400, 0}, {400, 300}, {0, 300}},
		"the other way":     {{0, 300}, {400, 300}, {400, 0}, {0, 0}},
		"points on its way": {{0, 0}, {100, 0}, {400, 0}, {400, 300}, {0, 300}, {0, 20}},
	} {
		sheets := Sheets(document(outline...), 0)
		require.Len(t, sheets, 1, name)
		s := sheets[0]
		require.Zero(t, s.Scrap)
		require.Len(t, s.Edges, 2, name)
		require.Len(t, s.Corners, 3, name)
		require.Equal(t, "P", s.Corners[0].Name)
		require.Equal(t, s.Edges[0][1], s.Edges[1][0], "they meet at Q")
		// Each corner is as far from two sides of the rectangle as it lies.
		for _, c := range s.Parts[0].Corners {
			for e, edge := range s.Edges {
				a, b := s.Corners[edge[0]].At, s.Corners[edge[1]].At
				k := 1
				if math.Abs(a[0]-b[0]) < 1 {
					k = 0
				}
				require.InDelta(t, math.Abs(c.At[k]-a[k]), c.MM[e], 1e-9, name)
			}
		}
	}
}

// A scrap with a bite out of one side is measured from the sides that hold all
// of it, and a round one from places on its edge.
func TestSheetsOfOtherScraps(t *testing.T) {
	bitten := Sheets(document(plan.Point{0, 0}, plan.Point{200, 60}, plan.Point{400, 0}, plan.Point{400, 300}, plan.Point{0, 300}), 0)[0]
	require.Len(t, bitten.Edges, 2)
	for _, e := range bitten.Edges {
		for _, k := range e {
			require.NotEqual(t, 60.0, bitten.Corners[k].At[1])
		}
	}
	var round []plan.Point
	for i := range 90 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 45)
		round = append(round, plan.Point{100 + 200*cos, 80 + 200*sin})
	}
	d := document(round...)
	s := Sheets(d, 0)[0]
	require.Empty(t, s.Edges)
	require.True(t, s.Smooth)
	require.False(t, bitten.Smooth)
	require.Len(t, s.Corners, 2)
	require.Less(t, laid(t, &d.Options[0], &s, &s.Parts[0], measure.Millimetres), 1.0)
}
