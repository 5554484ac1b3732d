package photo

import (
	"math"
	"slices"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A narrow blue part at the edge of white cloth on brown ground is cloth: the edge is where the
// blue begins, and not where the light changes fastest. In a shadow beside white cloth it is not
// looked for.
func TestFirstHalf(t *testing.T) {
	t.Parallel()
	const n, edge, like = 30, 30, 5.3 // steps
	brown, blue, white := [3]float32{0.22, 0.12, 0.07}, [3]float32{0.08, 0.30, 0.50}, [3]float32{0.8, 0.8, 0.8}
	shade := [3]float32{0.6 * brown[0], 0.6 * brown[1], 0.6 * brown[2]}
	for _, c := range []struct {
		name string
		part [3]float32
		wide float64 // steps
		is   bool
	}{
		{"blue", blue, 6, true},
		{"wide blue", blue, 16, true},
		{"shadow", shade, 8, false},
	} {
		l := across{lightG: brown, ground: toLab(brown)}
		for k := range 2*n + 1 {
			cover := func(to float64) float32 { return float32(0.5 * math.Erfc((float64(k)-to)/3)) }
			var light [3]float32
			for ch := range light {
				light[ch] = brown[ch] + (c.part[ch]-brown[ch])*cover(edge) + (white[ch]-c.part[ch])*cover(edge-c.wide)
			}
			l.light, l.colour = append(l.light, light), append(l.colour, toLab(light))
			l.off = append(l.off, l.offGround(light))
		}
		if c.name == "blue" {
			at, _ := l.halfWay(l.climb(edge+2), 5, like)
			require.Less(t, at, edge-firstSteps, "where the light changes fastest")
		}
		for from := edge - 1.0; from <= edge+4; from++ {
			at, ok := l.firstHalf(from, 5, like)
			require.Equal(t, c.is, ok && math.Abs(at-edge) < 2, "%s from %g: %g", c.name, from, at)
		}
	}
}

// Loops go and the rest stays, to the node.
func TestUnlooped(t *testing.T) {
	t.Parallel()
	var ring, looped []orb.Point
	for i := range 300 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 300)
		ring = append(ring, orb.Point{50 * c, 50 * s})
		looped = append(looped, ring[i])
		if i != 100 {
			continue
		}
		// Round a loop of 3 points across, and on.
		way, mid := orb.Point{-s, c}, orb.Point{47 * c, 47 * s}
		for k := 1; k < 20; k++ {
			ks, kc := math.Sincos(2 * math.Pi * float64(k) / 20)
			looped = append(looped, plane.Along(plane.Along(mid, ring[i], 3*kc/50), way, 3*ks))
		}
	}
	require.Equal(t, ring, unlooped(ring))
	got := unlooped(looped)
	require.Less(t, len(got), len(looped)-10)
	_, crossed := uncross(got, plane.SignedArea(got))
	require.False(t, crossed)
	require.InDelta(t, plane.Area(ring), plane.Area(got), 2)
}

// The middle values are those of what is sorted.
func TestMedians(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.OneOf(rapid.Float64Range(-5, 5), rapid.Map(rapid.IntRange(0, 3), func(i int) float64 { return float64(i) })), 1, 120).Draw(t, "values")
		was := slices.Clone(v)
		require.Equal(t, slices.Sorted(slices.Values(v))[len(v)/2], median(v))
		require.Equal(t, was, v)
		reach := rapid.IntRange(0, 30).Draw(t, "reach")
		for i, m := range medians(v, reach) {
			var window []float64
			for d := -reach; d <= reach; d++ {
				window = append(window, v[round(i+d, len(v))])
			}
			slices.Sort(window)
			require.Equal(t, window[reach], m)
		}
	})
}
