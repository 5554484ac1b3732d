package svg

import (
	"fmt"
	"slices"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/peterstace/simplefeatures/geom"
)

// cutout is a hole as drawn.
type cutout struct {
	ring orb.Ring
	mark mark
}

// How much work the holes of one scrap may be.
const (
	maxHolePairs = 50_000_000 // of points of the outline and of its holes
	maxHoleSides = 200_000    // of the outline, once for each hole
)

// cutHoles takes the holes out of a scrap. Those that lie inside stay as they
// were drawn; where any touches or crosses the rim or another hole, the cloth
// that is left is worked out with an overlay.
func (r *markReader) cutHoles(s *piece.DrawnScrap, holes []cutout) error {
	if len(holes) == 0 {
		return nil
	}
	points := 0
	for _, h := range holes {
		points += len(h.ring)
	}
	if points*len(s.Outline) > maxHolePairs {
		return r.errorf(holes[0].mark, fmt.Sprintf("the outline has %d points and its holes %d", len(s.Outline), points), "simplify their paths")
	}
	apart := true
	for i, h := range holes {
		inside := strictlyInside(h.ring, s.Outline)
		s.Cutouts[i].OverRim, apart = !inside, apart && inside
		for _, o := range holes[:i] {
			apart = apart && !o.ring.Bound().Intersects(h.ring.Bound())
		}
		s.Holes = append(s.Holes, h.ring)
	}
	if apart {
		return nil
	}
	if len(holes)*len(s.Outline) > maxHoleSides {
		return r.errorf(holes[0].mark, fmt.Sprintf("the outline has %d points, and %d holes that touch", len(s.Outline), len(holes)), "simplify its path, or join the holes")
	}
	rim, err := polygon(s.Outline)
	if err != nil {
		return r.errorf(holes[0].mark, "the scrap's outline cannot be used: "+err.Error(), "redraw the outline")
	}
	left := rim
	for _, h := range holes {
		hole, err := polygon(h.ring)
		if err != nil {
			return r.errorf(h.mark, "the hole cannot be used: "+err.Error(), "redraw it")
		}
		if !geom.Intersects(rim, hole) {
			return r.errorf(h.mark, "the hole lies outside the scrap", "move it into the outline, or into its own scrap's group")
		}
		if left, err = geom.Difference(left, hole); err != nil {
			return r.errorf(h.mark, "the hole cannot be cut out: "+err.Error(), "redraw it as a simpler outline")
		}
	}
	cloth, islands := largest(left)
	if islands != 1 {
		parts := "nothing of the scrap"
		if islands > 1 {
			parts = fmt.Sprintf("the scrap in %d parts", islands)
		}
		return r.errorf(holes[0].mark, "the holes leave "+parts, "draw each part as a scrap of its own")
	}
	s.Outline = ringOf(cloth.ExteriorRing())
	s.Holes = nil
	for i := range cloth.NumInteriorRings() {
		s.Holes = append(s.Holes, ringOf(cloth.InteriorRingN(i)))
	}
	return nil
}

// largest is the largest polygon of what is left, and how many there are that
// a part could ever be cut from.
func largest(g geom.Geometry) (best geom.Polygon, islands int) {
	const leastMM2 = 100
	for _, one := range g.Dump() {
		p, ok := one.AsPolygon()
		if !ok || p.IsEmpty() {
			continue
		}
		if p.Area() >= leastMM2 {
			islands++
		}
		if p.Area() > best.Area() {
			best = p
		}
	}
	return best, islands
}

// strictlyInside reports whether hole lies within rim, and no side of it
// comes within a hair of a side of rim.
func strictlyInside(hole, rim orb.Ring) bool {
	const hair = 1e-3
	if !planar.RingContains(rim, hole[0]) {
		return false
	}
	for i, a := range hole {
		b := hole[(i+1)%len(hole)]
		box := orb.MultiPoint{a, b}.Bound().Pad(hair)
		for j, c := range rim {
			d := rim[(j+1)%len(rim)]
			if box.Intersects(orb.MultiPoint{c, d}.Bound()) && apartBy(a, b, c, d) <= hair {
				return false
			}
		}
	}
	return true
}

// apartBy is the distance between the segments ab and cd.
func apartBy(a, b, c, d orb.Point) float64 {
	side := func(p, q, s orb.Point) float64 { return (q[0]-p[0])*(s[1]-p[1]) - (q[1]-p[1])*(s[0]-p[0]) }
	if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
		return 0
	}
	return min(plane.ToSegment(a, c, d), plane.ToSegment(b, c, d), plane.ToSegment(c, a, b), plane.ToSegment(d, a, b))
}

func polygon(r orb.Ring) (geom.Geometry, error) {
	xy := make([]float64, 0, 2*len(r)+2)
	for i := 0; i <= len(r); i++ {
		q := r[i%len(r)]
		xy = append(xy, q[0], q[1])
	}
	p := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))})
	return p.AsGeometry(), p.Validate()
}

// ringOf is a polygon's ring as a scrap holds it: clockwise on the page, no
// closing repeat.
func ringOf(l geom.LineString) orb.Ring {
	seq := l.Coordinates()
	var points orb.LineString
	for i := range seq.Length() {
		xy := seq.GetXY(i)
		points = append(points, orb.Point{xy.X, xy.Y})
	}
	ring := distinct(points)
	if plane.SignedArea(ring) < 0 {
		slices.Reverse(ring)
	}
	return ring
}
