package curve

import (
	"math"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

func drawPoint(t *rapid.T, name string) orb.Point {
	return orb.Point{rapid.Float64Range(-600, 600).Draw(t, name), rapid.Float64Range(-600, 600).Draw(t, name)}
}

func drawSegment(t *rapid.T) Segment {
	a, b := drawPoint(t, "a"), drawPoint(t, "b")
	switch rapid.IntRange(0, 3).Draw(t, "kind") {
	case 0:
		return Line(a, b)
	case 1:
		return Quadratic(a, drawPoint(t, "c"), b)
	}
	return Cubic(a, drawPoint(t, "c"), drawPoint(t, "d"), b)
}

func drawPath(t *rapid.T) Path {
	p := Path{drawSegment(t)}
	for range rapid.IntRange(0, 4).Draw(t, "more") {
		s := drawSegment(t)
		s.P0 = p.End()
		if !s.Curved {
			s = Line(s.P0, s.P1)
		}
		p = append(p, s)
	}
	return p
}

// chords is the length of the segment by a million chords, from t0 to t1.
func chords(s Segment, t0, t1 float64) float64 {
	const n = 200_000
	var sum float64
	last := s.At(t0)
	for k := 1; k <= n; k++ {
		q := s.At(t0 + (t1-t0)*float64(k)/n)
		sum += plane.Distance(last, q)
		last = q
	}
	return sum
}

func TestLengthAgainstChords(t *testing.T) {
	for _, s := range []Segment{
		Cubic(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{0, 100}),
		Cubic(orb.Point{0, 0}, orb.Point{0, 0}, orb.Point{50, 100}, orb.Point{90, 90}),
		Cubic(orb.Point{0, 0}, orb.Point{100, 100}, orb.Point{0, 100}, orb.Point{100, 0}), // a cusp
		Cubic(orb.Point{0, 0}, orb.Point{300, 100}, orb.Point{-200, 100}, orb.Point{100, 0}),
		Cubic(orb.Point{0, 3.62}, orb.Point{-2.04, 0}, orb.Point{0, -185.28}, orb.Point{0, 0.1}), // nearly doubles back
		Cubic(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{-50, 0}, orb.Point{20, 0}),           // doubles back twice
		Quadratic(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{0, 0.001}),
		Cubic(orb.Point{1, 1}, orb.Point{0.5, -600}, orb.Point{0, 0.25}, orb.Point{0, -1}),
	} {
		want := chords(s, 0, 1)
		assert.InDelta(t, want, s.Length(), 1e-8*want+1e-6, "%v", s)
		half := chords(s, 0, 0.5)
		assert.InDelta(t, half, s.lengthTo(0.5), 1e-8*half+1e-6, "%v", s)
	}
	// A quarter of a unit circle's circumscribed parabola has a length in closed
	// form: for y = x², 0 to 1, √5/2 + asinh(2)/4.
	parabola := Quadratic(orb.Point{0, 0}, orb.Point{0.5, 0}, orb.Point{1, 1})
	assert.InDelta(t, math.Sqrt(5)/2+math.Asinh(2)/4, parabola.Length(), 1e-12)
}

// gonum's quadrature of the speed, with many more points, is the same length.
func TestLengthAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSegment(t)
		to := rapid.Float64Range(0, 1).Draw(t, "to")
		// In many pieces, since the speed of a curve near a cusp is not smooth.
		var want float64
		const panels = 500
		for k := range panels {
			want += quad.Fixed(func(x float64) float64 { return plane.Length(s.Velocity(x)) }, to*float64(k)/panels, to*float64(k+1)/panels, 40, quad.Legendre{}, 0)
		}
		if got := s.lengthTo(to); math.Abs(got-want) > 1e-4 {
			t.Fatalf("%v to %g: %.9f, want %.9f", s, to, got, want)
		}
	})
}

func TestParamAtUndoesLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSegment(t)
		total := s.Length()
		mm := rapid.Float64Range(0, 1).Draw(t, "share") * total
		u := s.ParamAt(mm)
		if u < 0 || u > 1 || math.Abs(s.lengthTo(u)-mm) > 1e-6*math.Max(1, total) {
			t.Fatalf("%v: %g mm at %g, which is %g mm", s, mm, u, s.lengthTo(u))
		}
	})
}

func TestSplitDrawsTheSameLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSegment(t)
		u := rapid.Float64Range(0, 1).Draw(t, "u")
		a, b := s.Split(u)
		if a.P1 != b.P0 {
			t.Fatal("the halves do not meet")
		}
		for k := range 11 {
			x := float64(k) / 10
			if plane.Distance(a.At(x), s.At(u*x)) > 1e-9 || plane.Distance(b.At(x), s.At(u+(1-u)*x)) > 1e-9 {
				t.Fatalf("off at %g", x)
			}
		}
		if math.Abs(a.Length()+b.Length()-s.Length()) > 1e-4 {
			t.Fatalf("%g + %g is not %g", a.Length(), b.Length(), s.Length())
		}
	})
}

func TestBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPath(t)
		total := p.Length()
		from := rapid.Float64Range(0, 1).Draw(t, "from") * total
		to := from + rapid.Float64Range(0, 1).Draw(t, "to")*(total-from)
		part := p.Between(from, to)
		if math.Abs(part.Length()-(to-from)) > 1e-4 {
			t.Fatalf("from %g to %g is %g mm long", from, to, part.Length())
		}
		if len(part) > 0 && to-from > 1 {
			a, _ := p.At(from)
			b, _ := p.At(to)
			if plane.Distance(a, part.Start()) > 1e-4 || plane.Distance(b, part.End()) > 1e-4 {
				t.Fatalf("its ends are off by %g and %g", plane.Distance(a, part.Start()), plane.Distance(b, part.End()))
			}
		}
		whole := append(p.Between(0, from), p.Between(from, total)...)
		if math.Abs(whole.Length()-total) > 1e-4 {
			t.Fatalf("two parts of %g mm make %g", total, whole.Length())
		}
	})
}

func TestReverseAndTransformKeepLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPath(t)
		total := p.Length()
		turned := p.Transform(Turn(rapid.Float64Range(-720, 720).Draw(t, "deg"), drawPoint(t, "about")))
		a := drawPoint(t, "axis")
		mirrored := p.Transform(Mirror(a, orb.Point{a[0] + 1, a[1] + rapid.Float64Range(-9, 9).Draw(t, "slope")}))
		for _, q := range []Path{p.Reverse(), turned, mirrored} {
			if math.Abs(q.Length()-total) > 1e-4 {
				t.Fatalf("%g is not %g", q.Length(), total)
			}
		}
		if p.Reverse().Start() != p.End() || p.Reverse().End() != p.Start() {
			t.Fatal("the ends are not exchanged")
		}
	})
}

// No point of the curve is farther than the tolerance from its chords.
func TestFlatten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSegment(t)
		tol := rapid.SampledFrom([]float64{0.01, FlattenMM, 1}).Draw(t, "tol")
		points := Path{s}.Flatten(tol)
		if len(points) != (Path{s}).FlattenedLen(tol) {
			t.Fatal("FlattenedLen is not the length")
		}
		n := len(points) - 1
		for k := range n {
			for _, x := range []float64{0.25, 0.5, 0.75} {
				q := s.At((float64(k) + x) / float64(n))
				if _, off := Line(points[k], points[k+1]).nearest(q); off > tol+1e-9 {
					t.Fatalf("chord %d of %d is off by %g", k, n, off)
				}
			}
		}
	})
}

func requireNearest(t interface{ Fatalf(string, ...any) }, p Path, q orb.Point) {
	along, away := p.Nearest(q)
	at, _ := p.At(along)
	if math.Abs(plane.Distance(at, q)-away) > 1e-3 {
		t.Fatalf("%g mm along is %g mm away, not %g", along, plane.Distance(at, q), away)
	}
	for _, s := range p {
		for k := range 1001 {
			if d := plane.Distance(s.At(float64(k)/1000), q); d < away-1e-7 {
				t.Fatalf("%g mm away, but a sample is %g", away, d)
			}
		}
	}
}

// Curves that turn back within a hundredth of their way, or start at rest.
func TestNearestOnHairpins(t *testing.T) {
	requireNearest(t, Path{Quadratic(orb.Point{-151.5, -54.5}, orb.Point{0.25, -0.0625}, orb.Point{-1.5, -1})}, orb.Point{-0.375, -6.5})
	requireNearest(t, Path{Cubic(orb.Point{15.875, 1}, orb.Point{1, 1}, orb.Point{1.5e-5, 4.5e-13}, orb.Point{-1.2e-7, 3.6e-12})}, orb.Point{2.4e-7, 1})
	requireNearest(t, Path{Cubic(orb.Point{}, orb.Point{}, orb.Point{100, 0}, orb.Point{0, 0.01})}, orb.Point{50, 1})
}

func TestNearestAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPath(t)
		requireNearest(t, p, drawPoint(t, "q"))
	})
}

// A line crosses a cubic where a cubic polynomial is zero; its sign changes
// are counted on a fine grid.
func TestCrossingsAgainstSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSegment(t)
		a, b := drawPoint(t, "from"), drawPoint(t, "to")
		if plane.Distance(a, b) < 1 {
			t.Skip("a line of no length")
		}
		got := Crossings(Path{s}, Path{Line(a, b)})
		for _, c := range got {
			onP, _ := Path{s}.At(c.OnP)
			onQ, _ := Polyline(a, b).At(c.OnQ)
			if plane.Distance(onP, c.At) > 1e-3 || plane.Distance(onQ, c.At) > 1e-3 {
				t.Fatalf("%+v is %g off one path and %g off the other", c, plane.Distance(onP, c.At), plane.Distance(onQ, c.At))
			}
		}
		side := func(u float64) float64 {
			return plane.Cross(plane.Sub(b, a), plane.Sub(s.At(u), a)) / plane.Distance(a, b)
		}
		const n = 4000
		for k := range n {
			u, v := float64(k)/n, float64(k+1)/n
			// A clear change of sides, well within the line.
			if side(u)*side(v) >= 0 || math.Abs(side(u)) < 1e-3 || math.Abs(side(v)) < 1e-3 {
				continue
			}
			at := s.At(u + (v-u)*side(u)/(side(u)-side(v)))
			along := plane.Dot(plane.Sub(at, a), plane.Sub(b, a)) / plane.Distance(a, b)
			if along < 1 || along > plane.Distance(a, b)-1 {
				continue
			}
			near := math.Inf(1)
			for _, c := range got {
				near = math.Min(near, plane.Distance(c.At, at))
			}
			if near > 0.5 {
				t.Fatalf("the crossing near %v is missed: %v and %v–%v give %v", at, s, a, b, got)
			}
		}
	})
}

func TestCrossingsOfCurves(t *testing.T) {
	// Two circles of radius 50, 60 apart, meet at x 30, y ±40.
	round := func(cx float64) Path {
		const k = 0.5522847498307936 * 50
		return Path{
			Cubic(orb.Point{cx + 50, 0}, orb.Point{cx + 50, k}, orb.Point{cx + k, 50}, orb.Point{cx, 50}),
			Cubic(orb.Point{cx, 50}, orb.Point{cx - k, 50}, orb.Point{cx - 50, k}, orb.Point{cx - 50, 0}),
			Cubic(orb.Point{cx - 50, 0}, orb.Point{cx - 50, -k}, orb.Point{cx - k, -50}, orb.Point{cx, -50}),
			Cubic(orb.Point{cx, -50}, orb.Point{cx + k, -50}, orb.Point{cx + 50, -k}, orb.Point{cx + 50, 0}),
		}
	}
	got := Crossings(round(0), round(60))
	if assert.Len(t, got, 2) {
		for _, c := range got {
			assert.InDelta(t, 30, c.At[0], 0.02)
			assert.InDelta(t, 40, math.Abs(c.At[1]), 0.02)
		}
	}
	assert.Empty(t, Crossings(round(0), round(101)))
	corner := Polyline(orb.Point{0, 0}, orb.Point{50, 0}, orb.Point{50, 50})
	assert.Len(t, Crossings(corner, Polyline(orb.Point{40, -10}, orb.Point{60, 10})), 1, "through a corner, once")
}

// SVG's matrices: a translation after a turn is not one before it.
func TestMatrix(t *testing.T) {
	m := Turn(90, orb.Point{}).Then(Shift(10, 0))
	got := m.Apply(orb.Point{1, 0})
	assert.InDelta(t, 10, got[0], 1e-12)
	assert.InDelta(t, 1, got[1], 1e-12, "clockwise, y down")
	a := Align(orb.Point{1, 1}, orb.Point{2, 1}, orb.Point{5, 5}, orb.Point{5, 9})
	got = a.Apply(orb.Point{2, 1})
	assert.InDelta(t, 5, got[0], 1e-12)
	assert.InDelta(t, 6, got[1], 1e-12)
	got = Mirror(orb.Point{0, 0}, orb.Point{1, 1}).Apply(orb.Point{3, 0})
	assert.InDelta(t, 0, got[0], 1e-12)
	assert.InDelta(t, 3, got[1], 1e-12)
	assert.Equal(t, orb.Point{7, 8}, Identity.Apply(orb.Point{7, 8}))
}

// What D writes is a ten-thousandth of a millimetre true.
func TestPathData(t *testing.T) {
	p := Path{Line(orb.Point{0, -0.00001}, orb.Point{1.23456, 2}), Cubic(orb.Point{1.23456, 2}, orb.Point{3, 4}, orb.Point{5, 6}, orb.Point{7, 8.5})}
	assert.Equal(t, "M0,0 L1.2346,2 C3,4 5,6 7,8.5", p.D())
	assert.Equal(t, "", Path(nil).D())
}

func BenchmarkCrossings(b *testing.B) {
	p := Path{Cubic(orb.Point{0, 0}, orb.Point{100, -50}, orb.Point{200, 50}, orb.Point{300, 0}), Line(orb.Point{300, 0}, orb.Point{300, 400}), Line(orb.Point{300, 400}, orb.Point{0, 400}), Cubic(orb.Point{0, 400}, orb.Point{-20, 300}, orb.Point{30, 200}, orb.Point{0, 0})}
	q := Polyline(orb.Point{-50, 180}, orb.Point{350, 185})
	for b.Loop() {
		if len(Crossings(p, q)) != 2 {
			b.Fatal("two crossings")
		}
	}
}

func BenchmarkNearest(b *testing.B) {
	p := Path{Cubic(orb.Point{0, 0}, orb.Point{100, -50}, orb.Point{200, 50}, orb.Point{300, 0}), Line(orb.Point{300, 0}, orb.Point{300, 400}), Line(orb.Point{300, 400}, orb.Point{0, 400}), Cubic(orb.Point{0, 400}, orb.Point{-20, 300}, orb.Point{30, 200}, orb.Point{0, 0})}
	for b.Loop() {
		p.Nearest(orb.Point{150, 10})
	}
}
