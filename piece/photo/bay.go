package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Where a print's colour at the edge is like the ground's, the outline may have been
// led round it: it has a bay, and in the bay there is a colour of the scrap. That
// cannot be told from a notch with cloth of the same colour under it; it is said.
var printBay = bayShape{mouthMM: 14, aroundMM: 60, detour: 1.5, deepMM: 1, leastMM2: 4}

const bayShare = 0.02 // of the scrap that has the colour

// bayShape is what makes a part of an outline that turns in a bay.
type bayShape struct {
	mouthMM  float64 // wide at most
	aroundMM float64 // the same, along its shore
	detour   float64 // of its shore, over its mouth; of a square corner 1.41
	deepMM   float64 // on average, at least
	leastMM2 float64
	deepest  bool // it begins where it is largest for its mouth, and not as soon as it may
}

// bay is a part of an outline that turns in: its nodes from one on to another, which may lie
// beyond the last.
type bay struct{ from, to int }

// of is the bays of such a shape of an outline on the ground, in mm.
func (s bayShape) of(mm []orb.Point) (all []bay) {
	return s.on(mm, math.Copysign(1, plane.SignedArea(mm)))
}

// outside is the parts of an outline that turn out as bays of such a shape turn in.
func (s bayShape) outside(mm []orb.Point) (all []bay) {
	return s.on(mm, -math.Copysign(1, plane.SignedArea(mm)))
}

func (s bayShape) on(mm []orb.Point, sign float64) (all []bay) {
	steps := make([]float64, len(mm)) // from the node before
	for i, q := range mm {
		steps[i] = plane.Distance(mm[round(i-1, len(mm))], q)
	}
	for i := 0; i < len(mm); i++ {
		b, most := s.from(mm, steps, i, sign)
		for k := i + 1; s.deepest && k < b.to && k < len(mm); k++ {
			if other, m := s.from(mm, steps, k, sign); m > most {
				b, most = other, m
			}
		}
		if most > 0 {
			all = append(all, b)
			i = b.to
		}
	}
	return all
}

// from is the bay that begins at a node, and its area in mm² beyond what would make its mouth
// a bay; 0 if there is none. Steps is how far each node is from the one before, and sign that of the
// outline's area.
func (s bayShape) from(mm []orb.Point, steps []float64, i int, sign float64) (b bay, most float64) {
	n := len(mm)
	around, twice := 0.0, 0.0 // along the shore, and the area it has about the first point
	var a orb.Point
	for k := i + 1; k < i+n/2 && around < s.aroundMM; k++ {
		c := plane.Sub(mm[k%n], mm[i])
		around += steps[k%n]
		twice += plane.Cross(a, c)
		a = c
		area := -sign * twice / 2
		if area <= max(s.leastMM2, most) {
			continue
		}
		mouth := plane.Length(c)
		if mouth < s.mouthMM && around > s.detour*mouth && area > s.deepMM*mouth && area-s.deepMM*mouth > most {
			b, most = bay{i, k}, area-s.deepMM*mouth
		}
	}
	return b, most
}

// shore is the nodes of a bay.
func (b bay) shore(ring []orb.Point) (out []orb.Point) {
	for k := b.from; k <= b.to; k++ {
		out = append(out, ring[k%len(ring)])
	}
	return out
}

// bays is the shores of the bays of a scrap's outline that have a colour of its
// own, in the picture; mm is the same outline on the ground.
func (t *tracer) bays(r region, ids []int32, at, mm []orb.Point) (where []orb.Point) {
	shares := t.shares(r, ids)
	if shares == nil {
		return nil
	}
	for _, b := range printBay.of(mm) {
		var mid orb.Point
		shore := b.shore(at)
		for _, q := range shore {
			mid = plane.Along(mid, q, 1/float64(len(shore)))
		}
		f := t.f
		x, y := min(max(int(mid[0])/f.by, 0), f.w-1), min(max(int(mid[1])/f.by, 0), f.h-1)
		if shares.of(toLab(f.mean(y*f.w+x))) > bayShare {
			where = append(where, shore...)
		}
	}
	return where
}

// A dent in an outline may be less than a bay, and wider. What lies in one is cloth where its
// colour is the scrap's own. If the outline goes straight on beyond it, it is led straight across.
// Narrow ones first: a corner may be within a wide one.
var dents = [...]bayShape{
	{mouthMM: 14, aroundMM: 60, detour: 1.1, deepMM: 0.4, leastMM2: 1.5},
	{mouthMM: 30, aroundMM: 100, detour: 1.1, deepMM: 1, leastMM2: 4, deepest: true},
}

const (
	acrossNodes = 12    // of the outline on either side of a dent that say where it goes
	acrossDeg   = 30.0  // by which it may turn there
	acrossMM    = 420.0 // the same, times the width of a wide one
)

// evenOut leads an outline, in the picture, straight across dents that are the scrap's own. It
// is the lines across wide ones.
func (t *tracer) evenOut(at []orb.Point, own func() *ownColours) (wide []orb.Point) {
	mm := make([]orb.Point, len(at))
	for width, shape := range dents {
		for i, q := range at {
			mm[i] = t.view.ground(q)
		}
		for _, b := range shape.of(mm) {
			if goesStraight(at, b, acrossMM/plane.Distance(mm[b.from], mm[b.to%len(mm)])) && own().fills(b.shore(at)) {
				b.cross(at)
				if width > 0 {
					wide = append(wide, b.shore(at)...)
				}
			}
		}
	}
	return wide
}

// goesStraight is whether an outline goes on beyond a dent as the line across it does.
func goesStraight(ring []orb.Point, b bay, mostDeg float64) bool {
	n := len(ring)
	from, to := ring[b.from], ring[b.to%n]
	over := plane.Sub(to, from)
	before, after := plane.Sub(from, ring[round(b.from-acrossNodes, n)]), plane.Sub(ring[round(b.to+acrossNodes, n)], to)
	return max(apartDeg(before, over), apartDeg(over, after)) <= min(acrossDeg, mostDeg)
}

// cross puts the nodes of a dent on the line across it.
func (b bay) cross(ring []orb.Point) {
	n := len(ring)
	from, to := ring[b.from], ring[b.to%n]
	for k := b.from + 1; k < b.to; k++ {
		ring[k%n] = plane.Lerp(from, to, float64(k-b.from)/float64(b.to-b.from))
	}
}

// apartDeg is the angle between two ways, in degrees.
func apartDeg(u, v orb.Point) float64 {
	return math.Abs(plane.TurnDeg(u, v))
}
