package fit

import (
	"context"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// star is a ring about the origin, bent in and out.
func star(t *rapid.T, name string, least, most float64) orb.Ring {
	n := rapid.IntRange(3, 12).Draw(t, name)
	var out orb.Ring
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		r := rapid.Float64Range(least, most).Draw(t, name)
		out = append(out, orb.Point{r * cos, r * sin})
	}
	return out
}

// A shape that is wanted near to a place where it lies is found one no further off than
// is allowed, and touches once it has been slid.
func TestNearAndTouch(t *testing.T) {
	t.Parallel()
	const reach = 8.0
	ctx := context.Background()
	rapid.Check(t, func(t *rapid.T) {
		hole := orb.Ring{{40, 10}, {50, 10}, {50, 20}, {40, 20}}
		c := NewCloth(star(t, "cloth", 150, 300), []orb.Ring{hole})
		s := NewShape(star(t, "part", 10, 120))
		turn := Turn{Deg: rapid.Float64Range(0, 360).Draw(t, "deg"), ToleranceDeg: 2}
		lies, ok := Place(ctx, c, s, []Turn{{Deg: turn.Deg}})
		if !ok {
			t.Skip("it does not fit")
		}
		require.True(t, c.Lies(s, lies))
		require.Zero(t, c.Off(s, lies))
		sin, cos := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "way"))
		off := rapid.Float64Range(0, 0.95*reach).Draw(t, "off")
		want := lies
		want.DX, want.DY = lies.DX+off*cos, lies.DY+off*sin
		near, ok := Near(ctx, c, s, want, turn, reach)
		require.True(t, ok, "it lies %g mm from there", off)
		moved := func(p Placement) float64 { return math.Hypot(p.DX-want.DX, p.DY-want.DY) }
		require.True(t, c.Lies(s, near))
		if near.Deg == want.Deg {
			require.LessOrEqual(t, moved(near), reach+1e-6)
		}
		if c.Lies(s, want) {
			require.Equal(t, want, near)
		}
		touching := Touch(c, s, near, reach)
		require.True(t, c.Lies(s, touching))
		require.LessOrEqual(t, math.Hypot(touching.DX-near.DX, touching.DY-near.DY), 2*reach+1e-6)
		if by, _, ok := c.nearestEdge(s, s.pose(near), reach); ok {
			least := math.Inf(1)
			if by, _, ok := c.nearestEdge(s, s.pose(touching), reach); ok {
				least = by.len()
			}
			require.Less(t, least, 0.01, "it was %g mm off an edge", by.len())
		}
		far := lies
		far.DX += 1000
		_, ok = Near(ctx, c, s, far, turn, reach)
		require.False(t, ok)
		require.Equal(t, far, Touch(c, s, far, reach))
		require.Greater(t, c.Off(s, far), 400.0)
	})
}

// What is found in a corner of the square about the place that is wanted is out of
// reach. It does not hide a place that is within it.
func TestNearPastACorner(t *testing.T) {
	t.Parallel()
	rays := func(radii ...float64) (out orb.Ring) {
		for k, r := range radii {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(len(radii)))
			out = append(out, orb.Point{r * cos, r * sin})
		}
		return out
	}
	const reach, off, way = 8, 7.6, 2.5
	c := NewCloth(rays(150, 300, 150, 197.75, 150, 150, 228.5, 150, 214.5, 150, 300, 300), []orb.Ring{{{40, 10}, {50, 10}, {50, 20}, {40, 20}}})
	s := NewShape(rays(10, 10, 76.75, 10, 24.5, 10, 16))
	ctx, turn := context.Background(), Turn{Deg: 1}
	lies, ok := Place(ctx, c, s, []Turn{turn})
	require.True(t, ok)
	want := lies
	want.DX, want.DY = want.DX+off*math.Cos(way), want.DY+off*math.Sin(way)
	near, ok := Near(ctx, c, s, want, turn, reach)
	require.True(t, ok)
	require.True(t, c.Lies(s, near))
	require.LessOrEqual(t, math.Hypot(near.DX-want.DX, near.DY-want.DY), float64(reach))
}

// How a rectangle hangs off another is the difference of their sides.
func TestOverhangAtOnePlace(t *testing.T) {
	t.Parallel()
	c := NewCloth(orb.Ring{{0, 0}, {100, 0}, {100, 200}, {0, 200}}, nil)
	s := NewShape(orb.Ring{{0, 0}, {90, 0}, {90, 230}, {0, 230}})
	along, across := OverhangAt(c, s, Middle(c, s, Turn{}), 90)
	require.InDelta(t, 30, along, 0.51)
	require.InDelta(t, 0, across, 0.51)
	_, along, across = LeastOverhang(context.Background(), c, s, []Turn{{}}, 90, Placement{DX: 30})
	require.InDelta(t, 30, along, 0.1)
	require.InDelta(t, 0, across, 0.1)
	// A search that is ended gives what it began with.
	over, cancel := context.WithCancel(context.Background())
	cancel()
	p, along, _ := LeastOverhang(over, c, s, []Turn{{}}, 90, Placement{DX: 5, DY: -15})
	require.Equal(t, Placement{DX: 5, DY: -15}, p)
	require.InDelta(t, 30, along, 0.1)
}
