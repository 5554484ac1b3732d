package fit

import (
	"math"
	"math/rand/v2"
)

// patience says when a search for a layout without overlap gives up.
type patience struct {
	iterations int // without progress, before it goes back to the best layout: a strike
	strikes    int // in a row, before it ends
}

// exactTry lets a search go on by other means, now and then, from a layout that
// has little overlap.
type exactTry struct {
	every int                        // so many iterations
	worth func(overlap float64) bool // of the layout with the least overlap among these
	try   func() bool                // from there; a yes ends the search
}

// minimiseOverlap is the guided local search for a layout without overlap. It
// moves overlapping items one by one to where they cost least. Between
// iterations the weights grow on pairs that keep overlapping. It ends when
// nothing overlaps, when it makes no progress, or when more says stop. The
// layout is left at its best.
func (l *layout) minimiseOverlap(rng *rand.Rand, pt patience, more func() bool, x exactTry) bool {
	best := l.totalOverlap()
	if best == 0 {
		return true
	}
	poses := l.poses(nil)
	lately := math.Inf(1) // the least overlap since the last exact try
	var latest, now []pose
	for strikes, n := 0, 1; strikes < pt.strikes; {
		begun := best
		for idle := 0; idle < pt.iterations; n++ {
			if !more() {
				l.restore(poses)
				return false
			}
			l.moveOverlapping(rng, sampleCounts{anywhere: 50, nearby: 25})
			t := l.totalOverlap()
			if t == 0 {
				return true
			}
			idle++
			if t < best {
				if t < 0.98*best {
					idle = 0
				}
				best = t
				poses = l.poses(poses)
			}
			l.updateWeights()
			if x.every == 0 {
				continue
			}
			if t < lately {
				lately, latest = t, l.poses(latest)
			}
			if n%x.every == 0 {
				if x.worth(lately) {
					now = l.poses(now)
					l.restore(latest)
					if x.try() {
						return true
					}
					l.restore(now)
				}
				lately = math.Inf(1)
			}
		}
		if best < 0.98*begun {
			strikes = 0
		} else {
			strikes++
		}
		l.restore(poses)
	}
	return false
}

// restore puts the items back in the given poses.
func (l *layout) restore(ps []pose) {
	for i, p := range ps {
		if l.placed[i].pose != p {
			l.put(i, p)
		}
	}
}
