package split_test

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/piece/race"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The blouse: the back has waist darts with apexes 262 mm below its top; the
// front a bust dart from the side to 275.7 mm and a waist dart to 292 mm.
func TestDartsAreTakenIn(t *testing.T) {
	race.SkipAlone(t)
	blouse := sample(t, "blouse.svg")
	for name, c := range map[string]struct {
		piece  string
		way    split.Way
		level  func(*split.Body) float64
		taken  int // from all copies
		whole  int // darts left whole
		legs   int // stretches of legs on parts
		points float64
	}{
		"back, above the darts":      {"back", split.Yoke{}, below(240), 0, 2, 0, 0},
		"back, just in reach":        {"back", split.Yoke{}, below(248), 2, 0, 0, -8},
		"back, through the apexes":   {"back", split.Yoke{}, below(262), 2, 0, 0, -8},
		"back, below the apexes":     {"back", split.Yoke{}, below(276), 2, 0, 0, -8},
		"back, through the darts":    {"back", split.Yoke{}, below(330), 0, 0, 8, 0},
		"back, down one dart":        {"back", split.Panel{}, func(b *split.Body) float64 { return split.CentreOf(b) + 104 }, 1, 1, 0, -4},
		"back, beside one dart":      {"back", split.Panel{}, func(b *split.Body) float64 { return split.CentreOf(b) + 111 }, 1, 1, 0, -4},
		"front, the bust dart":       {"front", split.Yoke{}, below(275), 2, 2, 0, -8},
		"front, the waist dart":      {"front", split.Yoke{}, below(292), 2, 0, 8, -8},
		"front, between":             {"front", split.Yoke{}, below(340), 0, 2, 8, 0},
		"front, down the waist dart": {"front", split.Panel{}, func(b *split.Body) float64 { return b.Piece.Darts[1].Apex[0] }, 2, 2, 0, -8},
	} {
		t.Run(name, func(t *testing.T) {
			pieces := only(blouse, c.piece)
			made, d := proved(t, cutting(pieces, c.piece, byHand(t, c.way, c.level)), pieces)
			o := d.Options[0]
			require.Equal(t, c.taken, o.DartsTakenIn)
			whole, legs := 0, 0
			for _, p := range o.Parts {
				whole += len(p.Darts)
				legs += len(p.DartLegs)
			}
			require.Equal(t, c.whole, whole, "whole")
			require.Equal(t, c.legs, legs, "legs")
			require.InDelta(t, c.points, pointsFor(made, "darts taken in"), 1e-9)
			if c.taken > 0 {
				require.Len(t, o.Moved, len(pieces))
			} else {
				require.Empty(t, o.Moved)
			}
		})
	}
}

// pointsFor are the points of all terms of a name.
func pointsFor(m *split.Made, name string) (sum float64) {
	for _, term := range split.Cost(m) {
		if term.Name == name {
			sum += term.Points
		}
	}
	return sum
}

// Nothing is taken in where the reach is 0, and the parts tile the piece as
// drawn.
func TestDartsAreLeft(t *testing.T) {
	back := only(sample(t, "blouse.svg"), "back")
	_, d := proved(t, cutting(back, "back", func(p *piece.Piece, tree *split.Tree) {
		b := split.NewBody(p, p.Outline)
		require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, b.Lo[1]+262, 0))
	}), back)
	require.Zero(t, d.Options[0].DartsTakenIn)
	require.Empty(t, d.Options[0].Moved)
}

// A yoke that takes darts in and a line across it that cuts what they turned.
func TestDartsAndASecondCut(t *testing.T) {
	if race.On {
		t.Skip("nothing here runs side by side, and it takes long under the race detector")
	}
	blouse := sample(t, "blouse.svg")
	for _, name := range []string{"front", "back"} {
		pieces := only(blouse, name)
		for off := -100.0; off <= 100; off += 12.5 {
			for _, yokeFirst := range []bool{true, false} {
				_, d := proved(t, cutting(pieces, name, func(p *piece.Piece, tree *split.Tree) {
					b := split.NewBody(p, p.Outline)
					yoke := func() { tree.ByHand(p, split.Yoke{}, b.Lo[1]+285, split.DartReachMM) }
					if yokeFirst {
						yoke()
					}
					tree.ByHand(p, split.Panel{}, split.CentreOf(b)+off, split.DartReachMM)
					if !yokeFirst {
						yoke()
					}
				}), pieces)
				require.NotZero(t, d.Options[0].Seams)
			}
		}
	}
}

// What a dart takes with it is the area between its legs, and the two edges of
// the seam stay equally long, for any trapezium, line and dart.
func TestDartInvariants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.Float64Range(200, 600).Draw(t, "width")
		length := rapid.Float64Range(200, 700).Draw(t, "length")
		flare := rapid.Float64Range(-30, 60).Draw(t, "flare")
		mouth := rapid.Float64Range(60, width-60).Draw(t, "mouth")
		half := rapid.Float64Range(4, 15).Draw(t, "half intake")
		deep := rapid.Float64Range(70, length-60).Draw(t, "deep")
		aside := rapid.Float64Range(-15, 15).Draw(t, "aside")
		miss := rapid.Float64Range(-20, 20).Draw(t, "miss")
		p, err := piece.Make(piece.Draft{
			Name: "panel", AllowanceMM: 10,
			Outline: piece.DraftLine{Closed: true, Line: curve.Polyline(orb.Point{0, 0}, orb.Point{width, 0}, orb.Point{width + flare, length}, orb.Point{-flare, length}, orb.Point{0, 0})},
			Grains:  []piece.DraftLine{{Line: curve.Polyline(orb.Point{width / 2, 20}, orb.Point{width / 2, length - 20})}},
			Darts:   []piece.DraftLine{{Line: curve.Polyline(orb.Point{mouth - half, length}, orb.Point{mouth + aside, length - deep}, orb.Point{mouth + half, length})}},
		})
		require.NoError(t, err)
		pieces := []*piece.Piece{p}
		made, d := proved(t, cutting(pieces, "panel", func(p *piece.Piece, tree *split.Tree) {
			require.Equal(t, 1, tree.ByHand(p, split.Yoke{}, length-deep+miss, split.DartReachMM))
		}), pieces)
		s := made.Seams[0]
		if math.Abs(miss) > split.DartReachMM {
			require.Empty(t, s.Taken)
		}
		var area, sides float64
		for _, part := range made.Parts {
			area += plane.SignedArea(part.Outline.Ring())
			for _, e := range part.Outline {
				if e.Seam == s.Name {
					sides += e.Line.Length()
				}
			}
		}
		gone := 0.0
		for _, taken := range s.Taken {
			gone += math.Abs(plane.SignedArea(orb.Ring{taken.Sewn.Leg1, taken.Sewn.Apex, taken.Sewn.Leg2}))
			require.InDelta(t, plane.Length(sub(taken.Sewn.Leg1, taken.Sewn.Apex)), plane.Length(sub(taken.Sewn.Leg2, taken.Sewn.Apex)), 1)
		}
		require.InDelta(t, plane.SignedArea(p.Outline.Ring())-gone, area, 1+160*float64(len(s.Taken)))
		require.InDelta(t, 2*s.LengthMM, sides, 1e-6)
		require.Equal(t, len(s.Taken), d.Options[0].DartsTakenIn)
	})
}

func sub(a, b orb.Point) orb.Point { return orb.Point{a[0] - b[0], a[1] - b[1]} }
