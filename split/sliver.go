package split

import (
	"errors"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
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
	wide := holdsDisc(o, ring, leastWideMM)
	_, necked := piece.Neck(ring, leastNeckMM)
	if wide && !necked {
		return nil
	}
	core, err := eroded(polygon(ring), leastNeckMM/2)
	if err != nil || core.IsEmpty() {
		return ErrSliver
	}
	const more = (leastWideMM - leastNeckMM) / 2
	if !wide && core.Area() < more*core.Boundary().Length() {
		if disc, err := eroded(core, more); err != nil || disc.IsEmpty() {
			return ErrSliver
		}
	}
	if necked && len(core.Dump()) > 1 {
		return ErrNeck
	}
	return nil
}

// WideSomewhere reports whether a disc as wide as that lies in an outline: one of 20 mm
// or so leaves something to hold and to press. Width is in mm.
func WideSomewhere(o piece.Outline, wideMM float64) bool {
	ring := o.Ring()
	if holdsDisc(o, ring, wideMM) {
		return true
	}
	core, err := eroded(polygon(ring), wideMM/2)
	return err == nil && !core.IsEmpty()
}

// holdsDisc reports what areas alone tell: a disc of radius area / perimeter fits in
// any outline. For discs of that radius all along the outline do not cover its inside,
// and a point they leave uncovered is the middle of a disc that fits.
func holdsDisc(o piece.Outline, ring orb.Ring, wideMM float64) bool {
	return plane.SignedArea(ring) >= wideMM/2*o.Length()
}

func polygon(ring orb.Ring) geom.Geometry {
	xy := make([]float64, 0, 2*len(ring)+2)
	for _, q := range append(ring, ring[0]) {
		xy = append(xy, q[0], q[1])
	}
	return geom.NewSingleRingPolygonXY(xy...).AsGeometry()
}

// eroded is what of a geometry lies further than mm inside it. From an outline
// of very many corners a fifth is taken first: that leaves few of them, and
// the time for the rest grows with how many are near each other.
func eroded(g geom.Geometry, mm float64) (geom.Geometry, error) {
	const dense = 1000 // points
	if g.DumpCoordinates().Length() < dense {
		return geom.Buffer(g, -mm)
	}
	g, err := geom.Buffer(g, -mm/5, geom.BufferQuadSegments(4))
	if err != nil {
		return g, err
	}
	return geom.Buffer(g, -mm*4/5, geom.BufferQuadSegments(4))
}
