package split_test

import (
	"errors"
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// comb is a piece with teeth of one width on a back 80 mm deep, and how deep
// the slots between them are.
func comb(t *rapid.T) (p *piece.Piece, slotMM float64) {
	teeth := rapid.IntRange(2, 4).Draw(t, "teeth")
	wide := rapid.Float64Range(30, 90).Draw(t, "tooth")
	slotMM = rapid.Float64Range(40, 150).Draw(t, "slot")
	var points []orb.Point
	x := 0.0
	for k := range teeth {
		points = append(points, orb.Point{x, 0}, orb.Point{x + wide, 0})
		if x += wide; k+1 < teeth {
			points = append(points, orb.Point{x, slotMM}, orb.Point{x + 20, slotMM})
			x += 20
		}
	}
	points = append(points, orb.Point{x, slotMM + 80}, orb.Point{0, slotMM + 80})
	return drawnPiece(t, polygon(points...)), slotMM
}

// A part is one island and, away from where it is cut, has a place 8 mm wide;
// what would not be is refused. Asked of GEOS's sister, with a hair's slack.
func soundParts(t *rapid.T, made *split.Made) {
	var sum float64
	for _, part := range made.Parts {
		ring := part.Outline.Ring()
		var xy []float64
		for _, q := range append(ring, ring[0]) {
			xy = append(xy, q[0], q[1])
		}
		polygon := geom.NewSingleRingPolygonXY(xy...)
		require.NoError(t, polygon.Validate(), "a part is one island")
		core, err := geom.Buffer(polygon.AsGeometry(), -3.99)
		require.NoError(t, err)
		require.False(t, core.IsEmpty(), "a part of %.1f mm² is a sliver", polygon.Area())
		sum += polygon.Area()
	}
	var whole float64
	for _, p := range made.Plan.Pieces {
		whole += plane.SignedArea(p.Outline.Ring())
	}
	require.InDelta(t, whole, sum, 1e-3*whole)
}

// A yoke at any level of a piece of several teeth: through the teeth it would
// leave islands and is refused, through the back it is a plan that is right,
// near an edge it would leave a sliver and is refused.
func TestYokesOfAComb(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, slot := comb(t)
		level := rapid.Float64Range(-20, slot+100).Draw(t, "level")
		if rapid.IntRange(0, 3).Draw(t, "near") == 0 {
			// Right along the ends of teeth and slots, and a hair beside them.
			level = rapid.SampledFrom([]float64{0, slot, slot + 80}).Draw(t, "edge") + rapid.SampledFrom([]float64{-0.06, -1e-6, 0, 1e-6, 0.06}).Draw(t, "beside")
		}
		b := split.NewBody(p, p.Outline)
		in := split.In(split.Yoke{}.Spans(b), b.Lo[1]+level)
		made, err := split.Make(cutting([]*piece.Piece{p}, "piece", func(_ *piece.Piece, tree *split.Tree) {
			*tree = split.Tree{Way: split.Yoke{}, LevelMM: b.Lo[1] + level, Near: &split.Tree{}, Far: &split.Tree{}}
		}), 10)
		switch {
		case err == nil:
			require.Len(t, made.Parts, 2)
			require.Greater(t, level, slot, "several islands are never one part")
			require.Less(t, level, slot+80-7.9, "a sliver is never a part")
			soundParts(t, made)
			proved(t, made.Plan, []*piece.Piece{p})
		case !errors.Is(err, split.ErrMisses) && !errors.Is(err, split.ErrSliver) && !errors.Is(err, split.ErrNeck):
			t.Fatal(err)
		default:
			require.False(t, in, "a level is proposed that cannot be cut: %v", err)
		}
	})
}

// A cut beside a straight edge and nearly along it, of any slope: what it
// leaves is sound or it is refused.
func TestCutsNearlyAlongAnEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawnPiece(t, polygon(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 300}, orb.Point{0, 300}))
		left := rapid.Float64Range(-0.1, 12).Draw(t, "left")
		right := rapid.Float64Range(-0.1, 12).Draw(t, "right")
		if rapid.Bool().Draw(t, "parallel") {
			right = left
		}
		near, far, seam, err := split.Cut(p.Outline, curve.Polyline(orb.Point{-10, left}, orb.Point{210, right}), split.Seam{Name: "A"})
		if err != nil {
			require.ErrorIs(t, err, split.ErrMisses)
			return
		}
		for _, part := range []piece.Outline{near, far} {
			ring := part.Ring()
			require.Positive(t, plane.SignedArea(ring))
			_, crosses := piece.SelfCrossing(ring)
			require.False(t, crosses)
			for _, e := range part {
				require.Greater(t, e.Line.Length(), 0.05, "a stub of an edge is left")
			}
		}
		require.InDelta(t, 200*300, plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 1e-6)
		require.InDelta(t, p.Outline.Length()+2*seam.Length(), near.Length()+far.Length(), 1e-6)
	})
}

// A cut that ends a hair beside a corner inside an edge leaves no bit of the
// edge so short that it has no direction.
func TestCutsBesideCornersOfAnEdge(t *testing.T) {
	side := curve.Polyline(orb.Point{200, 300}, orb.Point{0, 300}, orb.Point{0, 150}, orb.Point{-20, 80}, orb.Point{0, 0})
	o := piece.Outline{{Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 300})}, {Name: "side", Line: side}}
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(-0.2, 0.2).Draw(t, "off")
		level := rapid.SampledFrom([]float64{150, 80}).Draw(t, "corner") + off
		near, far, seam, err := split.Cut(o, curve.Polyline(orb.Point{-50, level}, orb.Point{250, level}), split.Seam{Name: "A"})
		require.NoError(t, err)
		for _, part := range []piece.Outline{near, far} {
			for _, s := range part.Path() {
				require.Greater(t, s.Length(), 0.05)
			}
		}
		require.InDelta(t, plane.SignedArea(o.Ring()), plane.SignedArea(near.Ring())+plane.SignedArea(far.Ring()), 1e-6)
		require.InDelta(t, o.Length()+2*seam.Length(), near.Length()+far.Length(), 1e-6)
	})
}

// A yoke that passes at a notch, through it or a hair beside it, keeps it on a
// part, and the plan is right.
func TestYokesAtNotches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wide, high := rapid.Float64Range(120, 300).Draw(t, "wide"), rapid.Float64Range(150, 400).Draw(t, "high")
		lean := rapid.Float64Range(-30, 30).Draw(t, "lean")
		at := rapid.Float64Range(50, high-50).Draw(t, "notch")
		off := rapid.SampledFrom([]float64{-12, -1, -0.06, -1e-3, -1e-9, 0, 1e-9, 1e-3, 0.06, 1, 12}).Draw(t, "off")
		p := drawnPiece(t, polygon(orb.Point{0, 0}, orb.Point{wide, 0}, orb.Point{wide + lean, high}, orb.Point{0, high}),
			orb.Point{0, at}, orb.Point{wide + lean*at/high, at}, orb.Point{wide / 2, high})
		pieces := []*piece.Piece{p}
		made, _ := proved(t, cutting(pieces, "piece", byHand(t, split.Yoke{}, below(at+off))), pieces)
		for _, want := range []orb.Point{{0, at}, {wide + lean*at/high, at}, {wide / 2, high}} {
			nearest := math.Inf(1)
			for _, part := range made.Parts {
				for _, e := range part.Outline {
					for _, n := range e.Notches {
						if got, _ := e.Line.At(n.AtMM); n.For == "" {
							nearest = math.Min(nearest, math.Hypot(got[0]-want[0], got[1]-want[1]))
						}
					}
				}
			}
			require.Less(t, nearest, 0.1, "the notch at %v", want)
		}
	})
}
