package staged

import (
	"math"

	"github.com/paulmach/orb"
)

// Weave is how a cloth's colours lie.
type Weave string

// The weaves.
const (
	PlainWeave Weave = "plain"
	Stripes    Weave = "stripes"
	Checks     Weave = "checks"
	Dots       Weave = "dots"
	Flowers    Weave = "flowers"
	Rib        Weave = "rib"
	Twill      Weave = "twill"
)

// Cloth is what a scrap looks like.
type Cloth struct {
	Weave    Weave
	Colours  [3][3]float64 // light; the first is the ground of the print
	RepeatMM float64
	TurnDeg  float64 // of the stripes from the picture's x
	Grain    float64 // how far threads differ
	Folds    float64 // how far soft folds shade it
	Seed     float64
}

func (c *Cloth) at(q orb.Point) [3]float32 {
	s, k := math.Sincos(c.TurnDeg * math.Pi / 180)
	x, y := k*q[0]+s*q[1], -s*q[0]+k*q[1]
	col := c.Colours[0]
	u, v := y/c.RepeatMM, x/c.RepeatMM
	cell := func(t float64) float64 { return t - math.Floor(t) }
	shade := 1.0
	switch c.Weave {
	case Stripes:
		switch f := cell(u); {
		case f > 0.55:
			col = c.Colours[1]
		case f > 0.22 && f < 0.3:
			col = c.Colours[2]
		}
	case Checks:
		col = mix(c.Colours[0], c.Colours[1], 0.5*step(cell(u) > 0.5)+0.5*step(cell(v) > 0.5))
	case Dots:
		if math.Hypot(cell(u+0.5*math.Mod(math.Floor(v), 2))-0.5, cell(v)-0.5) < 0.24 {
			col = c.Colours[1]
		}
	case Flowers:
		i, j := math.Floor(u), math.Floor(v)
		cx, cy := 0.5+0.2*(noise(i+c.Seed, j)-0.5), 0.5+0.2*(noise(i, j+c.Seed+9)-0.5)
		dx, dy := cell(u)-cx, cell(v)-cy
		r, a := math.Hypot(dx, dy), math.Atan2(dy, dx)
		switch {
		case r < 0.09:
			col = c.Colours[2]
		case r < 0.3*(0.7+0.3*math.Cos(5*a+6*noise(i, j))):
			col = c.Colours[1]
		}
	case Rib:
		shade = 1 + 0.14*math.Sin(2*math.Pi*u)
	case Twill:
		shade = 1 + 0.1*math.Sin(2*math.Pi*(x+y)/2.2)
	}
	shade *= 1 + c.Grain*(2*smooth(q[0]/0.7+c.Seed, q[1]/0.7)-1)
	shade *= 1 + c.Folds*(2*smooth(q[0]/60+c.Seed, q[1]/45+c.Seed)-1)
	return [3]float32{float32(col[0] * shade), float32(col[1] * shade), float32(col[2] * shade)}
}

func mix(a, b [3]float64, t float64) [3]float64 {
	for i := range a {
		a[i] += t * (b[i] - a[i])
	}
	return a
}

func step(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// Ground is what the scraps lie on.
type Ground struct {
	Colour [3]float64
	Kind   string // "plain", "wood", "linen" or "carpet"
	Depth  float64
}

func (g *Ground) at(q orb.Point) [3]float32 {
	shade := 1.0
	switch g.Kind {
	case "wood":
		shade += g.Depth * (smooth(q[0]/160, q[1]/6) + 0.6*smooth(q[0]/50, q[1]/2.1) - 0.8)
	case "linen":
		shade += g.Depth * (smooth(q[0]/0.8, q[1]/5) + smooth(q[0]/5, q[1]/0.8) - 1)
	case "carpet": // tufts, and where feet have brushed them another way
		shade += g.Depth * (2.4*smooth(q[0]/2.6, q[1]/2.2) + 1.2*smooth(q[0]/0.9, q[1]/0.9) - 1.8 + 0.5*(smooth(q[0]/140, q[1]/90)-0.5))
	default:
		shade += 0.3 * g.Depth * (smooth(q[0]/0.9, q[1]/0.9) - 0.5)
	}
	c := g.Colour
	return [3]float32{float32(c[0] * shade), float32(c[1] * shade), float32(c[2] * shade)}
}

// noise is a value from 0 to 1 that stands for a place of whole numbers.
func noise(x, y float64) float64 {
	h := uint64(int64(math.Floor(x)))*0x9E3779B97F4A7C15 ^ uint64(int64(math.Floor(y)))*0xC2B2AE3D27D4EB4F
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	h ^= h >> 32
	return float64(h>>11) / (1 << 53)
}

// smooth is noise that changes gently between the whole numbers.
func smooth(x, y float64) float64 {
	i, j := math.Floor(x), math.Floor(y)
	u, v := x-i, y-j
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	a, b := noise(i, j), noise(i+1, j)
	c, d := noise(i, j+1), noise(i+1, j+1)
	return (a*(1-u)+b*u)*(1-v) + (c*(1-u)+d*u)*v
}
