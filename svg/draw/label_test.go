package draw

import (
	"math"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// onePart is a plan of one part with that seam line.
func onePart(name string, seam []plan.Point, grainDeg float64) *plan.Document {
	edges := make([]plan.Edge, len(seam))
	for i, q := range seam {
		next := seam[(i+1)%len(seam)]
		edges[i] = plan.Edge{AllowanceMM: 10, Name: []string{"", "side", "hem"}[i%3], D: curve.Polyline(orb.Point(q), orb.Point(next)).D()}
	}
	edges[0].Seam = "A"
	return &plan.Document{
		Settings: plan.Settings{AllowanceMM: 10},
		Scraps:   []plan.Scrap{{Name: "navy", Copy: 1, Outline: rectangle(900, 900), GrainDeg: 90}},
		Options: []plan.Option{{Rank: 1, Parts: []plan.Part{{
			Name: name, Piece: "front", Copy: 1, SeamLine: seam, CutLine: grown(seam, 10), Edges: edges,
			GrainDeg: grainDeg, Scrap: "navy", ScrapCopy: 1, Placement: [6]float64{1, 0, 0, 1, 450, 450},
		}}}},
	}
}

// corners is the box of a label, turned as it is.
func corners(l Label) []orb.Point {
	w, h := Width(l.Text, l.SizeMM)/2, l.SizeMM/2
	sin, cos := math.Sincos(l.TurnDeg * math.Pi / 180)
	var out []orb.Point
	for _, c := range [][2]float64{{-w, -h}, {w, -h}, {w, h}, {-w, h}} {
		out = append(out, orb.Point{l.At[0] + c[0]*cos - c[1]*sin, l.At[1] + c[0]*sin + c[1]*cos})
	}
	return out
}

func loop(points []orb.Point) []orb.Point { return append(points, points[0]) }

// crossed reports whether a line of the shape, other than a leader, runs
// through a label, or two labels overlap.
func crossed(s Shape) (string, bool) {
	through := func(l Label, points []orb.Point) bool {
		box := orb.Bound{Max: orb.Point{Width(l.Text, l.SizeMM) / 2, l.SizeMM / 2}}
		box.Min = plane.Scale(box.Max, -1)
		sin, cos := math.Sincos(-l.TurnDeg * math.Pi / 180)
		back := func(q orb.Point) orb.Point {
			q = plane.Sub(q, l.At)
			return orb.Point{q[0]*cos - q[1]*sin, q[0]*sin + q[1]*cos}
		}
		for k := 1; k < len(points); k++ {
			if l.Ringed && plane.ToSegment(l.At, points[k-1], points[k]) < l.RingMM() ||
				!l.Ringed && meets(box, [2]orb.Point{back(points[k-1]), back(points[k])}) {
				return true
			}
		}
		return false
	}
	for i, l := range s.Labels {
		for _, line := range s.Lines {
			if line.Stroke != Leader && line.Stroke != Unseen && through(l, line.Path.Flatten(0.05)) {
				return l.Text, true
			}
		}
		for _, other := range s.Labels[:i] {
			if through(l, loop(corners(other))) || through(other, loop(corners(l))) {
				return l.Text + " on " + other.Text, true
			}
		}
	}
	return "", false
}

// A label within another is on it, whichever was written first.
func TestALabelWithinAnotherIsCrossed(t *testing.T) {
	large, small := Label{Text: "front lower left", SizeMM: 20}, Label{Text: "A", SizeMM: 3, At: orb.Point{30, -6}}
	for _, labels := range [][]Label{{large, small}, {small, large}} {
		_, bad := crossed(Shape{Labels: labels})
		require.True(t, bad)
	}
	small.At[1] = -20
	_, bad := crossed(Shape{Labels: []Label{large, small}})
	require.False(t, bad)
}

// Whatever a part's size and shape, no line runs through its words.
func TestTextNeverCrossesALine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		size := math.Exp(rapid.Float64Range(math.Log(6), math.Log(700)).Draw(t, "log size"))
		flat := rapid.Float64Range(0.05, 1).Draw(t, "flatness")
		var seam []plan.Point
		for i := range n {
			a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0, 0.6).Draw(t, "turn")) / float64(n)
			r := size * rapid.Float64Range(0.5, 1).Draw(t, "radius")
			seam = append(seam, plan.Point{r * math.Cos(a), r * flat * math.Sin(a)})
		}
		name := rapid.SampledFrom([]string{"a", "front-upper", "left back yoke lining, lower half", "前身頃"}).Draw(t, "name")
		s, err := Of(onePart(name, seam, rapid.Float64Range(0, 180).Draw(t, "grain"))).PartShape(0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if text, bad := crossed(s); bad {
			t.Fatalf("%q is crossed", text)
		}
		for _, l := range s.Labels {
			if l.SizeMM < leastMM {
				t.Fatalf("%q is %.1f mm high", l.Text, l.SizeMM)
			}
			if l.Ringed {
				if plane.ToRing(s.Region, l.At) < l.RingMM() {
					t.Fatalf("%q lies across the cutting line", l.Text)
				}
				continue
			}
			inside := plane.Holds(s.Region, l.At)
			for _, c := range corners(l) {
				if plane.Holds(s.Region, c) != inside {
					t.Fatalf("%q lies across the cutting line", l.Text)
				}
			}
		}
	})
}

func TestATinyPartIsNamedBesideIt(t *testing.T) {
	s, err := Of(onePart("gusset, left underarm", []plan.Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}}, 90)).PartShape(0, 0)
	require.NoError(t, err)
	leaders := 0
	for _, l := range s.Lines {
		if l.Stroke == Leader {
			leaders++
		}
	}
	require.Equal(t, 2, leaders, "one for the name and one for the letter")
}

func TestEveryPartCarriesItsWords(t *testing.T) {
	d := tshirt()
	shapes, err := Of(d).Shapes(0)
	require.NoError(t, err)
	for i, s := range shapes {
		var texts []string
		for _, l := range s.Labels {
			texts = append(texts, l.Text)
		}
		p := d.Options[0].Parts[i]
		require.Contains(t, texts, p.Name)
		require.Contains(t, texts, "cut 1, right side up")
		require.Contains(t, texts, "from "+d.ScrapName(p.Scrap, p.ScrapCopy))
		for _, e := range p.Edges {
			if e.Seam != "" {
				require.Contains(t, texts, e.Seam, "the letter stands on both parts")
			}
		}
		grain := 0.0
		for _, l := range s.Lines {
			if l.Stroke == Grain {
				grain = l.Path.Length()
			}
		}
		box := bounds(p.SeamLine)
		require.Greater(t, grain, 0.4*(box.Max[1]-box.Min[1]), "%s: the grainline is long enough to lay on cloth", p.Name)
	}
}

// A part that lies wrong side up has its letter inside all the same, and says
// how it lies.
func TestAPartTurnedOver(t *testing.T) {
	d := onePart("yoke", []plan.Point{{0, 0}, {200, 0}, {200, 120}, {0, 120}}, 90)
	d.Options[0].Parts[0].Placement = [6]float64{-1, 0, 0, 1, 450, 450}
	laid, err := Of(d).LayoutShapes(0)
	require.NoError(t, err)
	in := laid[0].Inner[0]
	var texts []string
	for _, l := range in.Labels {
		texts = append(texts, l.Text)
		require.True(t, plane.Holds(in.Region, l.At), "%s lies outside", l.Text)
	}
	require.ElementsMatch(t, []string{"yoke", "wrong side up", "A"}, texts)
	require.InDelta(t, 440, in.Bound().Max[0]-20, 1e-6)
}

func bounds(points []plan.Point) orb.Bound {
	var m orb.MultiPoint
	for _, q := range points {
		m = append(m, orb.Point(q))
	}
	return m.Bound()
}

func TestNoneOverlapInRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shapes []Shape
		for range rapid.IntRange(1, 12).Draw(t, "shapes") {
			w, h := rapid.Float64Range(1, 900).Draw(t, "w"), rapid.Float64Range(1, 900).Draw(t, "h")
			shapes = append(shapes, Shape{Region: []orb.Point{{0, 0}, {w, 0}, {w, h}, {0, h}}})
		}
		at, page := Rows(shapes, 10)
		var placed []orb.Bound
		for i, s := range shapes {
			b := s.Bound()
			b = orb.Bound{Min: plane.Add(b.Min, at[i]), Max: plane.Add(b.Max, at[i])}
			for _, o := range placed {
				if b.Pad(9.99).Intersects(o) {
					t.Fatalf("%v is nearer than the gap to %v", b, o)
				}
			}
			if !page.Pad(1e-6).Contains(b.Min) || !page.Pad(1e-6).Contains(b.Max) {
				t.Fatalf("%v is off the page %v", b, page)
			}
			placed = append(placed, b)
		}
	})
}
