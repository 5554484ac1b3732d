package remnant

import (
	"errors"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"eke/split/plan"
)

// An overlay that fails as the pieces lie is made with them turned, and lies where it
// should.
func TestOverlayThatFailsIsTurned(t *testing.T) {
	t.Parallel()
	square := func(x0, y0, x1, y1 float64) geom.Geometry {
		g, err := polygon([]plan.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}})
		require.NoError(t, err)
		return g
	}
	for fails := range 4 {
		calls := 0
		got, err := overlay(func(a, b geom.Geometry) (geom.Geometry, error) {
			if calls++; calls <= fails {
				return geom.Geometry{}, errors.New("side location conflict")
			}
			return geom.Difference(a, b)
		}, square(100, 200, 400, 500), square(100, 200, 400, 300))
		require.NoError(t, err)
		want := square(100, 300, 400, 500)
		off, err := geom.SymmetricDifference(got, want)
		require.NoError(t, err)
		require.Less(t, off.Area(), 0.01)
		require.InDelta(t, want.Area(), got.Area(), 0.01)
	}
	_, err := overlay(func(geom.Geometry, geom.Geometry) (geom.Geometry, error) {
		return geom.Geometry{}, errors.New("side location conflict")
	}, square(0, 0, 1, 1), square(0, 0, 1, 1))
	require.Error(t, err)
}
