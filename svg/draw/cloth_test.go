package draw

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParseColour(t *testing.T) {
	for s, want := range map[string]string{
		"navy": "#000080", " CornSilk ": "#fff8dc", "#abc": "#aabbcc", "#12aB9f": "#12ab9f", "rgb(1, 20,300)": "#0114ff",
	} {
		c, ok := ParseColour(s)
		require.True(t, ok, s)
		require.Equal(t, want, hex(c))
	}
	for _, s := range []string{
		"", "blurple", "#12", "#12345g", "url(x)", "red;background:url(//x)", "var(--x)", "rgb(1,2)", "expression(1)", "#ab\u0441", "+12345", "#+12345",
	} {
		_, ok := ParseColour(s)
		require.False(t, ok, s)
	}
}

// The tones are told apart by people with each kind of colour blindness:
// every two differ by a CIE 1976 colour difference of at least 20 (2.3 is the
// least that is noticed side by side: M. Mahy and others, "Evaluation of
// uniform color spaces", 1994, from memory). What is seen is worked out after
// G. Machado, M. Oliveira and L. Fernandes, "A physiologically-based model for
// simulation of color vision deficiency", 2009, severity 1.0 (from memory).
func TestTonesAndColourBlindness(t *testing.T) {
	sight := map[string][9]float64{
		"full":         {1, 0, 0, 0, 1, 0, 0, 0, 1},
		"protanopia":   {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998},
		"deuteranopia": {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
		"tritanopia":   {1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900},
	}
	for name, m := range sight {
		for i, a := range tones {
			for _, b := range tones[:i] {
				d := labDistance(seen(a, m), seen(b, m))
				require.Greater(t, d, 20.0, fmt.Sprintf("%s and %s with %s", hex(a), hex(b), name))
			}
		}
	}
}

// seen is a colour in linear light, as the matrix has it.
func seen(c color.RGBA, m [9]float64) [3]float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	v := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	var out [3]float64
	for i := range out {
		for k := range v {
			out[i] += m[3*i+k] * v[k]
		}
		out[i] = math.Max(0, math.Min(1, out[i]))
	}
	return out
}

// labDistance is the CIE 1976 difference of two colours in linear sRGB, white
// point D65 (IEC 61966-2-1).
func labDistance(a, b [3]float64) float64 {
	lab := func(v [3]float64) [3]float64 {
		x := (0.4124*v[0] + 0.3576*v[1] + 0.1805*v[2]) / 0.9505
		y := 0.2126*v[0] + 0.7152*v[1] + 0.0722*v[2]
		z := (0.0193*v[0] + 0.1192*v[1] + 0.9505*v[2]) / 1.089
		f := func(t float64) float64 {
			if t > 216.0/24389 {
				return math.Cbrt(t)
			}
			return (24389.0/27*t + 16) / 116
		}
		return [3]float64{116*f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))}
	}
	p, q := lab(a), lab(b)
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}
