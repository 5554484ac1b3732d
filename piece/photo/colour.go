package photo

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"
)

// lab is a colour in CIELAB for daylight (D65): L from 0 to 100.
type lab [3]float32

// linear is the light that each sRGB value stands for (IEC 61966-2-1).
var linear = func() (out [256]float32) {
	for i := range out {
		r, _, _ := colorful.Color{R: float64(i) / 255}.LinearRgb()
		out[i] = float32(r)
	}
	return out
}()

// encoded is the sRGB value, from 0 to 1, of light, and decoded the light of one.
func encoded(light float64) float64 {
	return colorful.LinearRgb(light, 0, 0).R
}

func decoded(value float64) float64 {
	r, _, _ := colorful.Color{R: value}.LinearRgb()
	return r
}

// cubeRoots is CIELAB's f in steps of light, for pixels in their millions;
// between the steps it is a straight line.
var cubeRoots = func() (out [4097]float32) {
	for i := range out {
		t := float64(i) / 4096
		if t > 216.0/24389 {
			out[i] = float32(math.Cbrt(t))
		} else {
			out[i] = float32((t*24389/27 + 16) / 116)
		}
	}
	return out
}()

func cubeRoot(t float32) float32 {
	t = min(max(t, 0), 1) * 4096
	i := min(int(t), 4095)
	f := t - float32(i)
	return cubeRoots[i]*(1-f) + cubeRoots[i+1]*f
}

// toLab is the colour of light, as go-colorful computes it, but fast.
func toLab(c [3]float32) lab {
	// sRGB's primaries, each row over the white's X, Y or Z (IEC 61966-2-1).
	fx := cubeRoot((0.4124564*c[0] + 0.3575761*c[1] + 0.1804375*c[2]) / 0.95047)
	fy := cubeRoot(0.2126729*c[0] + 0.7151522*c[1] + 0.0721750*c[2])
	fz := cubeRoot((0.0193339*c[0] + 0.1191920*c[1] + 0.9503041*c[2]) / 1.08883)
	return lab{116*fy - 16, 500 * (fx - fy), 200 * (fy - fz)}
}

// light is the light of a colour, the inverse of toLab.
func (c lab) light() [3]float32 {
	r, g, b := colorful.Lab(float64(c[0])/100, float64(c[1])/100, float64(c[2])/100).LinearRgb()
	return [3]float32{float32(r), float32(g), float32(b)}
}

// hex is the colour as #rrggbb.
func (c lab) hex() string {
	return colorful.Lab(float64(c[0])/100, float64(c[1])/100, float64(c[2])/100).Clamped().Hex()
}

// apart is the difference of two colours (CIE 1976).
func (c lab) apart(d lab) float64 {
	return math.Sqrt(float64((c[0]-d[0])*(c[0]-d[0]) + (c[1]-d[1])*(c[1]-d[1]) + (c[2]-d[2])*(c[2]-d[2])))
}
