package remnant

import (
	"errors"
	"math"
	"slices"
	"sort"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// shred is a bit's outline, clockwise on the page, and its holes.
type shred struct {
	outline []plan.Point
	holes   [][]plan.Point
}

func (s shred) area() float64 { return ringArea(s.outline) - holesArea(s.holes) }

const (
	// gridMM is far less than any difference that counts. Points that should be
	// one and differ in their last digit can turn an overlay inside out.
	gridMM = 1e-6
	// hairMM is half the width of a tongue that is no cloth: what stays between
	// a part laid to the very edge of its scrap and that edge.
	hairMM = 0.05
	// touchMM is how near a hole may come to the rim, or a rim to itself, and
	// still be read as drawn.
	touchMM = 2e-3
)

// left is what a scrap leaves once some outlines are cut from it.
func left(s *plan.Scrap, cut [][]plan.Point) ([]shred, Rest, error) {
	cloth, err := polygon(s.Outline)
	if err != nil {
		return nil, Rest{}, err
	}
	for _, ring := range append(slices.Clone(s.Holes), cut...) {
		gone, err := polygon(ring)
		if err != nil {
			return nil, Rest{}, err
		}
		if cloth, err = overlay(geom.Difference, cloth, gone); err != nil {
			return nil, Rest{}, err
		}
	}
	rest := Rest{StuffingMM2: cloth.Area()}
	if cloth, err = withoutHairs(cloth); err != nil {
		return nil, Rest{}, err
	}
	var bits []shred
	for _, p := range polygons(cloth) {
		if tooSmall(p) {
			continue
		}
		more, err := readable(p)
		if err != nil {
			return nil, Rest{}, err
		}
		for _, b := range more {
			if b.holdsDisc() {
				bits = append(bits, b)
			}
		}
	}
	sort.SliceStable(bits, func(i, j int) bool { return bits[i].area() > bits[j].area()+1e-3 })
	for _, b := range bits {
		rest.Bits++
		rest.BitsMM2 += b.area()
	}
	rest.StuffingMM2 = math.Max(0, rest.StuffingMM2-rest.BitsMM2)
	return bits, rest, nil
}

// withoutHairs is a region without tongues narrower than twice hairMM. Of the
// rest every corner stays where it is.
func withoutHairs(g geom.Geometry) (geom.Geometry, error) {
	core, err := geom.Buffer(g, -hairMM, geom.BufferQuadSegments(4))
	if err != nil || core.IsEmpty() {
		return core, err
	}
	reach, err := geom.Buffer(core, 6*hairMM, geom.BufferJoinStyleMitre(10))
	if err != nil {
		return core, err
	}
	out, err := overlay(geom.Intersection, g, reach)
	if err != nil { // its mitres may lie over each other
		if reach, err = geom.Buffer(reach, 0); err == nil {
			out, err = overlay(geom.Intersection, g, reach)
		}
	}
	return out, err
}

// readable is a polygon as shreds that a reader of scraps takes as drawn: no
// ring meets itself or another. Where one does, a speck is cut out; where that
// is of no use, all of it is drawn in by as little as takes it apart.
func readable(p geom.Polygon) ([]shred, error) {
	g := p.AsGeometry()
	for range 3 {
		out, ok := shreds(g)
		if ok {
			return out, nil
		}
		for _, at := range meetings(g) {
			speck, err := polygon(square(at, 2*touchMM))
			if err == nil {
				g, err = overlay(geom.Difference, g, speck)
			}
			if err != nil {
				return nil, err
			}
		}
	}
	for _, mm := range []float64{2 * touchMM, 0.01, 0.02, 0.04} {
		in, err := geom.Buffer(p.AsGeometry(), -mm, geom.BufferJoinStyleMitre(5))
		if err != nil {
			return nil, err
		}
		if out, ok := shreds(in); ok {
			return out, nil
		}
	}
	return nil, errors.New("its outline meets itself")
}

// shreds are the polygons of a geometry that are not too small, and whether
// each can be read as drawn.
func shreds(g geom.Geometry) (out []shred, all bool) {
	for _, q := range polygons(g) {
		if tooSmall(q) {
			continue
		}
		s, ok := shredOf(q)
		if !ok {
			return nil, false
		}
		out = append(out, s)
	}
	return out, true
}

// meetings are the places where the rings of a geometry come so near to
// themselves or each other that they count as one there.
func meetings(g geom.Geometry) []orb.Point {
	type side struct {
		a, b    orb.Point
		ring, i int
		of      int // how many sides the ring has
	}
	var sides []side
	rings := 0
	for _, p := range polygons(g) {
		for _, l := range p.DumpRings() {
			_, r := rawRing(l)
			for i, a := range r {
				sides = append(sides, side{a, r[(i+1)%len(r)], rings, i, len(r)})
			}
			rings++
		}
	}
	sort.SliceStable(sides, func(i, j int) bool {
		return math.Min(sides[i].a[0], sides[i].b[0]) < math.Min(sides[j].a[0], sides[j].b[0])
	})
	var out []orb.Point
	for k, s := range sides {
		for _, t := range sides[k+1:] {
			if math.Min(t.a[0], t.b[0]) > math.Max(s.a[0], s.b[0])+touchMM {
				break
			}
			step := (t.i - s.i + s.of) % s.of
			if s.ring == t.ring && (step == 1 || step == s.of-1) {
				continue
			}
			if at, mm := nearest(s.a, s.b, t.a, t.b); mm < touchMM {
				out = append(out, at)
			}
		}
	}
	return out
}

// nearest is where two segments that do not cross come nearest to each other,
// and how near.
func nearest(a, b, c, d orb.Point) (at orb.Point, mm float64) {
	mm = math.Inf(1)
	for _, q := range [4][3]orb.Point{{a, c, d}, {b, c, d}, {c, a, b}, {d, a, b}} {
		if off := plane.ToSegment(q[0], q[1], q[2]); off < mm {
			at, mm = q[0], off
		}
	}
	return at, mm
}

func square(at orb.Point, half float64) []plan.Point {
	return []plan.Point{{at[0] - half, at[1] - half}, {at[0] + half, at[1] - half}, {at[0] + half, at[1] + half}, {at[0] - half, at[1] + half}}
}

// tooSmall reports whether a polygon has not even the area of the smallest disc.
func tooSmall(p geom.Polygon) bool { return p.Area() < math.Pi/4*LeastDiscMM*LeastDiscMM }

// shredOf is a polygon to a ten-thousandth of a millimetre. It is false where
// that is not fit to be read as a scrap.
func shredOf(p geom.Polygon) (shred, bool) {
	rim, ok := ringOf(p.ExteriorRing())
	if !ok {
		return shred{}, false
	}
	s := shred{outline: rim}
	rings := [][]plan.Point{rim}
	for i := range p.NumInteriorRings() {
		hole, ok := ringOf(p.InteriorRingN(i))
		if !ok {
			if a, _ := rawRing(p.InteriorRingN(i)); ringArea(a) < 1e-2 {
				continue // a slip of the overlay: less than a thread
			}
			return shred{}, false
		}
		for _, r := range rings {
			if near(r, hole, touchMM) {
				return shred{}, false
			}
		}
		rings = append(rings, hole)
		s.holes = append(s.holes, hole)
	}
	return s, true
}

// near reports whether two rings come within mm of each other.
func near(a, b []plan.Point, mm float64) bool {
	ra, rb := ring(a), ring(b)
	box := rb.Bound().Pad(mm)
	for i, p := range ra {
		q := ra[(i+1)%len(ra)]
		if !box.Intersects(orb.MultiPoint{p, q}.Bound()) {
			continue
		}
		for j, r := range rb {
			if _, off := nearest(p, q, r, rb[(j+1)%len(rb)]); off < mm {
				return true
			}
		}
	}
	return false
}

// rawRing is a ring's points, clockwise on the page and rounded, without those
// that repeat the one before or lie on the line between their neighbours.
func rawRing(l geom.LineString) ([]plan.Point, orb.Ring) {
	seq := l.Coordinates()
	var all []plan.Point
	for i := range seq.Length() - 1 {
		xy := seq.GetXY(i)
		q := plan.Point{math.Round(xy.X*1e4) / 1e4, math.Round(xy.Y*1e4) / 1e4}
		if n := len(all); n == 0 || all[n-1] != q {
			all = append(all, q)
		}
	}
	for len(all) > 1 && all[0] == all[len(all)-1] {
		all = all[:len(all)-1]
	}
	all = withoutFlats(all)
	if plane.SignedArea(ring(all)) < 0 {
		slices.Reverse(all)
	}
	return all, ring(all)
}

// withoutFlats leaves out points that rounding alone keeps off the line between
// their neighbours.
func withoutFlats(r []plan.Point) []plan.Point {
	const flatMM = 1e-4
	var out []plan.Point
	n := len(r)
	for i, q := range r {
		before := r[(i+n-1)%n]
		if len(out) > 0 {
			before = out[len(out)-1]
		}
		after := r[(i+1)%n]
		if n > 3 && plane.ToSegment(orb.Point(q), orb.Point(before), orb.Point(after)) < flatMM {
			continue
		}
		out = append(out, q)
	}
	return out
}

// ringOf is a ring of a polygon, and whether a reader takes it: it has an area,
// does not touch itself and has no hairline spike.
func ringOf(l geom.LineString) ([]plan.Point, bool) {
	points, r := rawRing(l)
	if len(r) < 3 || plane.SignedArea(r) < 1 {
		return nil, false
	}
	if _, spiked := piece.Spike(r); spiked {
		return nil, false
	}
	_, crossed := piece.SelfCrossing(r)
	return points, !crossed
}

// polygon is the inside of a ring.
func polygon(r []plan.Point) (geom.Geometry, error) {
	xy := make([]float64, 0, 2*len(r)+2)
	for i := 0; i <= len(r); i++ {
		q := r[i%len(r)]
		xy = append(xy, math.Round(q[0]/gridMM)*gridMM, math.Round(q[1]/gridMM)*gridMM)
	}
	p := geom.NewSingleRingPolygonXY(xy...)
	return p.AsGeometry(), p.Validate()
}

// polygons are the polygons of a geometry; its points and lines have no width.
func polygons(g geom.Geometry) []geom.Polygon {
	var out []geom.Polygon
	for _, one := range g.Dump() {
		if p, ok := one.AsPolygon(); ok && !p.IsEmpty() {
			out = append(out, p)
		}
	}
	return out
}

func ring(points []plan.Point) orb.Ring {
	out := make(orb.Ring, len(points))
	for i, q := range points {
		out[i] = orb.Point(q)
	}
	return out
}

func ringArea(points []plan.Point) float64 { return plane.Area(ring(points)) }

func holesArea(holes [][]plan.Point) float64 {
	var sum float64
	for _, h := range holes {
		sum += ringArea(h)
	}
	return sum
}
