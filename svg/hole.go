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
		return r.errorf(guessedFirst(holes), fmt.Sprintf("the outline has %d points and its holes %d", len(s.Outline), points), "simplify their paths")
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
		return r.errorf(guessedFirst(holes), fmt.Sprintf("the outline has %d points, and %d holes that touch", len(s.Outline), len(holes)), "simplify its path, or join the holes")
	}
	rim, err := polygon(s.Outline)
	if err != nil {
		return r.errorf(holes[0].mark, "the scrap's outline cannot be used: "+err.Error(), "redraw the outline")
	}
	left := rim
	cloth, islands := largest(left)
	parting := holes[0].mark // the hole that parts the cloth
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
		whole := islands == 1
		if cloth, islands = largest(left); whole && islands != 1 {
			parting = h.mark
		}
	}
	if islands != 1 {
		parts := "nothing of the scrap"
		if islands > 1 {
			parts = fmt.Sprintf("the scrap in %d parts", islands)
		}
		return r.errorf(parting, "the holes leave "+parts, "draw each part as a scrap of its own")
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

// guessedFirst is the mark of the first hole that no word speaks of, which may be
// only drawing, or else that of the first.
func guessedFirst(holes []cutout) mark {
	if i := slices.IndexFunc(holes, func(h cutout) bool { return h.mark.sub != nil }); i >= 0 {
		return holes[i].mark
	}
	return holes[0].mark
}

// strictlyInside reports whether hole lies within rim, and no side of it
// comes within a hair of a side of rim.
func strictlyInside(hole, rim orb.Ring) bool {
	const hair = 1e-3
	return planar.RingContains(rim, hole[0]) && !anyNearer(hole, sidesNear(rim, hole.Bound().Pad(hair)), hair)
}

// side is a side of a ring and its box.
type side struct {
	a, b orb.Point
	box  orb.Bound
}

// sidesNear are the sides of a ring whose boxes meet a box.
func sidesNear(r orb.Ring, box orb.Bound) []side {
	var out []side
	for i, a := range r {
		b := r[(i+1)%len(r)]
		s := side{a, b, orb.Bound{
			Min: orb.Point{min(a[0], b[0]), min(a[1], b[1])},
			Max: orb.Point{max(a[0], b[0]), max(a[1], b[1])},
		}}
		if s.box.Intersects(box) {
			out = append(out, s)
		}
	}
	return out
}

// anyNearer reports whether a side of the ring comes within mm of one of some sides.
func anyNearer(r orb.Ring, sides []side, mm float64) bool {
	if len(sides) == 0 {
		return false
	}
	box := sides[0].box
	for _, s := range sides {
		box = box.Union(s.box)
	}
	for _, o := range sidesNear(r, box.Pad(mm)) {
		padded := o.box.Pad(mm)
		for i := range sides {
			if padded.Intersects(sides[i].box) && apartBy(o.a, o.b, sides[i].a, sides[i].b) <= mm {
				return true
			}
		}
	}
	return false
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
