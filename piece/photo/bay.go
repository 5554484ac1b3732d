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

// bays is the shores of the bays of a scrap's outline that have a colour of its
// own, in the picture; mm is the same outline on the ground.
func (t *tracer) bays(r region, ids []int32, at, mm []orb.Point) (where []orb.Point) {
	shares := t.shares(r, ids)
	if shares == nil {
		return nil
	}
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
			if mouth < bayMouthMM && around > bayDetour*mouth && area > max(leastBayMM2, bayDeepMM*mouth) && area-mouth > most {
				best, most = k, area-mouth
			}
		}
		if best == 0 {
			continue
		}
		var mid orb.Point
		var shore []orb.Point
		for k := i; k <= best; k++ {
			shore = append(shore, at[k%n])
			mid = plane.Along(mid, at[k%n], 1/float64(best-i+1))
		}
		f := t.f
		x, y := min(max(int(mid[0])/f.by, 0), f.w-1), min(max(int(mid[1])/f.by, 0), f.h-1)
		if shares.of(toLab(f.mean(y*f.w+x))) > bayShare {
			where = append(where, shore...)
		}
		i = best
	}
	return where
}
