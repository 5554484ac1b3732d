package fit

import (
	"context"
	"math"
	"math/rand/v2"

	"golang.org/x/sync/errgroup"
)

// Cutter cuts larger pieces at the given levels and gives the items of each
// cloth, in the same order at any levels. A level is where a cut lies, in mm.
// It says false where the levels give no sound parts.
type Cutter func(levels []float64) (items [][]Item, ok bool)

// Joint is a packing of several cloths that share levels: when a level moves, a
// part on one cloth shrinks as a part on another grows.
type Joint struct {
	Cloths []*Cloth
	GapMM  float64
	Lo, Hi []float64 // bounds of the levels
	Least  int       // attempts to make, however much overlap remains
	// Start gives the k-th levels to start from, in mm, k from 0 to Starts-1.
	Start  func(k int) []float64
	Starts int
	Cut    Cutter
	// Workers is how many cores may pack cloths at once; 0 for one.
	Workers int
}

// Solution is levels at which all items have a place, and the places, by cloth.
type Solution struct {
	Levels []float64
	At     [][]Placement
}

// Trail is the state of a search for the levels of a Joint, so that it can go
// on later. The zero value is the beginning.
type Trail struct {
	Attempts int
	ShortMM  float64 // clearance missing after the best attempt

	start  int       // the next start
	levels []float64 // the levels that the last attempt ended at
	last   float64   // clearance missing after the last attempt
}

// Pack looks for levels at which the items of every cloth can be packed. An
// attempt packs each cloth by itself at the present levels, by the guided local
// search, which may leave overlaps. Then linear programs separate the parts,
// with the poses and the levels as their variables. Each start gets one
// attempt, and another from the levels it ended at as long as that comes near.
//
// Pack goes on from trail until trail has that many attempts, and updates it.
// It gives up early where much overlap remains. The same arguments give the
// same result. A no is never certain.
func (j *Joint) Pack(ctx context.Context, trail *Trail, attempts int, seed uint64) (*Solution, bool) {
	g := &jointSearch{Joint: j, levels: append([]float64(nil), trail.levels...)}
	g.lp.done = ctx.Done()
	if len(g.levels) > 0 && !g.cut() {
		return nil, false
	}
	for trail.Attempts < attempts && ctx.Err() == nil {
		if trail.Attempts > j.Least && trail.ShortMM > hopelessMM/float64(trail.Attempts-j.Least) {
			break
		}
		if len(g.levels) == 0 {
			if trail.start == j.Starts {
				break
			}
			g.levels = append(g.levels, j.Start(trail.start)...)
			trail.start++
			trail.last = hopefulMM
			g.forgetDerivatives()
			if !g.cut() {
				g.levels = g.levels[:0]
				continue
			}
		}
		short, clear := g.attempt(ctx, rand.New(rand.NewPCG(seed, uint64(trail.Attempts))))
		if clear {
			return g.solution(), true
		}
		if trail.Attempts == 0 || short < trail.ShortMM {
			trail.ShortMM = short
		}
		trail.Attempts++
		if short > 0.8*trail.last {
			g.levels = g.levels[:0]
		}
		trail.last = short
	}
	trail.levels = g.levels
	return nil, false
}

// An attempt that misses less than hopefulMM of clearance is continued from its
// levels. There is no further attempt when the best one misses more than
// hopelessMM divided by the number of attempts.
const (
	hopefulMM  = 12
	hopelessMM = 30
)

// attempt packs every cloth anew at the present levels and separates the parts. Where
// that comes near it does so at nudged levels too. It gives the clearance that is missing
// then, and leaves the levels where the first separation ended.
func (g *jointSearch) attempt(ctx context.Context, rng *rand.Rand) (shortMM float64, clear bool) {
	short, clear := g.packAndSeparate(ctx, rng)
	if clear || short >= nudgedMM {
		return short, clear
	}
	ended := append([]float64(nil), g.levels...)
	for n := 0; n < mostNudges && g.nudge(); n++ {
		again, clear := g.packAndSeparate(ctx, rng)
		if clear {
			return 0, true
		}
		short = min(short, again)
	}
	g.goTo(ended)
	return short, false
}

func (g *jointSearch) packAndSeparate(ctx context.Context, rng *rand.Rand) (shortMM float64, clear bool) {
	g.packEach(ctx, rng)
	g.notePacked()
	step := g.step
	if g.separate(ctx) {
		return 0, true
	}
	short := -g.margin()
	if g.toNextLines() {
		g.step = step
		if g.separate(ctx) {
			return 0, true
		}
		short = min(short, -g.margin())
	}
	return short, false
}

// toNextLines moves every item that is held to lines, and sticks out of its cloth,
// to the next line on the side where it sticks out less: of two lines the nearer
// one may be wrong, for what sticks out on the other side a level can take away. It
// says whether there is such an item.
func (g *jointSearch) toNextLines() bool {
	any := false
	for k, a := range g.separators {
		b := g.Cloths[k].region.bounds
		for i, it := range a.items {
			t := nearestTurn(it.Turns, a.poses[i].deg)
			if t.Lines.none() {
				continue
			}
			across, _ := it.Shape.linesFor(t)
			lies := boxOf(it.Shape.place(nil, a.poses[i]))
			before, beyond := b.min.sub(lies.min), lies.max.sub(b.max)
			back, on := 0.0, 0.0 // how far it sticks out against the lines' direction, and with it
			for _, e := range [2][3]float64{{across.x, before.x, beyond.x}, {across.y, before.y, beyond.y}} {
				if e[0] < 0 {
					e[1], e[2] = e[2], e[1]
				}
				back, on = max(back, math.Abs(e[0])*e[1]), max(on, math.Abs(e[0])*e[2])
			}
			if max(back, on) <= touchMM {
				continue
			}
			any = true
			if by := t.Lines.EveryMM; back > on {
				a.poses[i].at = a.poses[i].at.add(across.mul(by))
			} else {
				a.poses[i].at = a.poses[i].at.sub(across.mul(by))
			}
		}
	}
	return any
}

// jointSearch is the state of one Pack.
type jointSearch struct {
	*Joint
	levels     []float64
	items      [][]Item
	separators []*separator
	lp         linearProgram
	step       float64
	packed     packedCloths
}

const (
	differenceMM = 0.05 // step of a level for the finite difference that gives a derivative
	jointSweeps  = 20
	jointRounds  = 14
	// After patientRounds, an attempt that misses more than divergentMM divided
	// by the number of rounds ends.
	patientRounds    = 3
	divergentMM      = 100
	derivativeRounds = 3 // after so many rounds derivatives are computed anew
)

// cut makes the items of the present levels.
func (g *jointSearch) cut() bool {
	items, ok := g.Cut(g.levels)
	if !ok {
		return false
	}
	g.items = items
	if g.separators == nil {
		base := 0
		for k, c := range g.Cloths {
			a := newSeparator(c, items[k], g.GapMM)
			a.lp, a.base, a.derivatives = &g.lp, base, make([][]derivative, len(items[k]))
			base += a.stride() * len(items[k])
			g.separators = append(g.separators, a)
		}
		return true
	}
	for k, a := range g.separators {
		for i := range a.poses {
			a.poses[i] = moved(a.poses[i], a.items[i].Shape, items[k][i].Shape)
		}
		a.items = items[k]
	}
	return true
}

// moved is the pose that leaves a part in its place although its shape, and
// with it the shape's centre, has changed.
func moved(p pose, from, to *Shape) pose {
	sin, cos := sincosDeg(p.deg)
	return pose{p.at.add(to.centre.sub(from.centre).turn(sin, cos)), p.deg}
}

// packEach packs every cloth by itself, on as many cores as there are workers.
// Overlaps may remain.
func (g *jointSearch) packEach(ctx context.Context, rng *rand.Rand) {
	steps := make([]float64, len(g.separators))
	var all errgroup.Group
	all.SetLimit(max(1, g.Workers))
	for k := range g.separators {
		seed := rng.Uint64()
		all.Go(func() error {
			steps[k] = g.packOne(ctx, k, seed)
			return nil
		})
	}
	_ = all.Wait()
	g.step = 0
	for _, s := range steps {
		g.step = max(g.step, s)
	}
}

// packOne packs one cloth, and gives a step in mm that suits its parts.
func (g *jointSearch) packOne(ctx context.Context, k int, seed uint64) (step float64) {
	a := g.separators[k]
	pk := newPacker(g.Cloths[k], g.items[k], g.GapMM, coarseSimplifyShare, seed)
	pk.construct()
	best := pk.totalOverlap()
	poses := pk.poses(nil)
	for sweep := 0; sweep < jointSweeps && best > 0 && ctx.Err() == nil; sweep++ {
		pk.updateWeights()
		pk.moveOverlapping(pk.rng, sampleCounts{anywhere: 20, nearby: 15})
		if t := pk.totalOverlap(); t < best {
			best = t
			poses = pk.poses(poses)
		}
	}
	a.poses = append(a.poses[:0], poses...)
	return pk.largestMM * 0.02
}

// differentiate computes how the items' outlines move with each level, by
// cutting again a small step further or back.
func (g *jointSearch) differentiate(ctx context.Context) {
	g.forgetDerivatives()
	levels := append([]float64(nil), g.levels...)
	for l := range levels {
		if ctx.Err() != nil {
			return
		}
		for _, by := range []float64{differenceMM, -differenceMM} {
			levels[l] = g.levels[l] + by
			items, ok := g.Cut(levels)
			if ok && g.addDerivatives(items, l, by) {
				break
			}
		}
		levels[l] = g.levels[l]
	}
}

// keepDerivatives takes over the derivatives of an earlier state, if every
// outline still has as many vertices as then.
func (g *jointSearch) keepDerivatives(s jointState) bool {
	if s.items == nil {
		return false
	}
	for k, a := range g.separators {
		for i := range a.items {
			if len(a.items[i].Shape.ring) != len(s.items[k][i].Shape.ring) {
				return false
			}
		}
	}
	for k, a := range g.separators {
		a.derivatives = s.drifts[k]
	}
	return true
}

// forgetDerivatives leaves all items without derivatives.
func (g *jointSearch) forgetDerivatives() {
	for _, a := range g.separators {
		a.derivatives = make([][]derivative, len(a.items))
	}
}

// addDerivatives derives from items cut with level l moved by so many mm. It
// says false where outlines have no matching vertices.
func (g *jointSearch) addDerivatives(items [][]Item, l int, by float64) bool {
	for k := range items {
		for i, it := range items[k] {
			if a, b := g.items[k][i].Shape, it.Shape; a != b && (len(a.ring) != len(b.ring) || len(a.ring) == 0) {
				return false
			}
		}
	}
	for k := range items {
		for i, it := range items[k] {
			a, b := g.items[k][i].Shape, it.Shape
			if a == b {
				continue
			}
			d := derivative{g.variable(l), make([]vec, len(a.ring))}
			for q := range a.ring {
				v := b.ring[q].add(b.centre).sub(a.ring[q].add(a.centre)).mul(1 / by)
				if n := v.len(); n > mostDerivative {
					v = v.mul(mostDerivative / n)
				}
				d.perMM[q] = v
			}
			g.separators[k].derivatives[i] = append(g.separators[k].derivatives[i], d)
		}
	}
	return true
}

// mostDerivative bounds how fast a vertex is believed to move with a level.
// Where an outline runs almost along a cut, the corner between them moves very
// fast, but only for a very short way.
const mostDerivative = 3

// variable is the place of level l among the program's variables, after the
// poses.
func (g *jointSearch) variable(l int) int {
	last := g.separators[len(g.separators)-1]
	return last.base + last.stride()*len(last.items) + l
}

func (g *jointSearch) margin() float64 {
	m := math.Inf(1)
	for _, a := range g.separators {
		m = min(m, a.margin)
	}
	return m
}

func (g *jointSearch) feasible() bool {
	for _, a := range g.separators {
		if !feasible(a.cloth, a.items, a.poses, a.gap, &a.work) {
			return false
		}
	}
	return true
}

// rows writes the linear program for the present poses and levels.
func (g *jointSearch) rows() {
	n := g.variable(len(g.levels)) + 1
	g.lp.reset(n)
	for l := range g.levels {
		v := g.variable(l)
		g.lp.lo[v] = max(-g.step, min(0, g.Lo[l]-g.levels[l]))
		g.lp.hi[v] = min(g.step, max(0, g.Hi[l]-g.levels[l]))
	}
	g.lp.lo[n-1], g.lp.hi[n-1] = -1e6, min(1, g.step)
	for _, a := range g.separators {
		a.step = g.step
		a.writeRows()
	}
}

// jointState is what the search returns to when a step has made things worse.
type jointState struct {
	levels []float64
	items  [][]Item
	poses  [][]pose
	drifts [][][]derivative
}

func (g *jointSearch) save() jointState {
	s := jointState{levels: append([]float64(nil), g.levels...), items: g.items}
	for _, a := range g.separators {
		s.poses = append(s.poses, append([]pose(nil), a.poses...))
		s.drifts = append(s.drifts, a.derivatives)
	}
	return s
}

func (g *jointSearch) load(s jointState) {
	copy(g.levels, s.levels)
	g.items = s.items
	for k, a := range g.separators {
		a.items = s.items[k]
		a.poses = append(a.poses[:0], s.poses[k]...)
		a.derivatives = s.drifts[k]
	}
}

// separate moves poses and levels together until nothing overlaps, and says
// whether the exact test passes then.
func (g *jointSearch) separate(ctx context.Context) bool {
	least := 1e-4 * g.step
	last := math.Inf(-1)
	var before jointState
	for round := range jointRounds {
		if ctx.Err() != nil {
			return false
		}
		g.rows()
		m := g.margin()
		if m > -2*touchMM && g.feasible() {
			return true
		}
		if round >= patientRounds && max(m, last) < -divergentMM/float64(round) {
			return false
		}
		if m < last-1e-9 { // worse than before: shorter steps
			g.load(before)
			if g.step *= 0.4; g.step < least {
				return false
			}
		} else {
			last = m
			if round%derivativeRounds == 0 || !g.keepDerivatives(before) {
				g.differentiate(ctx)
			}
			before = g.save()
		}
		g.rows()
		n := g.lp.n
		if _, ok := g.lp.solve(-1e7); !ok {
			return false
		}
		gain := g.lp.z[n-1]
		for _, a := range g.separators {
			a.move()
		}
		for l := range g.levels {
			g.levels[l] += g.lp.z[g.variable(l)]
		}
		g.forgetDerivatives()
		if !g.cut() {
			g.load(before)
			if g.step *= 0.4; g.step < least {
				return false
			}
			continue
		}
		if gain <= last+1e-9 && last < -2*touchMM {
			return false // nothing to be gained from here
		}
	}
	g.rows()
	return g.margin() > -2*touchMM && g.feasible()
}

func (g *jointSearch) solution() *Solution {
	s := &Solution{Levels: append([]float64(nil), g.levels...)}
	for _, a := range g.separators {
		s.At = append(s.At, placements(a.items, a.poses))
	}
	return s
}
