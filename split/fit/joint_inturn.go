package fit

import (
	"context"
	"math"
	"slices"
)

// PackInTurn looks for levels one cloth after the other. Where only one level is open
// on a cloth, that cloth takes as much of it as it can hold, which leaves the least
// for the others; and so on, from the leaves of the graph of cloths and levels inwards
// (R. Dechter and J. Pearl, "Network-based heuristics for constraint-satisfaction
// problems", 1987; from memory). Pack, which moves all levels at once, may stay between
// two cloths of which each lacks a little. This asks each of them by itself.
//
// There is no answer where the cloths that are left share two levels or more, or where
// one holds both parts of a cut. Effort is as in Pack, for two items on a cloth. The
// same arguments give the same result. A no is never certain.
func (j *Joint) PackInTurn(ctx context.Context, effort int, seed uint64) (*Solution, bool) {
	t := &inTurn{Joint: j, effort: effort, seed: seed, packs: mostTurnPacks, settled: make([]bool, len(j.Cloths)), fixed: make([]bool, len(j.Lo))}
	t.levels = slices.Clone(j.Start(0))
	for l := range t.levels {
		t.levels[l] = math.Max(j.Lo[l], math.Min(j.Hi[l], t.levels[l]))
	}
	if !t.couple() {
		return nil, false
	}
	t.at, t.packed = make([][]Placement, len(j.Cloths)), make([][]Item, len(j.Cloths))
	for range j.Cloths {
		cloth, level, ok := t.next()
		if !ok || !t.settle(ctx, cloth, level) {
			return nil, false
		}
	}
	if !t.holds() {
		return nil, false
	}
	return &Solution{Levels: t.levels, At: t.at}, true
}

// inTurn is the state of one PackInTurn.
type inTurn struct {
	*Joint
	effort  int
	seed    uint64
	packs   int // that may still be made
	levels  []float64
	on      [][]coupling // of each cloth and level
	settled []bool       // of each cloth
	fixed   []bool       // of each level
	at      [][]Placement
	packed  [][]Item // that lie on each cloth
}

// coupling is how the parts on a cloth change as a level rises.
type coupling int

const (
	uncoupled coupling = iota
	grows
	shrinks
	mixed // some grow and others shrink
)

const (
	coupleMM      = 1.0 // by which a level is moved to see what changes
	turnMM        = 1.0 // how near a level comes to what its cloth can hold
	mostTurnPacks = 60
)

// couple finds out what changes with which level. It says false where the levels
// cannot be cut at.
func (t *inTurn) couple() bool {
	items, ok := t.Cut(t.levels)
	if !ok {
		return false
	}
	t.on = make([][]coupling, len(t.Cloths))
	for k := range t.on {
		t.on[k] = make([]coupling, len(t.levels))
	}
	levels := slices.Clone(t.levels)
	for l := range levels {
		by := coupleMM
		levels[l] = t.levels[l] + by
		moved, ok := t.Cut(levels)
		if !ok {
			by = -by
			levels[l] = t.levels[l] + by
			if moved, ok = t.Cut(levels); !ok {
				return false
			}
		}
		levels[l] = t.levels[l]
		for k := range items {
			for i, it := range items[k] {
				t.on[k][l] = t.on[k][l].and((moved[k][i].Shape.area - it.Shape.area) / by)
			}
		}
	}
	return true
}

// and is the coupling with one more part, whose area grows by so many mm² a mm.
func (c coupling) and(growth float64) coupling {
	const none = 1e-6
	part := uncoupled
	switch {
	case growth > none:
		part = grows
	case growth < -none:
		part = shrinks
	}
	switch {
	case part == uncoupled || part == c:
		return c
	case c == uncoupled:
		return part
	}
	return mixed
}

// next is a cloth with no open level, or with one; level is -1 for none.
func (t *inTurn) next() (cloth, level int, ok bool) {
	for k, done := range t.settled {
		if done {
			continue
		}
		open, at := 0, -1
		for l, c := range t.on[k] {
			if c == uncoupled || t.fixed[l] {
				continue
			}
			open, at = open+1, l
		}
		switch {
		case open == 0:
			return k, -1, true
		case open == 1 && t.on[k][at] != mixed && !ok:
			cloth, level, ok = k, at, true
		}
	}
	return cloth, level, ok
}

// settle packs a cloth with its open level as far as it can hold.
func (t *inTurn) settle(ctx context.Context, cloth, level int) bool {
	t.settled[cloth] = true
	if level < 0 {
		// Nothing else can be done for it, so it is packed anew where that fails.
		return t.pack(ctx, cloth, 0) || t.pack(ctx, cloth, 1)
	}
	t.fixed[level] = true
	least, most := t.Lo[level], t.Hi[level]
	if t.on[cloth][level] == shrinks {
		least, most = most, least
	}
	// A smaller part may lie worse, for the corners of its allowance stick out
	// elsewhere. A part by itself is placed in no time.
	tries := []float64{0, 0.1, 0.3}
	if items, ok := t.Cut(t.levels); ok && len(items[cloth]) == 1 {
		tries = []float64{0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}
	}
	fits := func(at float64) bool {
		t.levels[level] = at
		return t.pack(ctx, cloth, 0)
	}
	k := slices.IndexFunc(tries, func(f float64) bool { return fits(least + f*(most-least)) })
	if k < 0 {
		return false
	}
	good, bad := t.levels[level], most
	goodAt, goodItems := t.at[cloth], t.packed[cloth]
	if fits(most) {
		return true
	}
	for math.Abs(good-bad) > turnMM {
		if mid := (good + bad) / 2; fits(mid) {
			good, goodAt, goodItems = mid, t.at[cloth], t.packed[cloth]
		} else {
			bad = mid
		}
	}
	t.levels[level], t.at[cloth], t.packed[cloth] = good, goodAt, goodItems
	return true
}

// pack packs one cloth at the present levels.
func (t *inTurn) pack(ctx context.Context, cloth int, again uint64) bool {
	items, ok := t.Cut(t.levels)
	if !ok || t.packs == 0 {
		return false
	}
	on := items[cloth]
	if len(on) > 1 {
		t.packs--
	}
	at, ok := Pack(ctx, t.Cloths[cloth], on, t.GapMM, t.effort*max(1, len(on)*(len(on)-1)/2), t.seed+again)
	if ok {
		t.at[cloth], t.packed[cloth] = at, on
	}
	return ok
}

// holds reports whether what lies on each cloth is what the levels give in the end.
func (t *inTurn) holds() bool {
	items, ok := t.Cut(t.levels)
	if !ok {
		return false
	}
	for k, on := range items {
		for i, it := range on {
			if was := t.packed[k][i].Shape; was != it.Shape && (was.centre != it.Shape.centre || !slices.Equal(was.ring, it.Shape.ring)) {
				return false
			}
		}
	}
	return true
}
