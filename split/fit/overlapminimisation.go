package fit

import "math/rand/v2"

// mostIdle is how many sweeps without progress end a search.
const mostIdle = 60

// minimiseOverlap moves overlapping items one by one to where they cost least, with
// weights that grow on the pairs that keep overlapping, until nothing overlaps,
// or it makes no progress, or more says stop. The layout is left at its best.
func (l *layout) minimiseOverlap(rng *rand.Rand, more func() bool) bool {
	best := l.totalOverlap()
	if best == 0 {
		return true
	}
	poses := l.poses(nil)
	for strikes := 0; strikes < 2; {
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

func (l *layout) restore(ps []pose) {
	for i, p := range ps {
		if l.placed[i].pose != p {
			l.put(i, p)
		}
	}
}
