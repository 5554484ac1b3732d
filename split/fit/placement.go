package fit

import (
	"math"

	"github.com/paulmach/orb"
)

// Turn is a range of rotations a part may take: Deg plus or minus
// ToleranceDeg, in degrees clockwise (y down), and the lines that its shift is
// held to then. The zero Turn allows only the orientation the part was drawn in.
// A turn with lines has no tolerance.
type Turn struct {
	Deg, ToleranceDeg float64
	Lines             Lines
}

// Placement is where a part lies on a scrap: it is turned by Deg degrees
// clockwise (y down) about the origin of its own coordinates, then shifted by
// DX, DY millimetres. The zero Placement leaves it where it was drawn.
type Placement struct{ DX, DY, Deg float64 }

// Matrix returns the placement as SVG's [a,b,c,d,e,f]:
// x' = a·x + c·y + e, y' = b·x + d·y + f.
func (p Placement) Matrix() [6]float64 {
	sin, cos := sincosDeg(p.Deg)
	return [6]float64{cos, sin, -sin, cos, p.DX, p.DY}
}

// Apply returns the ring as it lies when placed; r itself is not changed.
func (p Placement) Apply(r orb.Ring) orb.Ring {
	m := p.Matrix()
	out := make(orb.Ring, len(r))
	for i, q := range r {
		out[i] = orb.Point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	return out
}

// sincosDeg is exact at the quarter turns, so that a half turn of a rectangle
// is a rectangle again and not one leaning by a rounding error.
func sincosDeg(deg float64) (sin, cos float64) {
	d := math.Mod(deg, 360)
	if d < 0 {
		d += 360
	}
	switch d {
	case 0, 360:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(d * math.Pi / 180)
}
