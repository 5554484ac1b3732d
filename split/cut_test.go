package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawnPiece is a piece with a grain down the page.
func drawnPiece(t tester, outline curve.Path, notches ...orb.Point) *piece.Piece {
	mid := outline.Bound().Center()
	d := piece.Draft{
		Name: "piece", AllowanceMM: 10, Outline: piece.DraftLine{Closed: true, Line: outline},
		Grains: []piece.DraftLine{{Line: curve.Polyline(mid, orb.Point{mid[0], mid[1] + 50})}},
	}
	for _, q := range notches {
		d.Notches = append(d.Notches, piece.DraftLine{Point: q})
	}
	p, err := piece.Make(d)
	require.NoError(t, err)
	return p
}

func polygon(points ...orb.Point) curve.Path { return curve.Polyline(append(points, points[0])...) }

// A piece that is not split has the very segments that were drawn, whatever
// the sample.
func TestWholePieceKeepsItsCurves(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "raglan-child.svg", "blouse.svg"} {
		copies := sample(t, name)
		_, d := proved(t, cutting(copies, "", nil), copies)
		for k, part := range d.Options[0].Parts {
			require.Equal(t, d.Pieces[k].SeamLine, part.SeamLine)
			require.Len(t, part.Edges, len(copies[k].Outline))
			for i, e := range part.Edges {
				require.Equal(t, copies[k].Outline[i].Line.D(), e.D, "%s/%s", part.Name, e.Name)
			}
		}
		require.Empty(t, d.Options[0].Moved)
	}
}

// Segments that a cut does not touch stay as they are, and those it does are
// the same curve, up to the parameter.
func TestCutKeepsSegments(t *testing.T) {
	front := only(sample(t, "tshirt.svg"), "front")[0]
	b := split.NewBody(front, front.Outline)
	whole := front.Outline.Path()
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SampledFrom([]split.Way{split.Yoke{}, split.Panel{}, split.CurvedYoke{}, split.Corner{Deg: 40}}).Draw(t, "way")
		s := rapid.SampledFrom(w.Spans(b)).Draw(t, "span")
		level := s.Lo + rapid.Float64Range(0, 1).Draw(t, "of it")*(s.Hi-s.Lo)
		near, far, seam, err := split.Cut(front.Outline, w.Line(b, level), split.Seam{Name: "A", AllowanceMM: 10})
		require.NoError(t, err)
		has := map[curve.Segment]bool{}
		for _, s := range whole {
			has[s] = true
		}
		cut := 0
		for _, part := range []piece.Outline{near, far} {
			for _, e := range part {
				if e.Seam != "" {
					require.True(t, e.Line.D() == seam.D() || e.Line.Reverse().D() == seam.D())
					continue
				}
				for _, s := range e.Line {
					if !has[s] {
						cut++
						for _, f := range []float64{0, 0.3, 0.7, 1} {
							q, _ := curve.Path{s}.At(f * s.Length())
							_, away := whole.Nearest(q)
							require.Less(t, away, 1e-3)
						}
					}
				}
			}
		}
		require.LessOrEqual(t, cut, 6) // two crossings, each cutting one segment in two, and their neighbours' ends
		require.InDelta(t, whole.Length()+2*seam.Length(), near.Length()+far.Length(), 0.01)
		require.InDelta(t, plane.SignedArea(front.Outline.Ring()), plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 5)
	})
}

// Lines that do not leave exactly two parts.
func TestCutRefuses(t *testing.T) {
	// A U: two legs of 60 mm, 100 mm deep, joined at the bottom.
	u := drawnPiece(t, polygon(orb.Point{0, 0}, orb.Point{60, 0}, orb.Point{60, 100}, orb.Point{140, 100}, orb.Point{140, 0}, orb.Point{200, 0}, orb.Point{200, 200}, orb.Point{0, 200}))
	for name, line := range map[string]curve.Path{
		"beside it":                     curve.Polyline(orb.Point{-50, 300}, orb.Point{250, 300}),
		"along an edge":                 curve.Polyline(orb.Point{-50, 200}, orb.Point{250, 200}),
		"along the bottom of the slot":  curve.Polyline(orb.Point{-50, 0}, orb.Point{250, 0}),
		"through both legs":             curve.Polyline(orb.Point{-50, 50}, orb.Point{250, 50}),
		"touching a corner":             curve.Polyline(orb.Point{-50, -50}, orb.Point{50, 50}, orb.Point{-50, 50}, orb.Point{-60, -50}),
		"in and back out, twice":        curve.Polyline(orb.Point{-10, 120}, orb.Point{40, 130}, orb.Point{-10, 140}, orb.Point{-10, 150}, orb.Point{40, 160}, orb.Point{-10, 170}),
		"that ends inside, not crossed": curve.Polyline(orb.Point{30, 150}, orb.Point{150, 150}),
	} {
		t.Run(name, func(t *testing.T) {
			_, _, _, err := split.Cut(u.Outline, line, split.Seam{Name: "A"})
			if name == "touching a corner" {
				require.NoError(t, err) // a bite out of the side is two parts
				return
			}
			require.ErrorIs(t, err, split.ErrMisses)
		})
	}
	b := split.NewBody(u, u.Outline)
	require.False(t, split.In(split.Yoke{}.Spans(b), 50), "two islands are never one part")
	require.False(t, split.In(split.Yoke{}.Spans(b), 100), "along an edge")
	require.False(t, split.In(split.Yoke{}.Spans(b), 195), "a sliver")
	require.True(t, split.In(split.Yoke{}.Spans(b), 150))
	_, err := split.Make(cutting([]*piece.Piece{u}, "piece", func(_ *piece.Piece, tree *split.Tree) {
		*tree = split.Tree{Way: split.Yoke{}, LevelMM: 50, Near: &split.Tree{}, Far: &split.Tree{}}
	}), 10)
	require.ErrorIs(t, err, split.ErrMisses)
	require.ErrorContains(t, err, "piece")
}

// A cut through a notch leaves it on at least one part, and the plan is right.
func TestCutThroughANotch(t *testing.T) {
	for _, off := range []float64{-0.2, -0.05, -1e-7, 0, 1e-7, 0.05, 0.2} {
		p := drawnPiece(t, polygon(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 300}, orb.Point{0, 300}), orb.Point{200, 150}, orb.Point{0, 120})
		pieces := []*piece.Piece{p}
		made, _ := proved(t, cutting(pieces, "piece", byHand(t, split.Yoke{}, below(150+off))), pieces)
		notches := 0
		for _, part := range made.Parts {
			for _, e := range part.Outline {
				for _, n := range e.Notches {
					if n.For == "" {
						notches++
					}
				}
			}
		}
		require.GreaterOrEqual(t, notches, 2)
		require.InDelta(t, 2, pointsFor(made, "bulk"), 1e-9, "ends at a notch")
	}
}

// A line that ends a hair beside a corner ends at it, and no edge is left that
// is too short to sew.
func TestCutLeavesNoStubs(t *testing.T) {
	p := drawnPiece(t, polygon(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 300}, orb.Point{0, 300}))
	for _, off := range []float64{-0.059, -0.01, -1e-5, 0, 1e-5, 0.01, 0.059} {
		for _, line := range []curve.Path{
			curve.Polyline(orb.Point{-20, -20 + off}, orb.Point{250, 250 + off}),                                               // corner to side
			curve.Polyline(orb.Point{-20, -30 + off}, orb.Point{0, off}, orb.Point{200, 300 - off}, orb.Point{220, 330 - off}), // corner to corner
		} {
			near, far, seam, err := split.Cut(p.Outline, line, split.Seam{Name: "A"})
			require.NoError(t, err, "%g", off)
			require.Equal(t, orb.Point{0, 0}, seam.Start(), "%g", off)
			for _, part := range []piece.Outline{near, far} {
				for i, e := range part {
					require.Greater(t, e.Line.Length(), 1.0, "%g", off)
					require.Equal(t, e.Line.End(), part[(i+1)%len(part)].Line.Start())
				}
			}
			require.InDelta(t, 200*300, plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 1e-6)
		}
	}
}

// Random polygons and lines: either the line is refused or both parts are one
// island and together the piece.
func TestCutInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 9).Draw(t, "corners")
		var ring []orb.Point
		for k := range n {
			r := rapid.Float64Range(60, 300).Draw(t, "radius")
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			ring = append(ring, orb.Point{r * cos, r * sin})
		}
		p := drawnPiece(t, polygon(ring...))
		a := orb.Point{-500, rapid.Float64Range(-300, 300).Draw(t, "left")}
		c := orb.Point{500, rapid.Float64Range(-300, 300).Draw(t, "right")}
		near, far, seam, err := split.Cut(p.Outline, curve.Polyline(a, c), split.Seam{Name: "A"})
		if err != nil {
			require.ErrorIs(t, err, split.ErrMisses)
			return
		}
		for _, part := range []piece.Outline{near, far} {
			require.Positive(t, plane.SignedArea(part.Ring()))
			_, crosses := piece.SelfCrossing(part.Ring())
			require.False(t, crosses)
		}
		require.InDelta(t, plane.SignedArea(p.Outline.Ring()), plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 1e-3)
		require.InDelta(t, p.Outline.Length()+2*seam.Length(), near.Length()+far.Length(), 1e-5)
		// How far from the line, in mm to its right; the ends of the seam go to
		// a corner that is hardly farther.
		const hardly = 0.0601
		side := func(q orb.Point) float64 {
			return ((c[0]-a[0])*(q[1]-a[1]) - (c[1]-a[1])*(q[0]-a[0])) / math.Hypot(c[0]-a[0], c[1]-a[1])
		}
		for _, q := range near.Ring() {
			require.LessOrEqual(t, side(q), hardly)
		}
		for _, q := range far.Ring() {
			require.GreaterOrEqual(t, side(q), -hardly)
		}
	})
}
