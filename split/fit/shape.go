package fit

import (
	"sync"

	"github.com/paulmach/orb"
)

// Shape is a part's cutting line prepared for placing. It is immutable, safe
// for use by several goroutines at once, and cheap to build.
type Shape struct {
	ring   []vec // about its centre, interior on the quarter() side
	centre vec   // in the part's own coordinates
	inner  vec   // a point within
	radius float64
	area   float64
	bounds box

	exteriorOnce   sync.Once
	exteriorRegion *region // the region around the part

	hullOnce sync.Once
	hull     []vec

	polesOnce sync.Once
	poleList  []pole
}

// NewShape prepares a cutting line, a simple polygon in millimetres in the
// part's own coordinates. The ring may be closed or not and run either way. A
// shape without area fits nowhere.
func NewShape(cut orb.Ring) *Shape {
	s := &Shape{ring: openRing(cut, true)}
	if s.ring == nil {
		return s
	}
	s.centre = boxOf(s.ring).centre()
	for i := range s.ring {
		s.ring[i] = s.ring[i].sub(s.centre)
	}
	s.inner = innerPoint(s.ring)
	s.bounds = boxOf(s.ring)
	s.radius = radius(s.ring)
	s.area = area(s.ring)
	return s
}

// Area is the part's area in mm².
func (s *Shape) Area() float64 { return s.area }

// exterior is the region outside the part, built when it is first asked for.
func (s *Shape) exterior() *region {
	s.exteriorOnce.Do(func() { s.exteriorRegion = newRegion(flipped(boundaryEdges(s.ring)), true, 24) })
	return s.exteriorRegion
}

// poles are circles that fill the shape, computed when they are first asked
// for.
func (s *Shape) poles() []pole {
	s.polesOnce.Do(func() { s.poleList = fillWithPoles(s.ring) })
	return s.poleList
}

func (s *Shape) convexHull() []vec {
	s.hullOnce.Do(func() { s.hull = convexHull(s.ring) })
	return s.hull
}

// pose is a placement about a shape's centre, the form the search works in.
type pose struct {
	at  vec
	deg float64
}

func (s *Shape) placement(p pose) Placement {
	sin, cos := sincosDeg(p.deg)
	t := p.at.sub(s.centre.turn(sin, cos))
	return Placement{DX: t.x, DY: t.y, Deg: p.deg}
}

func (s *Shape) pose(p Placement) pose {
	sin, cos := sincosDeg(p.Deg)
	return pose{s.centre.turn(sin, cos).add(vec{p.DX, p.DY}), p.Deg}
}

// place appends the shape's vertices as they lie in pose p.
func (s *Shape) place(dst []vec, p pose) []vec {
	sin, cos := sincosDeg(p.deg)
	return transformed(dst, s.ring, sin, cos, p.at)
}

// transformed appends points to dst, turned about the origin and then moved.
func transformed(dst, ps []vec, sin, cos float64, at vec) []vec {
	for _, q := range ps {
		dst = append(dst, q.turn(sin, cos).add(at))
	}
	return dst
}
