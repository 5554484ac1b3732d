package plane

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var coordinate = rapid.Map(rapid.IntRange(-400, 400), func(k int) float64 { return float64(k) / 4 })

func point(t *rapid.T, what string) orb.Point {
	return orb.Point{coordinate.Draw(t, what+" x"), coordinate.Draw(t, what+" y")}
}

// ring is a star about the origin, so it does not cross itself.
func ring(t *rapid.T) orb.Ring {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	var out orb.Ring
	for i := range n {
		r := rapid.Float64Range(20, 100).Draw(t, "radius")
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, orb.Point{r * cos, r * sin})
	}
	return out
}

func TestPoints(t *testing.T) {
	a, b := orb.Point{3, 4}, orb.Point{1, -2}
	require.Equal(t, orb.Point{4, 2}, Add(a, b))
	require.Equal(t, orb.Point{2, 6}, Sub(a, b))
	require.Equal(t, orb.Point{6, 8}, Scale(a, 2))
	require.Equal(t, orb.Point{5, 0}, Along(a, b, 2))
	require.Equal(t, orb.Point{2, 1}, Lerp(a, b, 0.5))
	require.Equal(t, -5.0, Dot(a, b))
	require.Equal(t, -10.0, Cross(a, b))
	require.Equal(t, 5.0, Length(a))
	require.Equal(t, orb.Point{0.6, 0.8}, Unit(a))
	require.Equal(t, orb.Point{}, Unit(orb.Point{}))
	require.Positive(t, Cross(orb.Point{1, 0}, orb.Point{0, 1}), "down is to the right of rightwards")
}

// Against orb's planar package.
func TestSegmentsAgainstAnotherLibrary(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, q := point(t, "a"), point(t, "b"), point(t, "q")
		require.InDelta(t, planar.DistanceFromSegment(a, b, q), ToSegment(q, a, b), 1e-9)
		line := orb.LineString{a, b, point(t, "c"), point(t, "d")}
		at, mm := NearestOn(line, q)
		require.InDelta(t, planar.DistanceFrom(line, q), mm, 1e-9)
		require.InDelta(t, mm, Distance(at, q), 1e-9)
	})
}

// Against orb's planar package, and clipping against simplefeatures.
func TestRingsAgainstOtherLibraries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, q := ring(t), point(t, "q")
		closed := Close(r)
		require.Len(t, closed, len(r)+1)
		require.InDelta(t, planar.Area(closed), SignedArea(r), 1e-9)
		require.Positive(t, SignedArea(r), "it runs clockwise on the page")
		require.InDelta(t, planar.DistanceFrom(orb.LineString(closed), q), ToRing(r, q), 1e-9)
		if ToRing(r, q) > 1e-6 {
			require.Equal(t, planar.RingContains(closed, q), Holds(r, q))
		}
		deg := rapid.Float64Range(0, 360).Draw(t, "direction")
		sin, cos := math.Sincos(deg * math.Pi / 180)
		dir := orb.Point{cos, sin}
		kept := ClipRight(r, q, dir)
		// A square to the right of the line, larger than any ring.
		const far = 1000.0
		a, b := Along(q, dir, -far), Along(q, dir, far)
		right := orb.Point{-dir[1], dir[0]}
		half := orb.Ring{a, b, Along(b, right, far), Along(a, right, far)}
		both, err := geom.Intersection(polygon(t, r), polygon(t, half))
		require.NoError(t, err)
		require.InDelta(t, both.Area(), Area(kept), 1e-6)
	})
	require.Empty(t, Close(nil))
	require.Empty(t, ClipRight(nil, orb.Point{}, orb.Point{1, 0}))
	require.False(t, Holds(nil, orb.Point{}))
	require.Zero(t, Area(orb.Ring{{0, 0}, {1, 1}}))
	require.Equal(t, math.Inf(1), ToRing(nil, orb.Point{}))
}

func polygon(t require.TestingT, r orb.Ring) geom.Geometry {
	var xy []float64
	for _, q := range Close(r) {
		xy = append(xy, q[0], q[1])
	}
	p := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))})
	require.NoError(t, p.Validate())
	return p.AsGeometry()
}
