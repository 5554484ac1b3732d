package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// One plain sheet says little of how the camera leans, and outlines far from it are off by that. The joints between boards
// and tiles run the same way on the ground, from one side of the picture to the other: where they meet beyond it says how
// it leans (their vanishing point: R. Hartley, A. Zisserman, Multiple View Geometry in Computer Vision, 2nd edition, 2004,
// 8.6). Each is believed as far as the others bear it out.
const (
	sameWay      = 0.015 // radians between joints of one way, as the sheet alone has the ground: it is off by less
	mostWays     = 2
	jointsApart  = 25.0  // mm on the ground, at least: less is the two edges of one
	leastOfAWay  = 3     // joints that lie so far apart
	leastSpare   = 3     // of all, more than there are ways: two say how the camera leans, and the others bear them out
	fanning      = 5e-6  // radians for each mm across, that lines of one way fan out, as a standard deviation: the stripes of a pulled cloth or a rug do by 6 to 8 millimetres in a metre for each metre across, from memory
	laidFanning  = 3e-7  // the same of a floor's joints that are evenly spaced: chosen, not measured
	laidAskew    = 0.001 // radians that a joint is off its way at least, as a standard deviation: a millimetre in a metre, from memory
	mostAskew    = 3.0   // standard deviations: what is off by more is no joint of that way
	worstLaid    = 3.0   // times as unsure as they are at least: lines that only happen to run nearly the same way are more
	mostCutWrong = 2.0   // standard deviations that a side of the sheet would be off by: then the joints do not run the same way
	jointRounds  = 8
	fannedRounds = 3 // and once more, as they may fan out: by then their weights are nearly known
)

// joint is a line of the floor, in the picture, which runs one of several ways.
type joint struct {
	from, to orb.Point
	way      int
	least    float64 // that its way is unsure by in itself, in radians, as a standard deviation
	noise    float64 // and by what others show
}

// family is how joints run on the ground that run the same way, in radians, how they fan out, in standard deviations, and
// what one of those is, in radians for each mm across.
type family struct{ bearing, fan, fanning float64 }

// bearing is the way that a line of the picture runs on the ground, in radians.
func (v *view) bearing(from, to orb.Point) float64 {
	d := plane.Sub(v.ground(to), v.ground(from))
	return math.Atan2(d[1], d[0])
}

// askew is how far a joint is off its way, in radians.
func (f *fitted) askew(l joint) float64 {
	w := f.ways[l.way]
	return apartWays(f.bearing(l.from, l.to), w.bearing+w.fan*w.fanning*f.across(l))
}

// apartWays is the angle between two ways, of which each may be taken from either end.
func apartWays(a, b float64) float64 { return math.Remainder(a-b, math.Pi) }

// byJoints refines a view by plain sheets with lines of the floor that run the same way. It stays as it was where they do
// not bear each other out, or the sheet does not.
func (f *fitted) byJoints(lines []plumb) {
	was := *f
	f.sheets, f.sides = slices.Clone(f.sheets), slices.Clone(f.sides)
	f.joints, f.ways = f.sameWays(lines)
	if !f.fitJoints() {
		*f = was
	}
}

// fitJoints fits the view to joints too, leaving out those that are off their way, and is whether it could.
func (f *fitted) fitJoints() bool {
	if !f.settle(jointRounds) {
		return false
	}
	f.letFan()
	if !f.settle(fannedRounds) {
		return false
	}
	f.weighJoints(true)
	spare := 0
	for way := range f.ways {
		rows, noise := f.sideBySide(way)
		if len(rows) < leastOfAWay || noise > worstLaid*laidAskew {
			return false
		}
		spare += len(rows) - 1
	}
	if spare < leastSpare || f.solve(f.seen) != nil {
		return false
	}
	return !slices.ContainsFunc(f.sides, func(c cutSide) bool { return max(math.Abs(c.move), math.Abs(c.turn)) > mostCutWrong })
}

// settle fits the view and weighs joints by turns.
func (f *fitted) settle(rounds int) bool {
	for range rounds {
		if len(f.joints) == 0 || f.solve(f.seen) != nil {
			return false
		}
		f.weighJoints(false)
	}
	return true
}

// weighJoints takes joints to be as unsure as those of their way are, by the median. Those that are further off count less,
// by Cauchy's distribution, and in the end not at all.
func (f *fitted) weighJoints(end bool) {
	times := make([]float64, len(f.ways))
	for way := range f.ways {
		var off []float64
		for _, l := range f.joints {
			if l.way == way {
				off = append(off, math.Abs(f.askew(l))/l.least)
			}
		}
		// Of the median, as of a normal spread, and as two of so many are free to follow.
		times[way] = max(1, 1.4826*median(off)*math.Sqrt(float64(len(off))/max(1, float64(len(off)-2))))
	}
	var kept []joint
	for _, l := range f.joints {
		l.noise = times[l.way] * l.least
		off := math.Abs(f.askew(l)) / l.noise
		if end && off > mostAskew {
			continue
		}
		if !end {
			l.noise *= math.Sqrt(1 + off*off)
		}
		kept = append(kept, l)
	}
	f.joints = kept
}

// sameWays is the lines of the floor that run the same way as others, and those ways.
func (f *fitted) sameWays(lines []plumb) (joints []joint, ways []family) {
	left := slices.Clone(lines)
	for range mostWays {
		var best []plumb
		for _, l := range left {
			along := f.bearing(l.from, l.to)
			var like []plumb
			for _, o := range left {
				if math.Abs(apartWays(f.bearing(o.from, o.to), along)) <= sameWay {
					like = append(like, o)
				}
			}
			if len(like) > len(best) {
				best = like
			}
		}
		if len(best) < leastOfAWay {
			break
		}
		along, sum := f.bearing(best[0].from, best[0].to), 0.0
		for _, l := range best {
			sum += apartWays(f.bearing(l.from, l.to), along) / float64(len(best))
		}
		for _, l := range best {
			least := math.Hypot(laidAskew, 2*l.noisePx/plane.Distance(l.from, l.to))
			joints = append(joints, joint{l.from, l.to, len(ways), least, least})
		}
		ways = append(ways, family{bearing: along + sum, fanning: laidFanning})
		left = slices.DeleteFunc(left, func(l plumb) bool { return slices.Contains(best, l) })
	}
	return joints, ways
}

// sideBySide is where joints of one way lie clearly beside each other on the ground, in mm across, and by how much the surest
// of them is unsure, in radians.
func (f *fitted) sideBySide(way int) (rows []float64, noise float64) {
	var across []float64
	noise = math.Inf(1)
	for _, l := range f.joints {
		if l.way == way {
			across = append(across, f.across(l))
			noise = min(noise, l.noise)
		}
	}
	slices.Sort(across)
	for i, k := 0, 0; i < len(across); i = k {
		for k = i; k < len(across) && across[k] <= across[i]+jointsApart; k++ {
		}
		rows = append(rows, (across[i]+across[k-1])/2)
	}
	return rows, noise
}
