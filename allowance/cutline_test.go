package allowance

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// polygonOf puts the points on a grid: overlays of outlines whose points differ
// in the last digit come out wrong now and then.
func polygonOf(r orb.Ring) geom.Geometry {
	flat := make([]float64, 0, 2*len(r)+2)
	for _, p := range plane.Close(r) {
		flat = append(flat, math.Round(p[0]*1e6)/1e6, math.Round(p[1]*1e6)/1e6)
	}
	return geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(flat, geom.DimXY))}).AsGeometry()
}

func lineOf(points ...orb.Point) geom.Geometry {
	var flat []float64
	for _, p := range points {
		flat = append(flat, p[0], p[1])
	}
	return geom.NewLineString(geom.NewSequence(flat, geom.DimXY)).AsGeometry()
}

// With one allowance all round, what the seam line's sides reach, as another
// library's buffer draws it, is all inside the cutting line.
func TestCutLineHoldsTheBuffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := randomOutline(t)
		ring, err := CutLineWith(o, Corners{CarryOn: true})
		require.NoError(t, err)
		cut := polygonOf(ring)
		require.NoError(t, cut.Validate())
		sides, err := sidesOf(o)
		require.NoError(t, err)
		for _, s := range sides {
			if s.allowance == 0 {
				continue
			}
			grown, err := geom.Buffer(lineOf(s.from, s.to), s.allowance-0.001, geom.BufferQuadSegments(16))
			require.NoError(t, err)
			missing, err := geom.Difference(grown, cut)
			require.NoError(t, err)
			require.Less(t, missing.Area(), 1e-3, "side %v", s)
		}
	})
}

// Whatever the corners, each edge's strip is there, and so is the round of the
// smaller allowance at each convex corner.
func TestCutLineHoldsEveryStrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := randomOutline(t)
		for i := range o {
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				o[i].Seam = "A"
			case 1:
				o[i].Name = "hem"
			}
		}
		ring, err := CutLine(o)
		require.NoError(t, err)
		require.Positive(t, plane.SignedArea(ring))
		_, crossed := piece.SelfCrossing(ring)
		require.False(t, crossed)
		cut := polygonOf(ring)
		require.NoError(t, cut.Validate())
		sides, err := sidesOf(o)
		require.NoError(t, err)
		want := []geom.Geometry{polygonOf(o.Ring())}
		for i, s := range sides {
			if s.allowance > 0 {
				want = append(want, polygonOf(orb.Ring{s.from, plane.Along(s.from, s.out, s.allowance), plane.Along(s.to, s.out, s.allowance), s.to}))
			}
			before := sides[(i+len(sides)-1)%len(sides)]
			least := math.Min(s.allowance, before.allowance)
			if turn := math.Atan2(plane.Cross(before.along, s.along), plane.Dot(before.along, s.along)); turn > 1e-3 && least > 0 {
				sector := orb.Ring{s.from}
				for k := range 9 {
					sin, cos := math.Sincos(turn * float64(k) / 8)
					sector = append(sector, plane.Along(s.from, orb.Point{cos*before.out[0] - sin*before.out[1], sin*before.out[0] + cos*before.out[1]}, least))
				}
				want = append(want, polygonOf(sector))
			}
		}
		for _, g := range want {
			missing, err := geom.Difference(g, cut)
			require.NoError(t, err)
			require.Less(t, missing.Area(), 1e-3)
		}
	})
}

// Outlines on a coarse square grid, with slots exactly as wide as the two
// allowances in them and edges that run into each other, are where rounding
// would show.
func TestCutLineOnAGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := combOutline(t)
		ring, err := CutLine(o)
		require.NoError(t, err)
		_, crossed := piece.SelfCrossing(ring)
		require.False(t, crossed)
		cut := polygonOf(ring)
		require.NoError(t, cut.Validate())
		for _, e := range o {
			grown, err := geom.Buffer(lineOf(e.Line.Start(), e.Line.End()), e.AllowanceMM-0.001, geom.BufferQuadSegments(4))
			require.NoError(t, err)
			missing, err := geom.Difference(grown, cut)
			require.NoError(t, err)
			require.Less(t, missing.Area(), 1e-3)
		}
	})
}

func TestCutLineRefuses(t *testing.T) {
	square := polygon(10, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{0, 100})
	square[1].AllowanceMM = -1
	_, err := CutLine(square)
	require.ErrorContains(t, err, "edge 2 of 4 has the seam allowance -1 mm")
	square[1].AllowanceMM = math.NaN()
	_, err = CutLine(square)
	require.ErrorContains(t, err, "NaN")
	_, err = CutLine(polygon(10, orb.Point{0, 0}, orb.Point{0, 100}, orb.Point{100, 100}))
	require.ErrorContains(t, err, "clockwise")
	_, err = CutLine(nil)
	require.Error(t, err)
}

// The corners of a square of 100 mm, worked by hand.
func TestCorners(t *testing.T) {
	square := func(change func(piece.Outline)) piece.Outline {
		o := polygon(10, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 100}, orb.Point{0, 100})
		change(o)
		return o
	}
	for _, c := range []struct {
		name string
		o    piece.Outline
		r    Corners
		want orb.Ring
	}{
		{"mitred", square(func(piece.Outline) {}), Corners{}, orb.Ring{{-10, -10}, {110, -10}, {110, 110}, {-10, 110}}},
		{"a wide edge", square(func(o piece.Outline) { o[2].AllowanceMM = 30 }), Corners{}, orb.Ring{{-10, -10}, {110, -10}, {110, 130}, {-10, 130}}},
		{"no allowance on a fold", square(func(o piece.Outline) { o[3].AllowanceMM = 0 }), Corners{}, orb.Ring{{0, -10}, {110, -10}, {110, 110}, {0, 110}}},
		{"a change of width on a straight line steps square", append(square(func(piece.Outline) {})[:2],
			piece.Edge{Line: curve.Polyline(orb.Point{100, 100}, orb.Point{50, 100}), AllowanceMM: 30},
			piece.Edge{Line: curve.Polyline(orb.Point{50, 100}, orb.Point{0, 100}), AllowanceMM: 10},
			piece.Edge{Line: curve.Polyline(orb.Point{0, 100}, orb.Point{0, 0}), AllowanceMM: 10}), Corners{},
			orb.Ring{{-10, -10}, {110, -10}, {110, 130}, {50, 130}, {50, 110}, {-10, 110}}},
		// A right triangle, 45° at two corners, whose mitres of 10/sin 22.5° =
		// 26.13 mm are blunted 20 mm from the corner. On the upper line, 10
		// mm out, that is (20 - 10 sin 22.5°)/cos 22.5° = 17.506 mm past it.
		{"blunted", polygon(10, orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{0, 200}), Corners{},
			orb.Ring{{-10, -10}, {217.5057, -10}, {219.4496, -5.3073}, {-5.3073, 219.4496}, {-10, 217.5057}}},
		// Sides that flare by atan(0.2) toward the hem at the bottom. Their
		// cutting lines, 10 mm out, are 10 sqrt(1.04) = 10.198 mm beside the
		// ends of the hem; folded back, 20 mm lower, 20 x 0.2 = 4 mm less.
		{"hem turned back", flared("hem"), Corners{},
			orb.Ring{{-8.1980, -10}, {108.1980, -10}, {130.1980, 100}, {126.1980, 120}, {-26.1980, 120}, {-30.1980, 100}}},
		{"hem mitred on request", flared("hem"), Corners{Hem: Mitre},
			orb.Ring{{-8.1980, -10}, {108.1980, -10}, {134.1980, 120}, {-34.1980, 120}}},
		{"the end of a piecing seam is square", flared("A"), Corners{},
			orb.Ring{{-8.1980, -10}, {108.1980, -10}, {130.1980, 100}, {130.1980, 120}, {-30.1980, 120}, {-30.1980, 100}}},
	} {
		got, err := CutLineWith(c.o, c.r)
		require.NoError(t, err, c.name)
		sameRing(t, c.name, c.want, got)
	}
}

// Whatever the slant of the sides, the two parts' allowances end in the same
// places when one part is laid on the other, seam to seam, to be sewn.
func TestPiecingSeamEndsLineUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string) float64 { return rapid.Float64Range(-60, 60).Draw(t, name) }
		o := polygon(12, orb.Point{f("a"), f("b")}, orb.Point{300 + f("c"), f("d")}, orb.Point{300 + f("e"), 400}, orb.Point{f("f"), 400})
		line := curve.Polyline(orb.Point{-300, 200 + f("g")}, orb.Point{700, 200 + f("h")})
		near, far := cutInTwo(t, o, line)
		// The ends of the allowance's own edge: on the line 10 mm past the seam.
		ends := func(part piece.Outline) []orb.Point {
			ring, err := CutLine(part)
			require.NoError(t, err)
			seam := seamOf(t, part).Line
			_, along := seam.At(0)
			var out []orb.Point
			for _, p := range ring {
				if depth := -plane.Cross(along, plane.Sub(p, seam.Start())); math.Abs(depth-10) < 1e-6 {
					out = append(out, p)
				}
			}
			require.Len(t, out, 2)
			return out
		}
		a, b := ends(near), ends(far)
		seam := seamOf(t, far).Line
		over := curve.Mirror(seam.Start(), seam.End())
		for k := range a {
			require.Less(t, math.Min(plane.Distance(a[k], over.Apply(b[0])), plane.Distance(a[k], over.Apply(b[1]))), 1e-6)
		}
	})
}

// flared is 100 mm wide at the top and 140 mm at the bottom, 100 mm lower,
// where it has a hem or a piecing seam with 20 mm of allowance.
func flared(bottom string) piece.Outline {
	o := polygon(10, orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{120, 100}, orb.Point{-20, 100})
	o[2].AllowanceMM = 20
	if bottom == "hem" {
		o[2].Name = bottom
	} else {
		o[2].Seam = bottom
	}
	return o
}

// sameRing wants the same corners within a micrometre, wherever each ring
// starts. Points that lie on a straight side do not count.
func sameRing(t *testing.T, name string, want, got orb.Ring) {
	t.Helper()
	var corners orb.Ring
	for i, p := range got {
		a, b := got[(i+len(got)-1)%len(got)], got[(i+1)%len(got)]
		if math.Abs(plane.Cross(plane.Sub(p, a), plane.Sub(b, p))) > 1e-6 {
			corners = append(corners, p)
		}
	}
	require.Len(t, corners, len(want), "%s: %v", name, corners)
	for shift := range corners {
		worst := 0.0
		for i, p := range want {
			worst = math.Max(worst, plane.Distance(p, corners[(i+shift)%len(corners)]))
		}
		if worst < 1e-3 {
			return
		}
	}
	require.Failf(t, name, "want %v\ngot  %v", want, corners)
}

func BenchmarkCutLine(b *testing.B) {
	o := bodice()
	for b.Loop() {
		if _, err := CutLine(o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(o.Ring())), "points")
}

// The neck a narrow slit of 12 mm, which fills, so that what folds over must
// be sorted out.
func BenchmarkCutLineWithLoops(b *testing.B) {
	o := bodice()
	pt := func(x, y float64) orb.Point { return orb.Point{x, y} }
	o[7].Line = curve.Path{
		curve.Cubic(pt(-80, 0), pt(-60, 5), pt(-6, 10), pt(-6, 60)), curve.Line(pt(-6, 60), pt(-6, 120)),
		curve.Cubic(pt(-6, 120), pt(-6, 128), pt(6, 128), pt(6, 120)), curve.Line(pt(6, 120), pt(6, 60)),
		curve.Cubic(pt(6, 60), pt(6, 10), pt(60, 5), pt(80, 0)),
	}
	for b.Loop() {
		if _, err := CutLine(o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(o.Ring())), "points")
}

// A stub of a tight curve, narrower than its own allowance, has it all the
// same where the next edge has less.
func TestAllowanceOfAStub(t *testing.T) {
	for _, tt := range []struct {
		stub       curve.Segment
		wide, next float64
	}{
		{curve.Cubic(orb.Point{-60.1, 0}, orb.Point{-60.1, 0.3}, orb.Point{-60.06, 0.56}, orb.Point{-60, 0.84}), 10, 6.35},
		{curve.Cubic(orb.Point{-61.86, 0}, orb.Point{-61.86, 1}, orb.Point{-61.1, 1.95}, orb.Point{-59.68, 2.82}), 10, 0},
		{curve.Cubic(orb.Point{-61.86, 0}, orb.Point{-61.86, 1}, orb.Point{-61.1, 1.95}, orb.Point{-59.68, 2.82}), 30, 6},
	} {
		from, to := tt.stub.P0, tt.stub.P1
		o := piece.Outline{
			{Name: "hem", Line: curve.Polyline(orb.Point{to[0], 558}, orb.Point{-219, 558}), AllowanceMM: 10},
			{Name: "side", Line: curve.Polyline(orb.Point{-219, 558}, from), AllowanceMM: 10},
			{Name: "neck", Line: curve.Path{tt.stub}, AllowanceMM: tt.wide},
			{Seam: "D", Line: curve.Polyline(to, orb.Point{to[0], 558}), AllowanceMM: tt.next},
		}
		ring, err := CutLine(o)
		require.NoError(t, err)
		length := o[2].Line.Length()
		for k := range 20 {
			q, dir := o[2].Line.At(0.06 + (length-0.12)*float64(k)/19)
			for _, part := range []float64{0.3, 0.6, 0.9, 1} {
				out := plane.Along(q, orb.Point{dir[1], -dir[0]}, part*(tt.wide-0.06))
				require.True(t, planar.RingContains(ring, out), "%g of %g mm out at %v, beside %g mm", part, tt.wide, q, tt.next)
			}
		}
	}
}

// Where the allowance changes in the middle of a curve, as at the top of a
// sleeve cap, the wider one reaches as far as the curve itself goes, which
// leans on past the last straight side that stands for it.
func TestAllowanceChangesOnACurve(t *testing.T) {
	top := orb.Point{0, 0}
	back := curve.Cubic(top, orb.Point{71, 0}, orb.Point{78, 107}, orb.Point{142, 107})
	front := curve.Cubic(orb.Point{-138, 107}, orb.Point{-71, 107}, orb.Point{-71, 0}, top)
	for _, mm := range [][2]float64{{12.7, 10}, {10, 12.7}, {10, 0}, {0, 10}, {30, 3}, {3, 30}} {
		o := piece.Outline{
			{Name: "back", Line: curve.Path{back}, AllowanceMM: mm[0]},
			{Name: "hem", Line: curve.Polyline(back.P1, orb.Point{120, 150}, orb.Point{-118, 150}, front.P0), AllowanceMM: 10},
			{Name: "front", Line: curve.Path{front}, AllowanceMM: mm[1]},
		}
		ring, err := CutLine(o)
		require.NoError(t, err)
		for i, at := range []float64{0.001, o[2].Line.Length() - 0.001} {
			e := o[2*i]
			q, dir := e.Line.At(at)
			for _, part := range []float64{0.3, 0.6, 0.9, 0.999} {
				out := plane.Along(q, orb.Point{dir[1], -dir[0]}, part*e.AllowanceMM-0.01)
				require.True(t, e.AllowanceMM == 0 || planar.RingContains(ring, out), "%s has not its %g mm beside %g", e.Name, e.AllowanceMM, mm[1-i])
			}
		}
	}
}

// A curve with the wider allowance that ends at a concave corner: square to its
// last chord the allowance sticks out of the neighbour's by a hair, but it leans
// on past that into it. The line turns where the two cutting lines cross.
// Found by TestCutLineHoldsTheBuffer.
func TestCutLineWhereAWiderCurveLeansIn(t *testing.T) {
	edge := func(mm float64, s curve.Segment) piece.Edge {
		return piece.Edge{Line: curve.Path{s}, AllowanceMM: mm}
	}
	p := []orb.Point{{-3.747626291714492, 19.645745014573773}, {-207.29285274597038, 150.218751161223}, {-19.842294026289558, -2.506664671286086}, {124.54012206497269, -380.1180842791378}, {203.20509856834283, 6.224682392310093}}
	o := piece.Outline{
		edge(10, curve.Line(p[0], p[1])),
		edge(10, curve.Cubic(p[1], orb.Point{-144.80933317274344, 99.3102792170533}, orb.Point{-104.56077472156733, 21.111288123079998}, p[2])),
		edge(6, curve.Line(p[2], p[3])),
		edge(10, curve.Line(p[3], p[4])),
		edge(10, curve.Line(p[4], p[0])),
	}
	ring, err := CutLine(o)
	require.NoError(t, err)
	sides, err := sidesOf(o)
	require.NoError(t, err)
	for _, s := range sides {
		strip := polygonOf(orb.Ring{s.from, plane.Along(s.from, s.out, s.allowance), plane.Along(s.to, s.out, s.allowance), s.to})
		missing, err := geom.Difference(strip, polygonOf(ring))
		require.NoError(t, err)
		require.Less(t, missing.Area(), 1e-3, "beside edge %d", s.edge)
	}
}

// A wider edge that ends in a bend of less than half a millimetre, which is one
// side or two when it is flattened: straight out from the bend, and as far as
// the allowance is wide, all is within the cutting line.
func TestCutLineRoundATightBend(t *testing.T) {
	for _, c := range []struct{ radius, wide, next float64 }{
		{0.1, 10, 0}, {0.1, 30, 10}, {0.3, 10, 6}, {0.5, 30, 10}, {2, 30, 10},
	} {
		for _, turnDeg := range []float64{30, 60, 90, 120} {
			// An arc to the right of the edge's end, as one cubic.
			turn := turnDeg * math.Pi / 180
			sin, cos := math.Sincos(turn)
			h := 4.0 / 3 * math.Tan(turn/4) * c.radius
			from, to := orb.Point{200, 0}, orb.Point{200 + c.radius*sin, c.radius * (1 - cos)}
			bend := curve.Cubic(from, orb.Point{from[0] + h, 0}, orb.Point{to[0] - h*cos, to[1] - h*sin}, to)
			side := plane.Along(to, orb.Point{cos, sin}, 150)
			low := math.Max(200, side[1]+20)
			o := piece.Outline{
				{Line: curve.Path{curve.Line(orb.Point{}, from), bend}, AllowanceMM: c.wide},
				{Line: curve.Polyline(to, side), AllowanceMM: c.next},
				{Line: curve.Polyline(side, orb.Point{side[0] - 10, low}, orb.Point{0, low}, orb.Point{}), AllowanceMM: 10},
			}
			ring, err := CutLine(o)
			require.NoError(t, err)
			for k := range 41 {
				u := bend.Tangent(float64(k) / 40)
				q := plane.Along(bend.At(float64(k)/40), orb.Point{u[1], -u[0]}, c.wide)
				require.False(t, outsideBy(ring, q, curve.FlattenMM), "%+v, %g degrees: %d/40 along the bend", c, turnDeg, k)
			}
		}
	}
}
