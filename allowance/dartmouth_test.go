package allowance

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A dart with legs from (90, 0) and (110, 0) to (100, 100) opens by t with
// tan(t/2) = 0.1, so cos t = 0.99/1.01. The line 10 mm above the mouth is 110
// mm above the apex; folded, the dart's fold lies t off the upright, and meets
// that line at 110/cos t = 112.222 mm from the apex.
func TestDartMouth(t *testing.T) {
	p := &piece.Piece{
		Outline: polygon(10, orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 200}, orb.Point{0, 200}),
		Darts:   []piece.Dart{{Leg1: orb.Point{110, 0}, Apex: orb.Point{100, 100}, Leg2: orb.Point{90, 0}}},
	}
	ring, err := CutLineWith(p.Outline, Corners{Darts: p.Darts})
	require.NoError(t, err)
	sameRing(t, "roof", orb.Ring{
		{-10, -10}, {89, -10}, {100, 100 - 110*1.01/0.99}, {111, -10}, {210, -10}, {210, 210}, {-10, 210},
	}, ring)
	for i := range p.Outline {
		p.Outline[i].AllowanceMM = 0
	}
	ring, err = CutLineWith(p.Outline, Corners{Darts: p.Darts})
	require.NoError(t, err)
	sameRing(t, "roof on the seam", orb.Ring{
		{0, 0}, {90, 0}, {100, 100 - 100*1.01/0.99}, {110, 0}, {200, 0}, {200, 200}, {0, 200},
	}, ring)
}

// However the seam runs, the dart folded either way reaches the cutting line
// beside it.
func TestDartMouthReaches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		top := rapid.Float64Range(-60, 60).Draw(t, "slope")
		o := polygon(10, orb.Point{0, 0}, orb.Point{400, top}, orb.Point{400, 400}, orb.Point{0, 400})
		at := func(x float64) orb.Point { return orb.Point{x, top * x / 400} }
		x := rapid.Float64Range(150, 250).Draw(t, "x")
		half := rapid.Float64Range(4, 25).Draw(t, "half")
		apex := orb.Point{x + rapid.Float64Range(-20, 20).Draw(t, "lean"), rapid.Float64Range(150, 250).Draw(t, "depth")}
		d := piece.Dart{Leg1: at(x - half), Apex: apex, Leg2: at(x + half)}
		bare, err := CutLine(o)
		require.NoError(t, err)
		ring, err := CutLineWith(o, Corners{Darts: []piece.Dart{d}})
		require.NoError(t, err)
		for _, legs := range [][2]orb.Point{{d.Leg1, d.Leg2}, {d.Leg2, d.Leg1}} {
			leg, other := plane.Sub(legs[0], apex), plane.Sub(legs[1], apex)
			angle := math.Atan2(plane.Cross(leg, other), plane.Dot(leg, other))
			for k := 1; k <= 20; k++ {
				// How far the cloth must reach, folded this far past the leg.
				back := angle / 2 * float64(k) / 20
				want := rayTo(t, bare, apex, leg, -back)
				require.GreaterOrEqual(t, rayTo(t, ring, apex, leg, back), want-0.02)
				require.GreaterOrEqual(t, rayTo(t, ring, apex, leg, angle-back), want-0.02)
			}
		}
		require.Less(t, plane.SignedArea(ring)-plane.SignedArea(bare), 4*half*half+60)
	})
}

// What a mouth asks for and the allowance holds already changes nothing.
func TestAMouthWithinTheAllowance(t *testing.T) {
	o := polygon(30, orb.Point{0, 0}, orb.Point{400, 0}, orb.Point{400, 400}, orb.Point{0, 400})
	bare, err := CutLine(o)
	require.NoError(t, err)
	ring, err := CutLineWith(o, Corners{Mouths: []orb.Ring{{{190, 5}, {200, -20}, {210, 5}}}})
	require.NoError(t, err)
	require.Equal(t, bare, ring)
}

// rayTo is the distance from a point to a ring in the direction that is turn
// radians from way.
func rayTo(t *rapid.T, ring orb.Ring, at, way orb.Point, turn float64) float64 {
	sin, cos := math.Sincos(turn)
	way = orb.Point{cos*way[0] - sin*way[1], sin*way[0] + cos*way[1]}
	far := math.Inf(1)
	for i, p := range ring {
		if _, mm, ok := ray(at, way, p, ring[(i+1)%len(ring)]); ok {
			far = math.Min(far, mm)
		}
	}
	require.False(t, math.IsInf(far, 1))
	return far
}
