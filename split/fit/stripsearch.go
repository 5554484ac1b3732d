package fit

import "slices"

// stripMethod says which parts of the method a search uses, and how patient it
// is. Only tests leave something out, to see what it is good for.
type stripMethod struct {
	patience              // of a search
	quickFailures int     // how many searches in a row may fail before what follows begins:
	morePatience  int     // how many more iterations each further failure gives the next search
	separateEvery int     // iterations between two separations within a search; 0 for none
	firstStep     float64 // the share by which a strip is shortened at first,
	leastStep     float64 // and at least
	pool          bool    // a search goes on from a pool of infeasible layouts, else from the best one
	swap          bool    // two large items exchange places before it does
	compressEvery int     // how many failures there are to one compression; 0 for none
	mostFailures  int     // in a row that end a round; 0 for one round without end
}

var fullMethod = stripMethod{
	patience: patience{iterations: 60, strikes: 2}, quickFailures: 20, morePatience: 20, separateEvery: 50, firstStep: 0.02, leastStep: 0.001,
	pool: true, swap: true, compressEvery: 5, mostFailures: 40,
}

const (
	mostPatience   = 300    // iterations
	perturbLonger  = 1.03   // how much longer the strip may be on which a round begins from the best packing,
	mostSwaps      = 6      // and how often large items may exchange places then
	separateLonger = 1.02   // how much longer the strip may be on which a layout is separated, before compaction
	mostCompressed = 0.0005 // the share by which a compression shortens the strip, at first
	leastCompress  = 0.00001
)

// stripPacker packs a strip, shortens it, and packs again. It does so in rounds:
// what a round comes to depends more on where it has begun than on how long it
// takes.
type stripPacker struct {
	*packer
	method     stripMethod
	width      float64
	first      float64 // the length to begin with
	shortest   float64 // the least length of all rounds
	champion   []pose  // its packing
	length     float64 // of the best packing of this round
	best       []pose
	infeasible infeasible // layouts at about the present length
	step       float64    // the share by which the strip is shortened
	failures   int        // searches that have failed since a shorter strip was found
	compress   float64    // the share by which a compression shortens the strip
	goOn       func(evaluations int) bool
	told       func(length float64)
}

func newStripPacker(t stripTask, worker int) *stripPacker {
	var sum float64
	for _, it := range t.items {
		sum += it.Shape.area
	}
	longest := 0.0
	for _, it := range t.items {
		longest = max(longest, 2*it.Shape.radius)
	}
	l := max(longest, sum/t.width/0.7)
	st := &stripPacker{method: t.method, width: t.width, first: l, goOn: t.more, told: t.told}
	st.packer = newPacker(NewCloth(stripOutline(l, t.width)), t.items, t.gapMM, fineSimplifyShare, t.seed+uint64(worker)<<32)
	return st
}

// more says whether the search goes on.
func (st *stripPacker) more() bool {
	return st.goOn(st.evaluations)
}

// setLength gives the strip a new length. The parts right of a random line move
// along with its end.
func (st *stripPacker) setLength(length float64) {
	old := st.cloth.region.bounds.max.x
	at := st.rng.Float64() * old
	c := NewCloth(stripOutline(length, st.width))
	st.setCloth(c)
	st.sep.cloth = c
	for i := range st.placed {
		p := st.placed[i].pose
		if p.at.x > at {
			p.at.x += length - old
		}
		st.put(i, st.clampToCloth(i, p))
	}
}

// run searches until more says stop: from a random layout, from the best
// packing after large items have exchanged places, and from the best packing as
// it is, in turn.
func (st *stripPacker) run() {
	for n := 0; st.more(); n++ {
		switch {
		case n%3 == 0 || st.champion == nil:
			st.begin(st.first)
			st.scatter()
		case n%3 == 1:
			st.begin(st.shortest * perturbLonger)
			st.restore(st.champion)
			for range 2 + st.rng.IntN(mostSwaps-1) {
				st.swapLargest()
			}
		default:
			st.begin(st.shortest)
			st.restore(st.champion)
			st.length, st.best = st.shortest, slices.Clone(st.champion)
			st.step = st.method.leastStep
			st.shrink()
		}
		st.round()
	}
}

// begin begins a round at the given length.
func (st *stripPacker) begin(length float64) {
	c := NewCloth(stripOutline(length, st.width))
	st.setCloth(c)
	st.sep.cloth = c
	st.resetWeights()
	st.length, st.best = length, nil
	st.step = st.method.firstStep
	st.forget()
}

// round shortens the strip until it has failed too often in a row.
func (st *stripPacker) round() {
	for st.more() {
		was := st.length
		if st.search() {
			if st.length < was*(1-2*st.step) {
				st.step = min(st.method.firstStep, st.step*1.5)
			} else {
				st.step = max(st.method.leastStep, st.step*0.7)
			}
			st.shrink()
			continue
		}
		switch {
		case !st.more():
		case st.best == nil:
			st.setLength(st.cloth.region.bounds.width() * 1.05)
		default:
			st.restart()
			if st.method.mostFailures > 0 && st.failures >= st.method.mostFailures {
				return
			}
		}
	}
}

// search looks for a packing on the present strip, or on any that is shorter
// than the best.
func (st *stripPacker) search() bool {
	was := st.length
	var x exactTry
	stalled := st.failures > st.method.quickFailures
	if stalled && st.method.separateEvery > 0 {
		x = exactTry{st.method.separateEvery, st.worthSeparating, st.finishLonger}
	}
	pt := st.method.patience
	if stalled && st.method.morePatience > 0 {
		pt.iterations = min(mostPatience, pt.iterations+(st.failures-st.method.quickFailures)*st.method.morePatience)
		pt.strikes++
	}
	if !st.minimiseOverlap(st.rng, pt, st.more, x) {
		return false
	}
	return st.length < was || st.finish(st.cloth.region.bounds.width())
}

// worthSeparating says whether a layout may do better than those that could not
// be separated: whether it overlaps no more than twice as much as the best of
// them.
func (st *stripPacker) worthSeparating(overlap float64) bool {
	return len(st.infeasible) == 0 || overlap <= 2*st.infeasible[0].total
}

// restart prepares another search after one has failed.
func (st *stripPacker) restart() {
	st.infeasible.add(st.layout)
	if st.finishLonger() {
		st.shrink()
		return
	}
	if st.step > st.method.leastStep {
		st.step = max(st.method.leastStep, st.step/4)
		st.restore(st.best)
		st.shrink()
		return
	}
	st.failures++
	if n := st.method.compressEvery; n > 0 && st.failures > st.method.quickFailures && st.failures%n == 0 {
		st.compression()
		return
	}
	st.exploration()
}

// exploration goes on from a layout that could not be separated, with two large
// items exchanged.
func (st *stripPacker) exploration() {
	if l := st.length * (1 - st.step); l != st.cloth.region.bounds.width() {
		st.setLength(l)
	}
	if st.method.pool {
		st.restore(st.infeasible.draw(st.rng))
	} else {
		st.restore(st.best)
	}
	if st.method.swap {
		st.swapLargest()
	}
	st.resetWeights()
}

// compression goes on from the best packing and shortens it by less than an
// exploration does, the less the more often it has failed.
func (st *stripPacker) compression() {
	st.restore(st.best)
	st.setLength(st.length * (1 - st.compress))
	st.resetWeights()
	st.compress = max(leastCompress, st.compress*0.7)
}

// scatter places the items at random.
func (pk *packer) scatter() {
	pk.removeAll()
	for i := range pk.items {
		pk.put(i, pk.randomPose(pk.rng, i))
	}
}

// shrink sets the length a step below the best, and forgets the weights.
func (st *stripPacker) shrink() {
	st.setLength(st.length * (1 - st.step))
	st.resetWeights()
	st.forget()
}

// forget forgets the failures.
func (st *stripPacker) forget() {
	st.infeasible = st.infeasible[:0]
	st.failures = 0
	st.compress = mostCompressed
}

// finishLonger finishes the layout on a strip that is a little longer, for a
// compaction may gain more than that.
func (st *stripPacker) finishLonger() bool {
	return st.finish(st.cloth.region.bounds.width() * separateLonger)
}

// finish separates the layout on a strip of the given length, compacts it, and
// keeps it if it is shorter than the best.
func (st *stripPacker) finish(length float64) bool {
	a := st.sep
	a.cloth = NewCloth(stripOutline(length, st.width))
	defer func() { a.cloth = st.cloth }()
	if !st.makeExact(8) {
		return false
	}
	length = a.compact(st.width, length)
	st.evaluations += evaluationsPerMove * a.itemsMoved
	a.itemsMoved = 0
	if st.best != nil && length >= st.length {
		return false
	}
	st.length = length
	st.best = append(st.best[:0], a.poses...)
	st.restore(a.poses)
	if st.champion != nil && length >= st.shortest {
		return true
	}
	st.shortest, st.champion = length, append(st.champion[:0], a.poses...)
	if st.told != nil {
		st.told(length)
	}
	return true
}
