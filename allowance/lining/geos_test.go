//go:build geos

package lining

import (
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geos"
	"pgregory.net/rapid"
)

func polygon(p *piece.Piece) *geos.Geom {
	var coords [][]float64
	for _, q := range plane.Close(p.Outline.Ring()) {
		coords = append(coords, []float64{q[0], q[1]})
	}
	return geos.NewPolygon([][][]float64{coords})
}

// GEOS finds the outlines simple, the areas the same, and nothing of the
// garment's piece far outside the lining's, where the hem is not raised.
func TestGEOSAgrees(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		pieces := read(r, bodice(r))
		o := Options{EaseMM: rapid.Float64Range(0, 12).Draw(r, "ease"), ArmholeUpMM: rapid.Float64Range(0, 18).Draw(r, "up")}
		l, err := Make(pieces, "p.svg", o)
		require.NoError(r, err)
		for _, p := range l.Pieces {
			lined, was := polygon(p), polygon(named(r, pieces, p.Name))
			require.True(r, lined.IsValid())
			require.InDelta(r, area(p), lined.Area(), 1e-6*lined.Area())
			giveMM := mostTakenMM(o)
			require.True(r, was.Difference(lined.Buffer(giveMM, 16)).IsEmpty())
			if o.EaseMM > 4 && p.Name != "sleeve" {
				require.Greater(r, lined.Area(), was.Area())
			}
		}
	})
}

// By GEOS too the areas are larger by what the ease says.
func TestGEOSAreas(t *testing.T) {
	pieces := read(t, pattern(box("front", "back/side", 0, ""), box("back", "front/side", 300, "")))
	l, err := Make(pieces, "p.svg", usual)
	require.NoError(t, err)
	require.InDelta(t, 2*206*260, polygon(named(t, l.Pieces, "front")).Area(), 0.01)
	require.InDelta(t, 2*226*260, polygon(named(t, l.Pieces, "back")).Area(), 0.01)
}
