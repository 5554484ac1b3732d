package fit

import "math/rand/v2"

// patience is how many sweeps without progress end a search.
const patience = 60

// separate moves overlapping items one by one to where they cost least, with
// weights that grow on the pairs that keep overlapping, until nothing overlaps,
// or it makes no progress, or more says stop. The layout is left at its best.
func (l *layout) separate(rng *rand.Rand, more func() bool) bool {
	best := l.total()
	if best == 0 {
		return true
	}
	poses := l.poses(nil)
	for strikes := 0; strikes < 2; {
		begun := best
		for idle := 0; idle < patience; {
			if !more() {
				l.restore(poses)
				return false
			}
			l.sweep(rng, search{anywhere: 50, nearby: 25})
			t := l.total()
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
			l.learn()
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
		if l.lies[i].pose != p {
			l.put(i, p)
		}
	}
}
