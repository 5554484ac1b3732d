package piece

import (
	"math"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestOut(t *testing.T) {
	// A square of 400 mm with a slit in its top, and a step in its right side.
	corners := []orb.Point{{0, 0}, {150, 0}, {200, 150}, {250, 0}, {400, 0}, {400, 200}, {350, 200}, {350, 400}, {0, 400}}
	one := Outline{{Line: curve.Polyline(append(corners, corners[0])...)}}
	var each Outline
	for i, q := range corners {
		each = append(each, Edge{Line: curve.Polyline(q, corners[(i+1)%len(corners)])})
	}
	for name, c := range map[string]struct {
		edge int // of each
		mm   float64
		out  orb.Point
	}{
		"square to an edge":          {0, 75, orb.Point{0, -1}},
		"an outer corner":            {0, 0, orb.Point{0, -1}},
		"one mouth of the slit":      {1, 0, plane.Unit(orb.Point{150, -50})},
		"down one side of the slit":  {1, 100, plane.Unit(orb.Point{150, -50})},
		"its point, from one side":   {1, math.Hypot(50, 150), orb.Point{0, -1}},
		"its point, from the other":  {2, 0, orb.Point{0, -1}},
		"as good as at its point":    {2, 0.4, orb.Point{0, -1}},
		"an inner corner of a right": {6, 0, orb.Point{1, 0}},
	} {
		t.Run(name, func(t *testing.T) {
			for _, o := range []Outline{each, one} {
				edge, mm := c.edge, c.mm
				if len(o) == 1 {
					edge = 0
					for _, e := range each[:c.edge] {
						mm += e.Line.Length()
					}
					if mm == 150 || c.edge == 6 {
						continue // at a corner inside an edge either side will do
					}
				}
				at, out := o.Out(edge, mm)
				want, _ := each[c.edge].Line.At(c.mm)
				require.InDeltaSlice(t, want[:], at[:], 1e-9)
				require.InDeltaSlice(t, c.out[:], out[:], 1e-9)
			}
		})
	}
}

// A little way out of a corner lies no cloth, however sharp it is.
func TestOutOfACorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A disc with a wedge cut out of it, or all but a wedge.
		half := rapid.Float64Range(2, 178).Draw(t, "half of what is cut out") * math.Pi / 180
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		at := func(a float64) orb.Point { return orb.Point{100 * math.Cos(turn+a), 100 * math.Sin(turn+a)} }
		ring := []orb.Point{{0, 0}}
		const steps = 40
		for i := range steps + 1 {
			ring = append(ring, at(half+(2*math.Pi-2*half)*float64(i)/steps))
		}
		o := Outline{{Line: curve.Polyline(ring...)}, {Line: curve.Polyline(ring[len(ring)-1], ring[0])}}
		for _, end := range []struct {
			edge int
			mm   float64
		}{{0, 0}, {1, o[1].Line.Length()}} {
			q, out := o.Out(end.edge, end.mm)
			require.InDelta(t, 1, plane.Length(out), 1e-9)
			require.False(t, plane.Holds(ring, plane.Along(q, out, 0.5)) && plane.ToRing(ring, plane.Along(q, out, 0.5)) > 1e-9)
		}
	})
}
