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

	once    sync.Once
	outside *field // the region around the part

	hulled sync.Once
	hull   []vec

	filled  sync.Once
	circles []pole
}

// NewShape prepares a cutting line, a simple polygon in millimetres in the
// part's own coordinates. The ring may be closed or not and run either way. A
// shape without area fits nowhere.
func NewShape(cut orb.Ring) *Shape {
	s := &Shape{ring: points(cut, true)}
	if s.ring == nil {
		return s
	}
	s.centre = boxOf(s.ring).centre()
	for i := range s.ring {
		s.ring[i] = s.ring[i].sub(s.centre)
	}
	s.inner = inner(s.ring)
	s.bounds = boxOf(s.ring)
	s.radius = radius(s.ring)
	s.area = area(s.ring)
	return s
}

// Area is the part's area in mm².
func (s *Shape) Area() float64 { return s.area }

// around is the field of the region outside the part, built when first asked.
func (s *Shape) around() *field {
	s.once.Do(func() { s.outside = newField(flipped(rimEdges(s.ring)), true, 24) })
	return s.outside
}

// poles are circles that fill the shape, found when first asked.
func (s *Shape) poles() []pole {
	s.filled.Do(func() { s.circles = poles(s.ring) })
	return s.circles
}

func (s *Shape) convexHull() []vec {
	s.hulled.Do(func() { s.hull = hull(s.ring) })
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

// lay appends the shape's vertices as they lie in pose p.
func (s *Shape) lay(dst []vec, p pose) []vec {
	sin, cos := sincosDeg(p.deg)
	return laid(dst, s.ring, sin, cos, p.at)
}

// laid appends points to dst, turned about the origin and then moved.
func laid(dst, ps []vec, sin, cos float64, at vec) []vec {
	for _, q := range ps {
		dst = append(dst, q.turn(sin, cos).add(at))
	}
	return dst
}
