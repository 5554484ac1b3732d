package photo

import (
	"math"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Shears leave edges that are straight or bend evenly, and corners with such sides. Where an
// outline turns into the cloth at an angle whose sides are neither, a colour of a print, a shadow or noise has
// often led it there; it is said. Of staged scraps with such a place nearly half miss a goal.
const (
	kinkDeg   = 25.0 // by which it turns, between nodes smallNear and smallFar from its corner
	kinkFar   = 14   // nodes each side to the end of what should be straight
	kinkOffPx = 0.25 // how far nodes of a straight side are off it: a standard deviation
	kinkTurn  = 0.25 // radians that it may turn by
	kinkMM    = 0.9  // deep, at least, between nodes smallFar from it: less is within what any outline is off
)

// kinks is the places of an outline where it turns in at such an angle, in the picture; mm is the
// same outline on the ground.
func kinks(at, mm []orb.Point) (where []orb.Point) {
	n := len(at)
	if n < 4*kinkFar {
		return nil
	}
	for _, i := range peaks(at, smallNear, smallFar) {
		node := func(d int) orb.Point { return at[round(i+d, n)] }
		u, v := plane.Sub(node(-smallNear), node(-smallFar)), plane.Sub(node(smallFar), node(smallNear))
		if apartDeg(u, v) < kinkDeg || plane.Cross(u, v) > 0 { // to the right is out of the cloth
			continue
		}
		before, okB := straightRun(at, i-kinkFar, i-smallNear, kinkOffPx)
		after, okA := straightRun(at, i+smallNear, i+kinkFar, kinkOffPx)
		if okB && okA && max(math.Abs(before.turn), math.Abs(after.turn)) < kinkTurn {
			continue
		}
		if plane.ToSegment(mm[i], mm[round(i-smallFar, n)], mm[round(i+smallFar, n)]) >= kinkMM {
			where = append(where, at[i])
		}
	}
	return where
}
