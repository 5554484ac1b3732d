package fit

import "math/rand/v2"

const (
	mostIdle    = 60 // iterations without progress, before a search goes back to its best layout: a strike
	mostStrikes = 2  // in a row, before it ends
)

// minimiseOverlap is the guided local search for a layout without overlap. It
// moves overlapping items one by one to where they cost least. Between
// iterations the weights grow on pairs that keep overlapping. It ends when
// nothing overlaps, when it makes no progress, or when more says stop. The
// layout is left at its best.
func (l *layout) minimiseOverlap(rng *rand.Rand, more func() bool) bool {
	best := l.totalOverlap()
	if best == 0 {
		return true
	}
	poses := l.poses(nil)
	for strikes := 0; strikes < mostStrikes; {
		begun := best
		for idle := 0; idle < mostIdle; {
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
