package fit

// stripMethod says which parts of the method a search uses. Only tests leave
// something out, to see what it is good for.
type stripMethod struct {
	pool       bool // after a failure a search goes on from a pool of infeasible layouts, else from the best one
	swap       bool // two large items exchange places before it does
	compaction bool // what is packed is compacted
	gentle     bool // weights grow gently, else steeply
	giveUp     bool // a search is given up that has much more overlap than those before it had at their ends
}

var fullMethod = stripMethod{pool: true, swap: true, compaction: true, gentle: true, giveUp: true}

const (
	firstStep      = 0.02  // the share by which a strip is shortened at first,
	leastStep      = 0.001 // and at least
	separateLonger = 1.02  // how much longer the strip may be on which a layout is separated, before compaction
	leastFailures  = 80    // in a row that end a round
)

// stripPacker packs a strip, shortens it, and packs again. What that comes to depends
// on where it has begun. So when it has found nothing shorter for as long as it took
// to come so far, a new round begins.
type stripPacker struct {
	*packer
	method     stripMethod
	width      float64
	first      float64 // the length to begin with
	shortest   float64 // of the best packing of all rounds
	champion   []pose
	length     float64 // of the best packing of this round
	best       []pose
	began      int        // the evaluations at which this round began
	came       int        // and those at which it came so far
	failures   int        // since then
	infeasible infeasible // layouts at the present length
	step       float64    // the share by which the strip is shortened
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
	if t.method.gentle {
		st.growth = gentleGrowth
	}
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

// run searches in rounds until more says stop.
func (st *stripPacker) run() {
	for st.more() {
		st.round()
	}
}

// round begins with a random layout, and shortens the strip as long as that comes to
// something.
func (st *stripPacker) round() {
	c := NewCloth(stripOutline(st.first, st.width))
	st.setCloth(c)
	st.sep.cloth = c
	st.resetWeights()
	st.length, st.best, st.step, st.infeasible = st.first, nil, firstStep, nil
	st.began, st.came, st.failures = st.evaluations, st.evaluations, 0
	st.scatter()
	for st.more() && (st.failures < leastFailures || st.evaluations-st.came <= st.came-st.began) {
		was := st.length
		var hopeless func(int, float64) bool
		if st.method.giveUp {
			hopeless = st.infeasible.hopeless
		}
		end := st.minimiseOverlap(st.rng, st.more, hopeless)
		if end == withoutOverlap && st.finish(st.cloth.region.bounds.width()) {
			if st.length < was*(1-2*st.step) {
				st.step = min(firstStep, st.step*1.5)
			} else {
				st.step = max(leastStep, st.step*0.7)
			}
			st.shrink()
			continue
		}
		switch {
		case !st.more():
		case st.best == nil:
			st.setLength(st.cloth.region.bounds.width() * 1.05)
		default:
			st.restart(end)
		}
	}
}

// restart prepares another search after one has failed.
func (st *stripPacker) restart(end searchEnd) {
	st.failures++
	if end != givenUp {
		st.infeasible.add(st.layout)
		if st.finish(st.cloth.region.bounds.width() * separateLonger) {
			st.shrink()
			return
		}
	}
	if st.step > leastStep {
		st.step = max(leastStep, st.step/4)
		st.restore(st.best)
		st.shrink()
		return
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
	st.infeasible = st.infeasible[:0]
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
	if st.method.compaction {
		length = a.compact(st.width, length)
	}
	st.evaluations += evaluationsPerMove * a.itemsMoved
	a.itemsMoved = 0
	if st.best != nil && length >= st.length {
		return false
	}
	st.length = length
	st.best = append(st.best[:0], a.poses...)
	st.came, st.failures = st.evaluations, 0
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
