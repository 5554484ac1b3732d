package piece

import (
	"errors"
	"math"
	"strings"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// drawCorners is a random outline of straight sides, clockwise or not.
func drawCorners(t *rapid.T) []orb.Point {
	n := rapid.IntRange(4, 9).Draw(t, "corners")
	var out []orb.Point
	for k := range n {
		r := rapid.Float64Range(80, 300).Draw(t, "radius")
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		out = append(out, orb.Point{r * cos, r * sin})
	}
	if rapid.Bool().Draw(t, "back") {
		for i, j := 0, n-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

func between(a, b orb.Point, f float64) orb.Point {
	return orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])}
}

// refusedFor requires an error that a reader can act on and that holds one of
// the words.
func refusedFor(t *rapid.T, d Draft, words ...string) {
	p, err := Make(d)
	var known *Error
	if err == nil {
		t.Fatalf("made %d edges of it", len(p.Outline))
	}
	if !errors.As(err, &known) || known.File == "" || known.Piece == "" || known.Cure == "" {
		t.Fatalf("an error without a place or a cure: %v", err)
	}
	for _, w := range words {
		if strings.Contains(err.Error(), w) {
			return
		}
	}
	t.Fatalf("%v, and not for %q", err, words)
}

// Points drawn twice, sides of no length and points along a side change
// nothing: the outline has the corners, the area and the length that it has
// without them.
func TestPointsOfNoUseAreForgiven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corners := drawCorners(t)
		plain := makes(t, rectangle(outlined(corners...)))
		var points []orb.Point
		for i, a := range corners {
			b := corners[(i+1)%len(corners)]
			for range rapid.IntRange(1, 3).Draw(t, "times") {
				points = append(points, a)
			}
			for k := range rapid.IntRange(0, 4).Draw(t, "along") {
				points = append(points, between(a, b, (float64(k)+rapid.Float64Range(0.1, 0.9).Draw(t, "at"))/4))
			}
		}
		p, err := Make(rectangle(outlined(points...)))
		if err != nil {
			t.Fatal(err)
		}
		sound(t, p.Outline)
		if len(p.Outline) != len(plain.Outline) {
			t.Fatalf("%d edges, and without the points %d", len(p.Outline), len(plain.Outline))
		}
		if a, b := plane.SignedArea(p.Outline.Ring()), plane.SignedArea(plain.Outline.Ring()); math.Abs(a-b) > 1e-6*b {
			t.Fatalf("%g mm², and without the points %g", a, b)
		}
		if a, b := p.Outline.Length(), plain.Outline.Length(); math.Abs(a-b) > 1e-6*b {
			t.Fatalf("%g mm round, and without the points %g", a, b)
		}
	})
}

// A hairline spike, outward or inward, is refused.
func TestSpikesAreRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corners := drawCorners(t)
		makes(t, rectangle(outlined(corners...)))
		i := rapid.IntRange(0, len(corners)-1).Draw(t, "side")
		a, b := corners[i], corners[(i+1)%len(corners)]
		foot := between(a, b, rapid.Float64Range(0.3, 0.7).Draw(t, "at"))
		l := plane.Distance(a, b)
		along := orb.Point{(b[0] - a[0]) / l, (b[1] - a[1]) / l}
		reach := rapid.Float64Range(5, 30).Draw(t, "reach") * []float64{1, -1}[rapid.IntRange(0, 1).Draw(t, "inward")]
		half := rapid.Float64Range(0, 0.002).Draw(t, "half its width")
		points := append([]orb.Point{}, corners[:i+1]...)
		points = append(points,
			orb.Point{foot[0] - along[0]*half, foot[1] - along[1]*half},
			orb.Point{foot[0] - along[1]*reach, foot[1] + along[0]*reach},
			orb.Point{foot[0] + along[0]*half, foot[1] + along[1]*half})
		refusedFor(t, rectangle(outlined(append(points, corners[i+1:]...)...)), "hairline spike", "touches itself")
	})
}

// An outline that comes back to one of its own corners or sides, or stops a
// hair short of it, is refused.
func TestOutlinesThatTouchThemselvesAreRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corners := drawCorners(t)
		n := len(corners)
		makes(t, rectangle(outlined(corners...)))
		i := rapid.IntRange(0, n-1).Draw(t, "side")
		// Not the corners of the side itself.
		j := (i + rapid.IntRange(2, n-1).Draw(t, "other")) % n
		touch := corners[j]
		if next := (j + 1) % n; next != i && rapid.Bool().Draw(t, "a side") {
			touch = between(corners[j], corners[next], rapid.Float64Range(0.1, 0.9).Draw(t, "at"))
		}
		a, b := corners[i], corners[(i+1)%n]
		foot := between(a, b, 0.5)
		touch = between(touch, foot, rapid.SampledFrom([]float64{0, 1e-9, 0.005}).Draw(t, "short")/plane.Distance(touch, foot))
		points := append([]orb.Point{}, corners[:i+1]...)
		points = append(points, between(a, b, 0.4), touch, between(a, b, 0.6))
		refusedFor(t, rectangle(outlined(append(points, corners[i+1:]...)...)), "touches itself", "hairline spike")
	})
}

// A notch is on the outline or refused: one drawn off it, by however much, is
// never at another place than where it was drawn.
func TestNotchesOffTheOutline(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := outlineDraft(drawOutline(t))
		p := makes(t, d)
		path := p.Outline.Path()
		at, along := path.At(rapid.Float64Range(0, 1).Draw(t, "at") * path.Length())
		off := rapid.Float64Range(-40, 40).Draw(t, "off")
		at = orb.Point{at[0] - along[1]*off, at[1] + along[0]*off}
		_, away := path.Nearest(at)
		d.Notches = []DraftLine{{Element: "circle", Point: at}}
		q, err := Make(d)
		if err != nil {
			if away < 0.5 {
				t.Fatalf("%g mm off, and refused: %v", away, err)
			}
			refusedFor(t, d, "off the outline")
			return
		}
		for _, e := range q.Outline {
			for _, n := range e.Notches {
				if got, _ := e.Line.At(n.AtMM); plane.Distance(got, at) > away+2*cornerMM {
					t.Fatalf("drawn %g mm off, and moved by %g", away, plane.Distance(got, at))
				}
			}
		}
		if away > notchMM+1e-6 {
			t.Fatalf("%g mm off, and taken", away)
		}
	})
}

// Two darts whose legs cross, or of which one lies within the other, are refused,
// and two that are apart are taken.
func TestDartsThatCross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dart := func(what string) []orb.Point {
			x := rapid.Float64Range(12, 80).Draw(t, what)
			return []orb.Point{{x, 200}, {rapid.Float64Range(10, 90).Draw(t, "apex x"), rapid.Float64Range(60, 150).Draw(t, "apex y")}, {x + rapid.Float64Range(4, 12).Draw(t, "width"), 200}}
		}
		a, b := dart("one"), dart("other")
		d := rectangle(func(d *Draft) { d.Darts = []DraftLine{line(`path "dart-1"`, a...), line(`path "dart-2"`, b...)} })
		legs := func(p []orb.Point) curve.Path { return curve.Polyline(p...) }
		crossing := len(curve.Crossings(legs(a), legs(b))) > 0
		within := a[0][0] < b[0][0] && b[0][0] < a[2][0] || b[0][0] < a[0][0] && a[0][0] < b[2][0]
		_, err := Make(d)
		switch {
		case crossing || within:
			refusedFor(t, d, "two darts cross", "lies within another")
		case err != nil && !strings.Contains(err.Error(), "two darts cross") && !strings.Contains(err.Error(), "lies within another"):
			t.Fatal(err)
		case err != nil:
			// As near as a needle's width counts as crossing.
			least := math.Inf(1)
			for _, q := range legs(a).Flatten(1) {
				_, off := legs(b).Nearest(q)
				least = math.Min(least, off)
			}
			for _, q := range legs(b).Flatten(1) {
				_, off := legs(a).Nearest(q)
				least = math.Min(least, off)
			}
			if least > 1 {
				t.Fatalf("they are %g mm apart: %v", least, err)
			}
		}
	})
}

// A grainline without a length has no direction.
func TestGrainlinesOfNoLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := outlineDraft(drawOutline(t))
		makes(t, d)
		at := orb.Point{rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")}
		sin, cos := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "way"))
		length := rapid.SampledFrom([]float64{0, 1e-9, 0.1, 0.9}).Draw(t, "length")
		d.Grains = []DraftLine{line("path", at, orb.Point{at[0] + length*cos, at[1] + length*sin})}
		refusedFor(t, d, "the grainline has no length")
	})
}
