package check

import (
	"fmt"

	"github.com/peterstace/simplefeatures/geom"
)

// Where some parts would have the area on a scrap, wide parts may still find no room, for
// much of the scrap is in corners and between bumps. Discs tell: all that lies within a
// disc of some radius that lies within a part lies, on the scrap, within a disc of the cloth
// that is wider still by the part's allowance. So the parts as far as such discs reach, with
// their allowances and half the gap round them, have no more room than the cloth as far as
// those wider discs reach. It holds for every radius.

// radiiMM are of discs.
var radiiMM = []float64{20, 30, 40, 50, 55, 60, 65, 70, 75, 80, 90, 100, 120}

// roundly is for buffers that are off by less than a thousandth of their width.
var roundly = []geom.BufferOption{geom.BufferQuadSegments(32), geom.BufferSimplifyFactor(1e-4)}

// roundClear is more than a chord of so round a buffer is short by.
const roundClear = 1.001

// discArea is that of all discs of a radius within a shape, with some mm round it: no more
// than that.
func discArea(g geom.Geometry, radiusMM, roundMM float64) (float64, error) {
	middles, err := geom.Buffer(g, -radiusMM*roundClear, roundly...)
	if err != nil || middles.IsEmpty() {
		return 0, err
	}
	round, err := geom.Buffer(middles, radiusMM+roundMM, roundly...)
	return round.Area(), err
}

// discsOn is what parts with an allowance no less than that have room for on a scrap, as
// far as discs of a radius reach.
func (p *leastProof) discsOn(on id, radiusMM, allowMM float64) (float64, error) {
	key := clothDiscs{on, radiusMM, allowMM}
	if known, ok := p.discs[key]; ok {
		return known, nil
	}
	s := p.scraps[on]
	cloth := s.outline.geom
	var err error
	for i := range s.holes {
		if cloth, err = geom.Difference(cloth, s.holes[i].geom); err != nil {
			return 0, err
		}
	}
	deep := radiusMM + allowMM - leewayMM
	middles, err := geom.Buffer(cloth, -deep, roundly...)
	if err != nil {
		return 0, err
	}
	room := 0.0
	if !middles.IsEmpty() {
		round, err := geom.Buffer(middles, (deep+p.doc.GapMM/2)*roundClear, roundly...)
		if err != nil {
			return 0, err
		}
		room = round.Area()
	}
	p.discs[key] = room
	return room, nil
}

// clothDiscs tells what is kept of scraps apart.
type clothDiscs struct {
	on                id
	radiusMM, allowMM float64
}

// partDiscs tells what is kept of a copy's parts apart.
type partDiscs struct {
	part
	radiusMM float64
}

// discs is what a part of a copy takes of that, or with no cut the whole copy.
func (c *cloud) discs(q part, radiusMM float64) (float64, error) {
	key := partDiscs{q, radiusMM}
	if known, ok := c.discsMM2[key]; ok {
		return known, nil
	}
	g, allow := c.body.geom, c.wholeFrom
	if q != (part{}) {
		allow = c.allowMM
		for _, o := range q.sides() {
			var err error
			if g, err = geom.Intersection(g, c.half(o)); err != nil {
				return 0, err
			}
		}
	}
	a, err := discArea(g, radiusMM, allow+c.halfGap-leewayMM)
	if err == nil {
		c.discsMM2[key] = a
	}
	return a, err
}

// lain is a copy or a part of it that lies on a scrap.
type lain struct {
	at    id
	cloud *cloud
	part  part
}

// discsFit reports whether discs of all radii find room on a scrap.
func (s *sharing) discsFit(on id, parts []lain) (bool, error) {
	allow := parts[0].cloud.allowMM
	for _, l := range parts {
		allow = min(allow, l.cloud.allowMM)
	}
	const clear = 1.05
	most := 0.0 // that discs reach of the parts, whatever their radius
	for _, l := range parts {
		room := l.cloud.wholeRoom
		if l.part != (part{}) {
			var err error
			if room, err = s.roomMM2(l.cloud, l.part); err != nil {
				return false, err
			}
		}
		most += clear * room
	}
	for _, radius := range radiiMM {
		room, err := s.discsOn(on, radius, allow)
		if err != nil {
			return false, err
		}
		if most < room {
			continue
		}
		needs := 0.0
		for _, l := range parts {
			if _, known := l.cloud.discsMM2[partDiscs{l.part, radius}]; !known {
				if s.areas++; s.areas > mostAreas {
					return false, fmt.Errorf("there are too many parts to measure")
				}
			}
			a, err := l.cloud.discs(l.part, radius)
			if err != nil {
				return false, err
			}
			needs += a
		}
		if needs > room+roundMM2 {
			return false, nil
		}
	}
	return true, nil
}
