package fit

import "math/rand/v2"

const (
	mostIdle    = 60 // iterations without progress, before a search goes back to its best layout: a strike
	mostStrikes = 2  // in a row, before it ends
)

// searchEnd is what a guided local search came to.
type searchEnd int

const (
	withoutOverlap searchEnd = iota
	withOverlap              // it made no progress, or had no time left
	givenUp                  // it was hopeless
)

// minimiseOverlap is the guided local search for a layout without overlap. It
// moves overlapping items one by one to where they cost least. Between
// iterations the weights grow on pairs that keep overlapping. It ends when
// nothing overlaps, when it makes no progress, when more says stop, or when it is
// hopeless by the least overlap after so many iterations; hopeless may be nil. The
// layout is left at its best.
func (l *layout) minimiseOverlap(rng *rand.Rand, more func() bool, hopeless func(iterations int, least float64) bool) searchEnd {
	best := l.totalOverlap()
	if best == 0 {
		return withoutOverlap
	}
	poses := l.poses(nil)
	iterations := 0
	for strikes := 0; strikes < mostStrikes; {
		begun := best
		for idle := 0; idle < mostIdle; {
			if !more() {
				l.restore(poses)
				return withOverlap
			}
			l.moveOverlapping(rng, sampleCounts{anywhere: 50, nearby: 25})
			t := l.totalOverlap()
			if t == 0 {
				return withoutOverlap
			}
			iterations++
			idle++
			if t < best {
				if t < 0.98*best {
					idle = 0
				}
				best = t
				poses = l.poses(poses)
			}
			if hopeless != nil && hopeless(iterations, best) {
				l.restore(poses)
				return givenUp
			}
			l.updateWeights()
		}
		if best < 0.98*begun {
			strikes = 0
		} else {
			strikes++
		}
		l.restore(poses)
	}
	return withOverlap
}

// restore puts the items back in the given poses.
func (l *layout) restore(ps []pose) {
	for i, p := range ps {
		if l.placed[i].pose != p {
			l.put(i, p)
		}
	}
}
