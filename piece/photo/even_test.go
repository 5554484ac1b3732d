package photo

import (
	"image"
	"image/draw"
	"math"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/race"

	"github.com/stretchr/testify/require"
)

// softened is a picture whose sRGB values are mixed with those beside them, as programs do that make pictures smaller.
func softened(m image.Image) *image.RGBA {
	b := m.Bounds()
	out := image.NewRGBA(b)
	draw.Draw(out, b, m, b.Min, draw.Src)
	for _, step := range [...]int{4, out.Stride, 4, out.Stride} {
		was := append([]uint8{}, out.Pix...)
		for k := step; k < len(was)-step; k++ {
			out.Pix[k] = uint8((int(was[k-step]) + 2*int(was[k]) + int(was[k+step]) + 2) / 4)
		}
	}
	return out
}

// tracedMixed is what is traced of a blurred picture that mixed values, or light alone,
// which it is known by.
func tracedMixed(t *testing.T, s *staged.Scene, mixed bool) *tracer {
	s.BlurPx = 0.9
	m := image.Image(s.Picture())
	if mixed {
		s.BlurPx = 0.4
		m = softened(s.Picture())
	}
	traced, err := trace(t.Context(), newPicture(m, 1), Options{})
	require.NoError(t, err)
	require.Equal(t, mixed, traced.p.even.values > 0)
	return traced
}

// A picture that mixed values is known from one that mixed light, by a scale sheet, and the outlines
// lie where the cloth's edges are.
func TestMixes(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for _, mixed := range [...]bool{false, true} {
		s := staged.Random(4, 1000)
		traced := tracedMixed(t, s, mixed)
		require.Less(t, traced.view.rmsPx, 0.03) // by light 0.052 of the scale sheet's edges
		var out sitting
		out.judge(s, traced)
		var areas []float64
		for _, v := range out.verdicts {
			require.True(t, v.traced, "%+v", v)
			areas = append(areas, math.Abs(v.area))
		}
		require.Less(t, median(areas), 0.005)
	}
}

// So it is by a plain sheet on dark ground.
func TestPaperMixes(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for _, mixed := range [...]bool{false, true} {
		tracedMixed(t, staged.Random(8, 800), mixed)
	}
}

// An edge that light made even is lopsided by values, and the other way about.
func TestLopsided(t *testing.T) {
	const dark, light = 0.05, 0.9 // of light
	var mixedLight, mixedValues []float64
	for u := -paperReachPx; u <= paperReachPx; u += paperStepPx {
		part := 0.5 * math.Erfc(-u/math.Sqrt2)
		mixedLight = append(mixedLight, encoded(dark+(light-dark)*part))
		mixedValues = append(mixedValues, encoded(dark)+(encoded(light)-encoded(dark))*part)
	}
	inLight := func(rise []float64) (out []float64) {
		for _, v := range rise {
			out = append(out, decoded(v))
		}
		return out
	}
	require.Less(t, lopsided(mixedValues), 1e-3)
	require.Less(t, lopsided(inLight(mixedLight)), 1e-3)
	require.Greater(t, lopsided(mixedLight), 0.002)
	require.Greater(t, lopsided(inLight(mixedValues)), 0.002)
	require.Less(t, unlikeSides(mixedValues), 1e-3)
	require.Less(t, unlikeSides(inLight(mixedLight)), 1e-3)
	require.Greater(t, unlikeSides(mixedLight), 0.003)
	require.Greater(t, unlikeSides(inLight(mixedValues)), 0.003)

	// One that was sharpened is far from what blur makes, and the same on both sides all the same.
	var sharpened []float64
	for u := -paperReachPx; u <= paperReachPx; u += paperStepPx {
		sharpened = append(sharpened, 0.2+0.6*(1.5*0.5*math.Erfc(-u/math.Sqrt2)-0.5*0.5*math.Erfc(-u/1.6/math.Sqrt2)))
	}
	require.Greater(t, lopsided(sharpened), 0.005)
	require.Less(t, unlikeSides(sharpened), 1e-3)
	require.Greater(t, unlikeSides(inLight(sharpened)), 0.01)
}

// On any scale two places are as far apart as the light that they stand for.
func TestApart(t *testing.T) {
	t.Parallel()
	for _, values := range [...]float64{0, 0.3, 1} {
		s := newScale(values)
		for _, light := range [...][2]float64{{0.86, 0.70}, {0.4, 0.02}, {0.5, 0.5}} {
			require.InDelta(t, light[0]-light[1], s.apart(s.of(light[0]), s.of(light[1])), 0.005)
		}
	}
}
