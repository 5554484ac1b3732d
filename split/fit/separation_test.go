package fit

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The clearance that is missing is what it is, however far parts may be moved: a short
// step hides none of it.
func TestMissingClearanceIsTheSameForAnyStep(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		hole := orb.Ring{{40, 10}, {50, 10}, {50, 20}, {40, 20}}
		c := NewCloth(star(t, "cloth", 100, 300), []orb.Ring{hole})
		var items []Item
		var poses []pose
		at := rapid.Float64Range(-200, 200)
		for _, name := range []string{"a", "b"} {
			deg := rapid.Float64Range(0, 360).Draw(t, "deg")
			items = append(items, Item{NewShape(star(t, name, 10, 120)), []Turn{{Deg: deg, ToleranceDeg: 2}}})
			poses = append(poses, pose{vec{at.Draw(t, "x"), at.Draw(t, "y")}, deg})
		}
		a := newSeparator(c, items, 3)
		a.poses = poses
		var margins []float64
		for _, a.step = range []float64{0.01, 1, 40} {
			a.rows()
			margins = append(margins, min(0, a.margin))
		}
		require.InDelta(t, margins[0], margins[1], 1e-9)
		require.InDelta(t, margins[0], margins[2], 1e-9)
	})
}

// The tip of a part that sticks out past a corner comes in past both edges at once.
func TestSeparateAtAConvexCorner(t *testing.T) {
	t.Parallel()
	turned := func(deg float64, ps ...vec) (out orb.Ring) {
		sin, cos := sincosDeg(deg)
		for _, p := range ps {
			q := p.turn(sin, cos)
			out = append(out, orb.Point{q.x, q.y})
		}
		return out
	}
	for _, deg := range []float64{10, 20, 45, 100, 190, 300} {
		for _, out := range []vec{{6, 4}, {4, 6}, {2, 9}, {9, 2}} {
			c := NewCloth(turned(deg, vec{0, 0}, vec{100, 0}, vec{100, 100}, vec{0, 100}), nil)
			s := NewShape(turned(deg, vec{40, 40}, vec{70, 60}, vec{100, 100}, vec{60, 70}))
			by := turned(deg, out)[0]
			a := newSeparator(c, []Item{{s, []Turn{{}}}}, 0)
			require.True(t, a.separate([]pose{s.pose(Placement{DX: by[0], DY: by[1]})}, 40, 1), "at %g degrees, %v out, %g mm are missing", deg, out, -a.margin)
		}
	}
}

// Each edge of a ring knows the ones before and after it, whichever way the list runs.
func TestEdgesBeside(t *testing.T) {
	t.Parallel()
	ring := func(at float64) []vec { return []vec{{at, 0}, {at + 10, 0}, {at + 10, 10}, {at, 20}} }
	forward := append(boundaryEdges(ring(0)), boundaryEdges(ring(50)[:3])...)
	for _, edges := range [][]edge{forward, flipped(forward)} {
		for i, k := range edgesBeside(edges) {
			require.Equal(t, edges[i].a, edges[k[0]].b)
			require.Equal(t, edges[i].b, edges[k[1]].a)
			require.Less(t, math.Abs(edges[i].a.x-edges[k[0]].a.x), 11.0, "of another ring")
		}
	}
}
