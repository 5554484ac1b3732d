package photo

import (
	"math"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A bite in an edge is found where it begins and ends, and clean corners and waves are none.
func TestKinks(t *testing.T) {
	t.Parallel()
	line := func(corners ...orb.Point) (out []orb.Point) {
		for i, q := range corners {
			next := corners[(i+1)%len(corners)]
			n := int(plane.Distance(q, next))
			for k := range n {
				out = append(out, plane.Lerp(q, next, float64(k)/float64(n)))
			}
		}
		return out
	}
	square := []orb.Point{{0, 0}, {200, 0}, {200, 150}, {0, 150}}
	bitten := func(deep, wide float64) []orb.Point {
		ring := line(square...)
		for i, q := range ring {
			if d := math.Abs(q[0]-100) / wide; q[1] == 0 && d < 1 {
				ring[i][1] = deep * math.Sqrt(1-d*d)
			}
		}
		return ring
	}
	waved := line(square...)
	for i, q := range waved {
		if q[1] == 0 {
			waved[i][1] = 3 * math.Sin(q[0]/8)
		}
	}
	for name, c := range map[string]struct {
		ring    []orb.Point
		mmPoint float64
		is      bool
	}{
		"square":            {line(square...), 1, false},
		"an L":              {line(orb.Point{}, orb.Point{200, 0}, orb.Point{200, 60}, orb.Point{80, 60}, orb.Point{80, 150}, orb.Point{0, 150}), 1, false},
		"waves":             {waved, 1, false},
		"a bite":            {bitten(8, 9), 1, true},
		"a bite, from near": {bitten(8, 9), 0.1, false},
	} {
		mm := make([]orb.Point, len(c.ring))
		for i, q := range c.ring {
			mm[i] = plane.Scale(q, c.mmPoint)
		}
		where := kinks(smoothed(c.ring, 0.8), mm)
		require.Equal(t, c.is, where != nil, "%s: %v", name, where)
		for _, q := range where {
			require.Less(t, plane.Distance(q, orb.Point{100, 0}), 14.0)
		}
	}
}
