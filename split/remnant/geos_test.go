//go:build geos

package remnant

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geos"
	"pgregory.net/rapid"
)

func geosPolygon(outline []plan.Point, holes ...[]plan.Point) *geos.Geom {
	var rings [][][]float64
	for _, r := range append([][]plan.Point{outline}, holes...) {
		var coords [][]float64
		for i := 0; i <= len(r); i++ {
			q := r[i%len(r)]
			coords = append(coords, []float64{q[0], q[1]})
		}
		rings = append(rings, coords)
	}
	return geos.NewPolygon(rings)
}

// What is left against the overlay of GEOS (https://libgeos.org, Debian's
// libgeos-dev), on random cuts: no bit reaches farther than a tenth of a
// millimetre out of the cloth that is left, nothing that is wider than the
// smallest disc is missing, and areas differ by less than 1 mm².
func TestLeftAgainstGEOS(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := randomCut(t)
		pile, err := After(d, 0)
		require.NoError(t, err)
		s := d.Scraps[0]
		cloth := geosPolygon(s.Outline, s.Holes...)
		for _, c := range cutFrom(&d.Options[0], &s) {
			cloth = cloth.Difference(geosPolygon(c))
		}
		require.InDelta(t, cloth.Area(), pile.Scraps[0].BitsMM2+pile.Scraps[0].StuffingMM2, 1)
		missing := cloth
		for _, b := range pile.Bits {
			bit := geosPolygon(b.Outline, b.Holes...)
			require.True(t, bit.IsValid())
			require.True(t, cloth.Buffer(0.001, 8).Covers(bit), "it is not left: %s", b.Name)
			missing = missing.Difference(bit)
		}
		require.True(t, missing.Buffer(-LeastDiscMM/2.0-0.05, 32).IsEmpty(), "a bit is missing")
		if len(pile.Bits) > 0 && pile.Scraps[0].StuffingMM2 < 1 {
			require.True(t, missing.Buffer(-0.05, 8).IsEmpty())
		}
	})
}
