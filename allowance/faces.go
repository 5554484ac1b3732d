package allowance

import (
	"errors"
	"math"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

var errSelfCrossing = errors.New("the cutting line crosses itself")

// outerFace is the ring round everything that the raw offset curve covers, and
// the side of the seam line that each of its stretches runs beside. It fails
// where rounding has left the ring crossing itself.
func outerFace(c *rawOffset) (orb.Ring, []int, error) {
	meetings := c.intersections()
	if len(meetings) == 0 {
		ring, along := dropShort(c.largestLoop())
		return ring, along, nil
	}
	w := c.subdivide(meetings)
	ring, along := dropShort(w.ring(w.outer()))
	if _, crossed := piece.SelfCrossing(ring); crossed || plane.SignedArea(ring) <= 0 {
		return nil, nil, errSelfCrossing
	}
	return ring, along, nil
}

// largestLoop is the loop that encloses the largest area, and what its
// stretches run beside. Where no loop meets another it holds all others, for
// each covers some of the piece.
func (c *rawOffset) largestLoop() (ring orb.Ring, along []int) {
	for first := 0; first < len(c.segments); {
		var r orb.Ring
		var sides []int
		for k := first; len(r) == 0 || k != first; k = c.segments[k].next {
			r, sides = append(r, c.segments[k].a), append(sides, c.segments[k].side)
		}
		if ring == nil || plane.SignedArea(r) > plane.SignedArea(ring) {
			ring, along = r, sides
		}
		first += len(r) // the segments of a loop stand together
	}
	return ring, along
}

// dropShort drops stretches that are too short to see or to cut.
func dropShort(ring orb.Ring, along []int) (orb.Ring, []int) {
	const unseen = 1e-5
	n := 0
	for i, p := range ring {
		if n > 0 && plane.Distance(ring[n-1], p) < unseen {
			along[n-1] = along[i]
			continue
		}
		if n > 0 && i == len(ring)-1 && plane.Distance(ring[0], p) < unseen {
			continue
		}
		ring[n], along[n] = p, along[i]
		n++
	}
	return ring[:n], along[:n]
}

var (
	errNothing = errors.New("leaves nothing of the piece")
	errDivided = errors.New("cuts the piece in two")
)

// innerFace is the ring round what is left inside a raw offset curve that runs
// anticlockwise round a piece and covers its outline. It is the face round
// which the curve winds exactly once, backward. The ring runs anticlockwise.
func innerFace(c *rawOffset) (orb.Ring, []int, error) {
	const crumbMM2 = 25 // what is left of a blunted corner, not a piece
	w := c.subdivide(c.intersections())
	seen := make([]bool, len(w.edges))
	var best []int
	var bestArea, restArea float64
	for i := range w.edges {
		if seen[i] {
			continue
		}
		face := w.face(i)
		for _, k := range face {
			seen[k] = true
		}
		ring, _ := w.ring(face)
		area := -plane.SignedArea(ring)
		if area <= 0 || !c.windsOnceBack(ring) {
			continue
		}
		if area > bestArea {
			area, bestArea, best = bestArea, area, face
		}
		restArea = math.Max(restArea, area)
	}
	if bestArea < crumbMM2 {
		return nil, nil, errNothing
	}
	if restArea > crumbMM2 {
		return nil, nil, errDivided
	}
	ring, along := dropShort(w.ring(best))
	if _, crossed := piece.SelfCrossing(ring); crossed {
		return nil, nil, errSelfCrossing
	}
	return ring, along, nil
}

// windsOnceBack reports whether the curve winds exactly once, anticlockwise,
// round the inside of an anticlockwise face.
func (c *rawOffset) windsOnceBack(face orb.Ring) bool {
	// A point a hair inside the middle of the face's longest side.
	var from, to orb.Point
	for i, a := range face {
		if b := face[(i+1)%len(face)]; plane.Distance(a, b) > plane.Distance(from, to) {
			from, to = a, b
		}
	}
	d := plane.Sub(to, from)
	l := plane.Distance(from, to)
	p := plane.Along(plane.Add(from, plane.Scale(d, 0.5)), orb.Point{d[1] / l, -d[0] / l}, math.Min(1e-4, l/100))
	turns := 0
	for _, k := range c.segments {
		if (k.a[1] <= p[1]) == (k.b[1] <= p[1]) {
			continue
		}
		if left := plane.Cross(plane.Sub(k.b, k.a), plane.Sub(p, k.a)) > 0; left == (k.b[1] > k.a[1]) {
			if left {
				turns++
			} else {
				turns--
			}
		}
	}
	return turns == -1
}
