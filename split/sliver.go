package split

import (
	"errors"

	"eke/piece"

	"github.com/peterstace/simplefeatures/geom"
)

// What is returned for cuts that leave a part too narrow to sew, or one that
// is as good as two.
var (
	ErrSliver = errors.New("the cuts leave a part that is nowhere 8 mm wide; move one of them")
	ErrNeck   = errors.New("the cuts leave a part that less than a millimetre holds together; move one of them")
)

const (
	// leastWideMM is how wide a part must be somewhere: one that is nowhere so
	// wide is all seam allowance once it is sewn.
	leastWideMM = 8.1
	// leastNeckMM is how wide a part must be all the way between two bits of
	// it that are wider.
	leastNeckMM = 1.05
)

// tooNarrow is ErrSliver where no disc as wide as a part must be lies in the
// outline, and ErrNeck where one as wide as a neck must be cannot go from end
// to end of it.
func tooNarrow(o piece.Outline) error {
	ring := o.Ring()
	// A disc whose radius is the area over the length round fits in any
	// outline, for the discs about its rim would not cover it.
	wide := piece.Area(ring) >= leastWideMM/2*o.Length()
	_, necked := piece.Neck(ring, leastNeckMM)
	if wide && !necked {
		return nil
	}
	xy := make([]float64, 0, 2*len(ring)+2)
	for _, q := range append(ring, ring[0]) {
		xy = append(xy, q[0], q[1])
	}
	g := geom.NewSingleRingPolygonXY(xy...).AsGeometry()
	if core, err := geom.Buffer(g, -leastWideMM/2); !wide && (err != nil || core.IsEmpty()) {
		return ErrSliver
	}
	if core, err := geom.Buffer(g, -leastNeckMM/2); necked && (err != nil || len(core.Dump()) > 1) {
		return ErrNeck
	}
	return nil
}
