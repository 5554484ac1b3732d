package photo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// rimOf is what is seen across an edge through a lens, with a shadow that takes so
// much of the ground's light at the edge and reaches as far as one of rimReaches.
func rimOf(px, edge, black, deep float64, reach int) rim {
	b := newBlurred(px)
	r := rim{black: black}
	for u := -rimInPx; u <= rimOutPx; u += stepPx {
		i := int(math.Round((u - edge - fineFrom) / fineStep))
		r.part = append(r.part, b.cloth[i]+black*deep*b.shades[reach][i])
	}
	return r
}

// How blurred a picture is, is found between the steps that are tried out.
func TestLensBlur(t *testing.T) {
	t.Parallel()
	for _, px := range []float64{0.55, 0.9, 1.3, 2.15, 3.1} {
		var all []rim
		for k := range 8 {
			all = append(all, rimOf(px, 0.1*float64(k-4), 0, 0, 0))
		}
		require.InEpsilon(t, px, lensBlur(all).px, 0.02)
	}
	require.Nil(t, lensBlur([]rim{{}}))
}

// An edge is found where it is, with a shadow beside it that a lens of known blur does not hide.
func TestEdgeBesideShadow(t *testing.T) {
	t.Parallel()
	for reach := range rimReaches {
		for _, deep := range []float64{0, 0.15} {
			for _, black := range []float64{-1.5, -0.3, 2} {
				px, _ := newBlurred(1.2).fit(rimOf(1.2, 0.25, black, deep, reach))
				require.InDelta(t, 0.25, px, 0.12, "%v %v %v", reach, deep, black)
			}
		}
	}
}

// A point that cloth covers by half is half as bright as cloth and ground together if
// those are of one hue, and brighter than that if they are not.
func TestHalfBright(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.45, byLight.halfBright([3]float32{0.8, 0.8, 0.8}, [3]float32{0.1, 0.1, 0.1}), 1e-4)
	bright := func(c [3]float32) float64 { return byLight.halfBright(c, c) }
	red, green := [3]float32{0.5, 0.02, 0.02}, [3]float32{0.02, 0.3, 0.02}
	require.Greater(t, byLight.halfBright(red, green), 1.1*(bright(red)+bright(green))/2)
}

// The place where the light changes fastest is found from the edge's darker side, and
// from its lighter one, and not across a dip.
func TestClimb(t *testing.T) {
	t.Parallel()
	const n, edge, other = 20, 20, 32 // steps
	l := across{}
	for k := range 2*n + 1 {
		v := 0.05 + 0.5*0.5*math.Erfc(float64(k-edge)/3) + 0.4*0.5*math.Erfc(float64(other-k)/2)
		l.light = append(l.light, [3]float32{float32(v), float32(0.6 * v), float32(0.1 * v)})
	}
	for from := edge - 4; from <= edge+4; from++ {
		require.InDelta(t, edge, l.climb(float64(from)), 1, "from %d", from)
	}
	require.InDelta(t, other, l.climb(other-2), 1)
}
