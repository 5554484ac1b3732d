package check

import (
	"errors"
	"fmt"
	"math"

	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
)

// region is the inside of a simple ring.
type region struct {
	ring []point // as given
	box  box
	area float64
	geom geom.Geometry

	holes [][]point
}

// newRegion refuses a ring that is not a simple closed line round one area.
func newRegion(ring []plan.Point) (region, error) {
	if len(ring) < 3 {
		return region{}, fmt.Errorf("it has %d points", len(ring))
	}
	polygon := simple(ring)
	if err := polygon.Validate(); err != nil {
		return region{}, fmt.Errorf("it is no simple outline: %w", err)
	}
	r := region{ring: ring, box: boxOf(ring...), area: polygon.Area(), geom: polygon.AsGeometry()}
	// Points that should be one and differ in their last digit can turn the
	// overlay of two regions inside out; on a grid they are one.
	if polygon = simple(snapped(ring)); polygon.Validate() == nil {
		r.geom = polygon.AsGeometry()
	}
	if r.area < SlackMM*SlackMM {
		return region{}, errors.New("it has no area")
	}
	return r, nil
}

// snapped is a ring on the grid.
func snapped(ring []point) []point {
	out := make([]point, len(ring))
	for i, p := range ring {
		out[i] = point{math.Round(p[0]/gridMM) * gridMM, math.Round(p[1]/gridMM) * gridMM}
	}
	return out
}

// gridMM is far less than any difference that counts.
const gridMM = 1e-6

// simple is the polygon that a ring goes round.
func simple(ring []point) geom.Polygon {
	xy := make([]float64, 0, 2*len(ring)+2)
	for _, p := range closed(ring) {
		xy = append(xy, p[0], p[1])
	}
	return geom.NewSingleRingPolygonXY(xy...)
}

// same reports whether two regions without holes have the same points in the same order.
func (r *region) same(s *region) bool {
	n := len(r.ring)
	if n != len(s.ring) || len(r.holes)+len(s.holes) > 0 {
		return false
	}
	for shift, p := range s.ring {
		if p != r.ring[0] {
			continue
		}
		same := true
		for i := range r.ring {
			if r.ring[i] != s.ring[(i+shift)%n] {
				same = false
				break
			}
		}
		if same {
			return true
		}
	}
	return false
}

// grown is the geometry with mm of round margin, or with that taken off where
// mm is negative.
func grown(g geom.Geometry, mm float64) (geom.Geometry, error) {
	return geom.Buffer(g, mm, geom.BufferQuadSegments(16))
}

// eroded is what of a geometry lies further than mm inside it. From an outline
// of very many corners a fifth is taken first: that leaves few of them, and
// the time for the rest grows with how many are near each other. The discs are
// then of fewer corners, and at most a hundredth of the radius too small.
func eroded(g geom.Geometry, mm float64) (geom.Geometry, error) {
	const dense = 1000 // points
	if g.DumpCoordinates().Length() < dense {
		return grown(g, -mm)
	}
	coarse := geom.BufferQuadSegments(5)
	g, err := geom.Buffer(g, -mm/5, coarse)
	if err != nil {
		return g, err
	}
	return geom.Buffer(g, -mm*4/5, coarse)
}

// widerThan finds a place where the geometry is wider than mm: the middle of a
// disc of that diameter within it.
func widerThan(g geom.Geometry, mm float64) (at point, wider bool, err error) {
	const discArea = 0.785 // of a disc's bounding square, rounded down
	for _, polygon := range polygons(g) {
		if polygon.Area() < discArea*mm*mm {
			continue
		}
		core, err := grown(polygon.AsGeometry(), -mm/2)
		if err != nil {
			return point{}, false, err
		}
		if core.IsEmpty() {
			continue
		}
		xy, _ := core.PointOnSurface().XY()
		return point{xy.X, xy.Y}, true, nil
	}
	return point{}, false, nil
}

// polygons are the polygons of a geometry; its points and lines have no width.
func polygons(g geom.Geometry) []geom.Polygon {
	var out []geom.Polygon
	for _, part := range g.Dump() {
		if p, ok := part.AsPolygon(); ok && !p.IsEmpty() {
			out = append(out, p)
		}
	}
	return out
}
