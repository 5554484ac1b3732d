package split

import (
	"errors"

	"eke/piece"

	"github.com/peterstace/simplefeatures/geom"
)

// ErrSliver is returned for cuts that leave a part too narrow to sew.
var ErrSliver = errors.New("the cuts leave a part that is nowhere 8 mm wide; move one of them")

// leastWideMM is how wide a part must be somewhere: one that is nowhere so wide
// is all seam allowance once it is sewn.
const leastWideMM = 8.1

// isSliver reports whether no disc as wide as a part must be lies in the
// outline.
func isSliver(o piece.Outline) bool {
	ring := o.Ring()
	// A disc whose radius is the area over the length round fits in any
	// outline, for the discs about its rim would not cover it.
	if area := piece.Area(ring); area >= leastWideMM/2*o.Length() {
		return false
	}
	xy := make([]float64, 0, 2*len(ring)+2)
	for _, q := range append(ring, ring[0]) {
		xy = append(xy, q[0], q[1])
	}
	core, err := geom.Buffer(geom.NewSingleRingPolygonXY(xy...).AsGeometry(), -leastWideMM/2)
	return err != nil || core.IsEmpty()
}
