package draw

import (
	"bytes"
	"fmt"
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// notched is a random piece of straight and curved edges, wide and narrow
// allowances, and notches anywhere on them, corners included.
func notched(t *rapid.T) *piece.Piece {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	p := &piece.Piece{Name: "piece", GrainDeg: 90, Count: 1}
	at := func(i int) orb.Point {
		a := 2 * math.Pi * (float64(i%n) + rapid.Float64Range(-0.3, 0.3).Draw(t, "turn")) / float64(n)
		r := rapid.Float64Range(60, 300).Draw(t, "radius")
		return orb.Point{r * math.Cos(a), r * math.Sin(a)}
	}
	widths := rapid.SampledFrom([][]float64{{4, 6, 10, 15, 25}, {2, 3, 4, 6}, {10}, {0}}).Draw(t, "allowances")
	points := make([]orb.Point, n)
	for i := range points {
		points[i] = at(i)
	}
	for i, a := range points {
		b := points[(i+1)%n]
		e := piece.Edge{
			Name: fmt.Sprint("edge-", i), Line: curve.Polyline(a, b),
			AllowanceMM: rapid.SampledFrom(widths).Draw(t, "allowance"),
		}
		if bend := rapid.Float64Range(-0.25, 0.25).Draw(t, "bend"); rapid.Bool().Draw(t, "curved") {
			side := func(f float64) orb.Point {
				return orb.Point{a[0] + f*(b[0]-a[0]) - bend*(b[1]-a[1]), a[1] + f*(b[1]-a[1]) + bend*(b[0]-a[0])}
			}
			e.Line = curve.Path{curve.Cubic(a, side(1.0/3), side(2.0/3), b)}
		}
		length := e.Line.Length()
		for range rapid.IntRange(0, 2).Draw(t, "notches") {
			e.Notches = append(e.Notches, piece.Notch{
				AtMM:  rapid.OneOf(rapid.Float64Range(0, length), rapid.SampledFrom([]float64{0, 3, length - 3, length})).Draw(t, "at"),
				Count: rapid.IntRange(1, 3).Draw(t, "count"),
			})
		}
		p.Outline = append(p.Outline, e)
	}
	if _, crossed := piece.SelfCrossing(p.Outline.Ring()); crossed || plane.SignedArea(p.Outline.Ring()) < 2000 {
		t.Skip("it crosses itself")
	}
	for i, e := range p.Outline {
		next := p.Outline[(i+1)%n].Line
		if math.Abs(e.Line[len(e.Line)-1].TurnDeg(next[0])) > 120 {
			t.Skip("a corner that nobody could sew")
		}
	}
	return p
}

// Each mark starts on the cutting line and goes inward by less than half of
// the allowance there, and of its own edge's: a snip along it can't come near
// the seam. Where there is as good as no allowance it goes outward. Marks of
// one notch lie apart.
func TestNotchMarksCanBeSnipped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := notched(t)
		cut, err := split.CutPath(p, p.Outline)
		if err != nil {
			t.Skip(err)
		}
		m := curve.Identity
		if rapid.Bool().Draw(t, "flipped") {
			m = curve.Matrix{-1, 0, 0, 1, 400, 0}
		}
		var edges []edge
		for _, e := range p.Outline.Transform(m) {
			edges = append(edges, edge{Edge: plan.Edge{AllowanceMM: e.AllowanceMM}, path: e.Line})
		}
		cut = cut.Transform(m)
		k := newMarker(cut, edges)
		seam, shears := p.Outline.Transform(m).Path().Ruler(), cut.Ruler()
		region := cut.Flatten(curve.FlattenMM)
		for _, e := range p.Outline {
			for _, n := range e.Notches {
				at, dir := e.Line.At(n.AtMM)
				marks := k.marks(m.Apply(at), pageWay(plan.Point{dir[1], -dir[0]}, m), n.Count)
				if len(marks) != n.Count {
					t.Fatalf("%d marks for a notch of %d", len(marks), n.Count)
				}
				for i, mark := range marks {
					from, to := mark.Start(), mark.End()
					if _, off := shears.Nearest(from); off > 0.05 {
						t.Fatalf("a mark starts %.3f mm off the cutting line", off)
					}
					_, deep := seam.Nearest(from)
					_, left := seam.Nearest(to)
					allowance := deep
					if e.AllowanceMM >= bareMM {
						allowance = math.Min(deep, e.AllowanceMM)
					}
					switch {
					case deep < bareMM: // a tab
						if math.Abs(mark.Length()-tabMM) > 1e-6 {
							t.Fatalf("a tab %.2f mm long", mark.Length())
						}
					case mark.Length() >= allowance/2 || left <= deep/2:
						t.Fatalf("a mark %.2f mm long, %.2f mm from the seam, in an allowance of %.2f mm", mark.Length(), left, allowance)
					case mark.Length() < 0.35*bareMM:
						t.Fatalf("a mark of %.2f mm can't be seen", mark.Length())
					default:
						middle, _ := mark.At(mark.Length() / 2)
						if _, off := shears.Nearest(middle); off > 0.05 && !plane.Holds(region, middle) {
							t.Fatalf("a mark goes outward where there are %.2f mm of allowance", deep)
						}
					}
					if i > 0 && plane.Distance(marks[i-1].Start(), from) < 1.9 {
						t.Fatalf("two marks are %.2f mm apart", plane.Distance(marks[i-1].Start(), from))
					}
				}
			}
		}
	})
}

// The mark at the point of a slit goes on into the cloth and leans to neither side,
// though the cutting line turns there before its own mouth is reached.
func TestNotchMarkAtThePointOfASlit(t *testing.T) {
	for _, deep := range []float64{60, 150, 350} {
		p := &piece.Piece{Name: "piece", GrainDeg: 90, Count: 1, Outline: piece.Outline{
			{AllowanceMM: 10, Line: curve.Polyline(orb.Point{150, 0}, orb.Point{200, deep}), Notches: []piece.Notch{{AtMM: math.Hypot(50, deep), Count: 1}}},
			{AllowanceMM: 10, Line: curve.Polyline(orb.Point{200, deep}, orb.Point{250, 0})},
			{AllowanceMM: 10, Line: curve.Polyline(orb.Point{250, 0}, orb.Point{400, 0}, orb.Point{400, 400}, orb.Point{0, 400}, orb.Point{0, 0}, orb.Point{150, 0})},
		}}
		cut, err := split.CutPath(p, p.Outline)
		require.NoError(t, err)
		shape, err := PieceShape(p, cut)
		require.NoError(t, err)
		for _, l := range shape.Lines {
			if l.Word != "snip" {
				continue
			}
			require.InDelta(t, 200, l.Path.Start()[0], 1e-3)
			require.InDelta(t, 200, l.Path.End()[0], 1e-3)
			require.Greater(t, l.Path.End()[1], l.Path.Start()[1]+3)
		}
	}
}

// A reader finds each notch of a drawn piece where it is on the seam line,
// though its marks don't reach it.
func TestNotchMarksAreReadOnTheSeamLine(t *testing.T) {
	for _, allowance := range []float64{0, 3, 6, 10, 16, 25, 40} {
		for count := 1; count <= 3; count++ {
			p := &piece.Piece{Name: "piece", GrainDeg: 90, Count: 1, Outline: piece.Outline{
				{Name: "top", Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200, 0})},
				{Name: "side", Line: curve.Polyline(orb.Point{200, 0}, orb.Point{180, 300})},
				{Name: "hem", Line: curve.Polyline(orb.Point{180, 300}, orb.Point{0, 300})},
				{Name: "armhole", Line: curve.Path{curve.Cubic(orb.Point{0, 300}, orb.Point{60, 200}, orb.Point{60, 100}, orb.Point{0, 0})}},
			}}
			for i := range p.Outline {
				e := &p.Outline[i]
				e.AllowanceMM = allowance
				e.Notches = []piece.Notch{{AtMM: 30, Count: count}, {AtMM: e.Line.Length() - 60, Count: 1}}
			}
			cut, err := split.CutPath(p, p.Outline)
			require.NoError(t, err)
			s, err := PieceShape(p, cut)
			require.NoError(t, err)
			var b bytes.Buffer
			c := begin(&b, s.Name, s.Bound().Pad(marginMM))
			c.part(s, 0, 0, []Shape{s})
			require.NoError(t, c.end())
			got, err := svg.Pattern(&b, "piece.svg")
			require.NoError(t, err)
			for _, e := range got[0].Outline {
				want := p.Outline[p.Outline.Edge(e.Name)[0]]
				require.Len(t, e.Notches, 2, e.Name)
				for i, n := range e.Notches {
					require.Equal(t, want.Notches[i].Count, n.Count)
					require.InDelta(t, want.Notches[i].AtMM, n.AtMM, 0.1, "%s, allowance %g", e.Name, allowance)
				}
			}
		}
	}
}
