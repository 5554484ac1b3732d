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
	rim   *field
	rings [][]vec // the outline, then the holes, cloth on the quarter() side
	dents []vec   // corners that can poke into a part
	nubs  []vec   // those that matter to a rough look
	pits  []vec   // a point within each hole
	verts []vec   // what must not be within a part: all corners, and the pits
	area  float64
	hull  []edge // of the convex hull
	plain bool   // a rectangle along x and y without holes

	once  sync.Once
	slope *tilt
}

// nubShare of a ring's extent is how far a rough look at it may be off.
const nubShare = 0.0008

// NewCloth prepares a scrap. The rings may be closed or not and run either way;
// the outline must be simple, the holes simple and within it. Holes without
// area are passed over. On a cloth whose outline has no area nothing fits.
func NewCloth(outline orb.Ring, holes []orb.Ring) *Cloth {
	c := &Cloth{}
	out := points(outline, true)
	if out == nil {
		c.rim = newField(nil, false, 1)
		return c
	}
	c.rings = append(c.rings, out)
	for _, h := range holes {
		if ps := points(h, false); ps != nil {
			c.rings = append(c.rings, ps)
			c.pits = append(c.pits, inner(ps))
		}
	}
	var es []edge
	for _, r := range c.rings {
		b := boxOf(r)
		es = append(es, rimEdges(r)...)
		c.dents = append(c.dents, dents(r)...)
		c.nubs = append(c.nubs, dents(simplify(r, nubShare*math.Hypot(b.width(), b.height())))...)
		c.verts = append(c.verts, r...)
		c.area += area(r)
	}
	c.verts = append(c.verts, c.pits...)
	c.rim = newField(es, false, 48)
	b := c.rim.bounds
	c.plain = len(c.rings) == 1 && len(out) == 4 && math.Abs(c.area-b.width()*b.height()) <= 1e-9*c.area
	c.hull = rimEdges(hull(out))
	return c
}

// Area is the scrap's area in mm², holes taken off.
func (c *Cloth) Area() float64 { return c.area }
