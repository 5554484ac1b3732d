package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Where a print's colour at the edge is like the ground's, the outline may have been
// led round it: it has a bay, and in the bay there is a colour of the scrap. That
// cannot be told from a notch with cloth of the same colour under it; it is said.
const (
	bayMouthMM  = 14.0 // wide at most
	bayAroundMM = 60.0 // the same, along its shore
	bayDetour   = 1.5  // of its shore, over its mouth; of a square corner's 1.41
	bayDeepMM   = 1.0  // on average, at least
	leastBayMM2 = 4.0
	bayShare    = 0.02 // of the scrap that has the colour
)

// bay is a part of an outline that turns in: its nodes from one on to another, which may lie
// beyond the last.
type bay struct{ from, to int }

// baysOf is the bays of an outline on the ground, in mm, of at least such an area, such a
// depth on average, and such a detour.
func baysOf(mm []orb.Point, leastMM2, deepMM, detour float64) (all []bay) {
	sign := math.Copysign(1, plane.SignedArea(mm))
	n := len(mm)
	for i := 0; i < n; i++ {
		around, twice := 0.0, 0.0 // along the shore, and the area it has about the first point
		best, most := 0, 0.0
		for k := i + 1; k < i+n/2 && around < bayAroundMM; k++ {
			a, b := plane.Sub(mm[(k-1)%n], mm[i]), plane.Sub(mm[k%n], mm[i])
			around += plane.Distance(a, b)
			twice += plane.Cross(a, b)
			mouth, area := plane.Length(b), -sign*twice/2
			if mouth < bayMouthMM && around > detour*mouth && area > max(leastMM2, deepMM*mouth) && area-deepMM*mouth > most {
				best, most = k, area-deepMM*mouth
			}
		}
		if best > 0 {
			all = append(all, bay{i, best})
			i = best
		}
	}
	return all
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
	for _, b := range baysOf(mm, leastBayMM2, bayDeepMM, bayDetour) {
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

// A dent in an outline is less than a bay. What lies in one is cloth where its colour is the
// scrap's own. If the outline goes straight on beyond it, it is led straight across.
const (
	leastDentMM2 = 1.5
	dentDeepMM   = 0.4  // on average, at least
	dentDetour   = 1.1  // of its shore, over its mouth
	acrossNodes  = 12   // of the outline on either side of a dent that say where it goes
	acrossDeg    = 30.0 // by which it may turn there
)

// evenOut leads an outline, in the picture, straight across dents that are the scrap's own.
func (t *tracer) evenOut(at []orb.Point, r region, ids []int32) {
	mm := make([]orb.Point, len(at))
	for i, q := range at {
		mm[i] = t.view.ground(q)
	}
	dents := baysOf(mm, leastDentMM2, dentDeepMM, dentDetour)
	if len(dents) == 0 {
		return
	}
	own := t.ownColours(r, ids)
	if own == nil {
		return
	}
	n := len(at)
	for _, b := range dents {
		from, to := at[b.from], at[b.to%n]
		over := plane.Sub(to, from)
		before, after := plane.Sub(from, at[round(b.from-acrossNodes, n)]), plane.Sub(at[round(b.to+acrossNodes, n)], to)
		if max(apartDeg(before, over), apartDeg(over, after)) > acrossDeg || !own.fills(b.shore(at)) {
			continue
		}
		for k := b.from + 1; k < b.to; k++ {
			at[k%n] = plane.Lerp(from, to, float64(k-b.from)/float64(b.to-b.from))
		}
	}
}

// apartDeg is the angle between two ways, in degrees.
func apartDeg(u, v orb.Point) float64 {
	return math.Abs(math.Atan2(plane.Cross(u, v), plane.Dot(u, v))) * 180 / math.Pi
}
