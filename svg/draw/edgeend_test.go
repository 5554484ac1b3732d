package draw

import (
	"testing"

	"eke/piece/curve"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The ends of a bib on the top of its band have marks, for no corner of the band shows
// them; one that a notch shows already, a corner, a piecing seam and the end of what is
// joined to nothing have none. The marks point out of the part, turned over or not.
func TestEndsOfEdgesWithinALine(t *testing.T) {
	line := func(name string, joined bool, q ...orb.Point) edge {
		e := edge{Edge: plan.Edge{Name: name, AllowanceMM: 10}, path: curve.Polyline(q...)}
		if joined {
			e.Joins = []string{"bib/bottom"}
		}
		return e
	}
	band := func() []edge {
		return []edge{
			line("", false, orb.Point{0, 0}, orb.Point{50, 0}), line("bib", true, orb.Point{50, 0}, orb.Point{250, 0}), line("", false, orb.Point{250, 0}, orb.Point{300, 0}),
			line("end", true, orb.Point{300, 0}, orb.Point{300, 40}), line("bottom", true, orb.Point{300, 40}, orb.Point{0, 40}), line("", false, orb.Point{0, 40}, orb.Point{0, 0}),
		}
	}
	at, out := edgeEnds(band(), nil)
	require.Equal(t, []orb.Point{{50, 0}, {250, 0}}, at)
	require.Equal(t, []orb.Point{{0, -1}, {0, -1}}, out)

	at, _ = edgeEnds(band(), []orb.Point{{248, 0}})
	require.Equal(t, []orb.Point{{50, 0}}, at)

	pieced := band()
	pieced[0].Seam = "A"
	at, _ = edgeEnds(pieced, nil)
	require.Equal(t, []orb.Point{{250, 0}}, at)

	loose := band()
	loose[1].Joins = nil
	at, _ = edgeEnds(loose, nil)
	require.Empty(t, at)

	at, out = edgeEnds(moved(band(), curve.Matrix{-1, 0, 0, 1, 0, 0}), nil)
	require.Equal(t, []orb.Point{{-250, 0}, {-50, 0}}, at)
	for _, way := range out {
		require.InDelta(t, -1, way[1], 1e-9)
	}
}
