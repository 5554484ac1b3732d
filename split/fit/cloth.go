package fit

import (
	"math"
	"sync"

	"github.com/paulmach/orb"
)

// Cloth is a scrap prepared for placing parts on it: what the shears see, an
// outline with holes in it, in millimetres. It is immutable, and safe for use
// by several goroutines at once.
type Cloth struct {
	region           *region
	rings            [][]vec // the outline, then the holes; cloth on the quarter() side
	reflex           []vec   // the reflex corners, which can reach into a part
	simplifiedReflex []vec   // of the rings simplified
	holePoints       []vec   // a point within each hole
	keepOut          []vec   // what must not lie within a part: all corners, and the points in holes
	area             float64
	hull             []edge // of the convex hull
	isRectangle      bool   // a rectangle along x and y without holes

	once      sync.Once
	distances *distanceField
}

// clothSimplifyShare is how far a simplified ring may stray, as a share of the
// diagonal of its box.
const clothSimplifyShare = 0.0008

// NewCloth prepares a scrap. The rings may be closed or not and run either way;
// the outline must be simple, the holes simple and within it. Holes without
// area are passed over. On a cloth whose outline has no area nothing fits.
func NewCloth(outline orb.Ring, holes []orb.Ring) *Cloth {
	c := &Cloth{}
	out := openRing(outline, true)
	if out == nil {
		c.region = newRegion(nil, false, 1)
		return c
	}
	c.rings = append(c.rings, out)
	for _, h := range holes {
		if ps := openRing(h, false); ps != nil {
			c.rings = append(c.rings, ps)
			c.holePoints = append(c.holePoints, innerPoint(ps))
		}
	}
	var es []edge
	for _, r := range c.rings {
		b := boxOf(r)
		es = append(es, boundaryEdges(r)...)
		c.reflex = append(c.reflex, reflexVertices(r)...)
		c.simplifiedReflex = append(c.simplifiedReflex, reflexVertices(simplifyRing(r, clothSimplifyShare*math.Hypot(b.width(), b.height())))...)
		c.keepOut = append(c.keepOut, r...)
		c.area += area(r)
	}
	c.keepOut = append(c.keepOut, c.holePoints...)
	c.region = newRegion(es, false, 48)
	b := c.region.bounds
	c.isRectangle = len(c.rings) == 1 && len(out) == 4 && math.Abs(c.area-b.width()*b.height()) <= 1e-9*c.area
	c.hull = boundaryEdges(convexHull(out))
	return c
}

// Area is the scrap's area in mm², holes taken off.
func (c *Cloth) Area() float64 { return c.area }
