package photo

import (
	"fmt"
	"math"

	"eke/piece/plane"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/paulmach/orb"
)

// Scraps of one colour that lie side by side with a gap of one width between them
// may be one cloth with a stripe of the ground's colour. By their look that cannot
// be told; it is said.
const (
	akinUnits = 12.0 // CIELAB units between their colours, at most
	akinMM    = 25.0 // of the gap
	evenMM    = 1.5  // by which the gap differs
	sideMM    = 20.0 // of its length, at least
	sidePart  = 0.6  // the same, of the side of a square as large as the smaller
)

// akin says which scraps may be parts of one cloth.
func (t *tracer) akin() {
	for i := range t.out.Scraps {
		for k := range i {
			a, b := &t.out.Scraps[k], &t.out.Scraps[i]
			if a.MeasuredMM2 > b.MeasuredMM2 {
				a, b = b, a
			}
			if !alikeColours(a, b) || !sideBySide(a.Outline, b.Outline, max(sideMM, sidePart*math.Sqrt(a.MeasuredMM2))) {
				continue
			}
			for _, of := range [2][2]*Scrap{{a, b}, {b, a}} {
				t.out.Problems = append(t.out.Problems, Problem{
					Number: of[0].Number, Where: t.place(of[0].seen[0]),
					What: fmt.Sprintf("it and number %d are of one colour and lie side by side: they may be one cloth with a stripe of the ground's colour", of[1].Number),
					Cure: "if they are, lay it on a ground of another colour",
					seen: [][]orb.Point{of[0].seen[0]},
				})
			}
		}
	}
}

// alikeColours is whether two scraps have a colour in common.
func alikeColours(a, b *Scrap) bool {
	for _, x := range a.Colours {
		for _, y := range b.Colours {
			p, errP := colorful.Hex(x)
			q, errQ := colorful.Hex(y)
			if errP == nil && errQ == nil && 100*p.DistanceLab(q) < akinUnits {
				return true
			}
		}
	}
	return false
}

// sideBySide is whether a ring keeps one distance to another along so many mm.
func sideBySide(a, b orb.Ring, mm float64) bool {
	if !a.Bound().Pad(akinMM).Intersects(b.Bound()) {
		return false
	}
	const step = 2.0
	var off, long []float64
	least := math.Inf(1)
	for i, p := range a {
		q := a[(i+1)%len(a)]
		n := int(plane.Distance(p, q)/step) + 1
		for k := range n {
			d := plane.ToRing(b, plane.Lerp(p, q, float64(k)/float64(n)))
			off, least = append(off, d), min(least, d)
			long = append(long, plane.Distance(p, q)/float64(n))
		}
	}
	if least > akinMM {
		return false
	}
	along := 0.0
	for i, d := range off {
		if d < least+evenMM {
			along += long[i]
		}
	}
	return along >= mm
}
