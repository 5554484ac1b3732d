package rest

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func sheet(w, h float64) piece.Scrap {
	return piece.Scrap{Name: "navy 1", Outline: orb.Ring{{0, 0}, {w, 0}, {w, h}, {0, h}}, GrainDeg: 90, Count: 1}
}

func given(widthMM float64, pile ...piece.Scrap) []Gives {
	var all []*Measured
	for i := range pile {
		all = append(all, Measure(&pile[i], widthMM))
	}
	return Of(all, widthMM)
}

const inch = 25.4

// The rule of quilting handbooks for bias tape is that a square gives its area
// divided by the tape's width: for 400 in of tape 2 1/2 in wide a square of
// 32 in, the root of 1,000 (from memory). It takes no account of the corners, the
// joins and the last lane, which is not full, so less comes of it, here by a
// seventh, and never more.
func TestTapeOfAHandbooksSquare(t *testing.T) {
	width := 2.5 * inch
	g := given(width, sheet(32*inch, 32*inch))[0]
	rule := 32 * inch * 32 * inch / width
	require.Less(t, g.Tape.LengthMM(), rule)
	require.Greater(t, g.Tape.LengthMM(), rule*5/6)
	require.Less(t, g.ContinuousMM, rule)
	require.Greater(t, g.ContinuousMM, rule*6/7)
	// Worked by hand: lanes fill 8 widths of the half diagonal less the seam's
	// allowances, and each is the diagonal less those of the tube's seam.
	require.InDelta(t, 8*math.Sqrt2*(32-0.5)*inch, g.ContinuousMM, 0.1)
	require.InDelta(t, 32*inch, g.Square.LengthMM, 0.1)
	require.Equal(t, len(g.Tape.Strips)-1, g.Tape.Joins())
}

// Of a strip of cloth that lies along the bias everything is tape: no join.
func TestTapeOfAScrapOnTheBias(t *testing.T) {
	s := sheet(50, 600)
	s.GrainDeg = 45
	g := given(50, s)[0]
	require.Len(t, g.Tape.Strips, 1)
	require.InDelta(t, 550, g.Tape.LengthMM(), 1e-6, "one end is cut to the slant of the other")
	require.Empty(t, given(51, s)[0].Tape.Strips)
}

func TestRectangles(t *testing.T) {
	l := sheet(400, 300)
	l.Outline = orb.Ring{{0, 0}, {400, 0}, {400, 100}, {150, 100}, {150, 300}, {0, 300}}
	for _, tt := range []struct {
		name                  string
		scrap                 piece.Scrap
		length, width, square float64
	}{
		{"a rectangle", sheet(400, 300), 300, 400, 300},
		{"an L", l, 300, 150, 150},
		{"a triangle", piece.Scrap{Outline: orb.Ring{{0, 0}, {400, 0}, {0, 300}}, GrainDeg: 90}, 150, 200, 400 * 300 / 700.0},
		{"a rectangle with a hole", piece.Scrap{Outline: sheet(400, 300).Outline, Holes: []orb.Ring{{{100, 100}, {120, 100}, {120, 120}, {100, 120}}}, GrainDeg: 90}, 300, 280, 280},
		{"a diamond", piece.Scrap{Outline: orb.Ring{{200, 0}, {400, 200}, {200, 400}, {0, 200}}, GrainDeg: 90}, 200, 200, 200},
		{"the grain across", piece.Scrap{Outline: sheet(400, 300).Outline, GrainDeg: 180}, 400, 300, 300},
	} {
		s := tt.scrap
		m := Measure(&s, 35)
		require.InDelta(t, tt.length*tt.width, m.rectangle.area(), 0.002*tt.length*tt.width, tt.name)
		require.InDelta(t, tt.square, m.square.LengthMM, 0.2, tt.name)
		if tt.name != "a triangle" && tt.name != "a diamond" { // others are as large
			require.InDelta(t, tt.length, m.rectangle.LengthMM, 0.2, tt.name)
		}
	}
}

func TestFabricsOfAPile(t *testing.T) {
	a, b, c := sheet(400, 300), sheet(500, 500), sheet(200, 200)
	b.Name, b.Fabric = "skirt", "Navy"
	c.Name, c.Count = "cream, 1", 3
	g := given(35, a, b, c)
	require.Len(t, g, 2)
	require.Equal(t, "navy", g[0].Fabric)
	require.Equal(t, 2, g[0].Scraps)
	require.Equal(t, "skirt", g[0].Square.Scrap)
	require.Equal(t, "cream", g[1].Fabric)
	require.Equal(t, 3, g[1].Scraps)
	require.InDelta(t, 3*200*200, g[1].AreaMM2, 1e-6)
	one := given(35, sheet(200, 200))[0].Tape
	require.InDelta(t, 3*one.LengthMM()-2*joinLossMM, g[1].Tape.LengthMM(), 1e-6)
}

// Whatever the cloth: strips and rectangles lie on it by another library, clear
// of its holes and of each other, at the angle they are said to have, and are as
// long as is told.
func TestNeverMoreThanFits(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		star := func(x, y, r float64, n int) (out orb.Ring) {
			for i := range n {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
				l := rapid.Float64Range(0.4, 1).Draw(t, "reach") * r
				out = append(out, orb.Point{x + l*cos, y + l*sin})
			}
			return out
		}
		s := piece.Scrap{Name: "navy", Outline: star(0, 0, 400, rapid.IntRange(3, 24).Draw(t, "corners")), GrainDeg: rapid.Float64Range(0, 360).Draw(t, "grain"), Count: 1}
		s.BothFaces = rapid.Bool().Draw(t, "both faces")
		if rapid.Bool().Draw(t, "a rectangle") {
			s.Outline, s.GrainDeg = sheet(500, 300).Outline, 90
		}
		if rapid.Bool().Draw(t, "a hole") {
			s.Holes = []orb.Ring{star(30, 40, 60, 7)}
		}
		width := rapid.Float64Range(10, 60).Draw(t, "width")
		cloth := polygon(t, s.Outline)
		for _, h := range s.Holes {
			var err error
			cloth, err = geom.Difference(cloth, polygon(t, h))
			require.NoError(t, err)
		}
		onCloth := func(corners [4]orb.Point) geom.Geometry {
			g := polygon(t, orb.Ring(corners[:]))
			off, err := geom.Difference(g, cloth)
			require.NoError(t, err)
			require.Less(t, off.Area(), 1e-6, "it is off the cloth")
			return g
		}
		m := Measure(&s, width)
		g := Of([]*Measured{m}, width)[0]
		sum := 0.0
		var laid []geom.Geometry
		for _, strip := range g.Tape.Strips {
			on := onCloth(strip.Corners)
			for _, other := range laid {
				both, err := geom.Intersection(on, other)
				require.NoError(t, err)
				require.Less(t, both.Area(), 1e-6)
			}
			laid = append(laid, on)
			require.InDelta(t, strip.LengthMM*width, plane.Area(strip.Corners[:]), 1e-5)
			along := plane.Sub(strip.Corners[3], strip.Corners[0])
			off := math.Atan2(along[1], along[0])*180/math.Pi - s.GrainDeg
			require.InDelta(t, 45, math.Abs(math.Remainder(off, 90)), 1e-6)
			sum += strip.LengthMM
		}
		require.LessOrEqual(t, g.Tape.LengthMM(), math.Max(0, sum-joinLossMM*float64(g.Tape.Joins()))+1e-6)
		require.LessOrEqual(t, g.Tape.LengthMM(), s.AreaMM2()/width)
		for _, r := range []Rectangle{g.Rectangle, g.Square} {
			if r.area() == 0 {
				continue
			}
			onCloth(r.Corners)
			require.InDelta(t, r.area(), plane.Area(r.Corners[:]), 1e-5)
			along := plane.Sub(r.Corners[3], r.Corners[0])
			require.InDelta(t, 0, math.Remainder(math.Atan2(along[1], along[0])*180/math.Pi-s.GrainDeg, 180), 1e-6, "its length is along the grain")
		}
		require.LessOrEqual(t, g.Square.LengthMM*g.Square.LengthMM, g.Rectangle.area()*1.02+25)
		require.LessOrEqual(t, g.ContinuousMM, g.Square.area()/width)
	})
}

func polygon(t require.TestingT, r orb.Ring) geom.Geometry {
	var xy []float64
	for _, q := range plane.Close(r) {
		xy = append(xy, q[0], q[1])
	}
	p := geom.NewSingleRingPolygonXY(xy...)
	require.NoError(t, p.Validate())
	return p.AsGeometry()
}

func BenchmarkMeasure(b *testing.B) {
	s := sheet(600, 600)
	s.Outline = nil
	for i := range 300 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 300)
		r := 300 + 60*math.Sin(float64(i)/9)
		s.Outline = append(s.Outline, orb.Point{r * cos, r * sin})
	}
	for b.Loop() {
		Measure(&s, 35)
	}
}
