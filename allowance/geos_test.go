//go:build geos

package allowance

import (
	"flag"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geos"
	"pgregory.net/rapid"
)

// geosPolygon is a ring as GEOS knows it.
func geosPolygon(r orb.Ring) *geos.Geom {
	var coords [][]float64
	for _, p := range plane.Close(r) {
		coords = append(coords, []float64{p[0], p[1]})
	}
	return geos.NewPolygon([][][]float64{coords})
}

// The cutting line against the mitred buffer of GEOS (https://libgeos.org,
// Debian's libgeos-dev), on 1,000 random pieces with curves.
func TestCutLineAgainstGEOS(t *testing.T) {
	checks := flag.Lookup("rapid.checks")
	before := checks.Value.String()
	require.NoError(t, checks.Value.Set("1000"))
	defer func() { require.NoError(t, checks.Value.Set(before)) }()
	var worst, worstArea float64
	rapid.Check(t, func(t *rapid.T) {
		o := randomOutline(t)
		for i := range o {
			o[i].AllowanceMM = 10
		}
		ring, err := CutLine(o)
		require.NoError(t, err)
		got := geosPolygon(ring)
		require.True(t, got.IsValid())
		buffer := geosPolygon(o.Ring()).BufferWithStyle(10, 16, geos.BufCapStyleRound, geos.BufJoinStyleMitre, 2)
		want := geos.NewPolygon([][][]float64{buffer.ExteriorRing().CoordSeq().ToCoords()}) // slots close
		h := got.HausdorffDistance(want)
		// An area that differs by less than a line 0.05 mm wide all round.
		d := got.SymDifference(want).Area() / o.Length()
		worst, worstArea = max(worst, h), max(worstArea, d)
		require.Less(t, h, 0.05)
		require.Less(t, d, 0.05)
		require.InDelta(t, want.Area(), plane.SignedArea(ring), 0.05*o.Length())
	})
	t.Logf("at most %.6f mm apart; area differs by at most %.6f mm times the outline's length", worst, worstArea)
}
