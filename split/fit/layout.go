package fit

import (
	"math"
	"math/bits"
)

// layout is the state of a guided local search: all items on one cloth,
// overlapping or not. It keeps the overlap cost of each pair, the cost of each
// item for what lies off the cloth, and a weight for each of these terms.
type layout struct {
	cloth       *Cloth
	distances   *distanceField // nil on a rectangle, where the box of a part tells
	items       []Item
	parts       []*simplified
	placed      []placedPart
	spots       []spot // of the items as placed
	broad       *broadPhase
	tables      *pairTables
	exactOnly   bool // that the nodes of a table's cell overlap is not enough
	onLines     bool // some turn has lines
	growth      weightGrowth
	neighbours  []neighbour
	pairCost    []float64 // by i*n+j and j*n+i
	clothCost   []float64
	pairWeight  []float64
	clothWeight []float64
	overlapping pairSet // the pairs whose cost is above 0
	raised      []int   // these, and those whose weight is above 1, as i*n+j where i < j
	isRaised    []bool  // by i*n+j where i < j
	trial       placedPart
	evaluations int // poses, so far
}

// spot is where an item lies: what tells whether another may overlap it, and where to
// look that up. It is small and apart from the rest, because a search reads spots all
// the time.
type spot struct {
	box  box // empty for an item that is not placed
	at   vec
	kind int // of its fixed turn; -1 where that has a tolerance
}

func newLayout(c *Cloth, items []Item, parts []*simplified) *layout {
	n := len(items)
	l := &layout{cloth: c, items: items, parts: parts, placed: make([]placedPart, n),
		spots: make([]spot, n), overlapping: newPairSet(n), isRaised: make([]bool, n*n), tables: newPairTables(items, parts), growth: steepGrowth,
		pairCost: make([]float64, n*n), clothCost: make([]float64, n), pairWeight: make([]float64, n*n), clothWeight: make([]float64, n)}
	for i, it := range items {
		l.spots[i].box = emptyBox()
		for _, t := range it.Turns {
			l.onLines = l.onLines || !t.Lines.none()
		}
	}
	l.setCloth(c)
	l.resetWeights()
	return l
}

func (l *layout) setCloth(c *Cloth) {
	l.cloth = c
	l.distances = nil
	if !c.isRectangle {
		l.distances = c.signedDistance()
	}
	l.broad = newBroadPhase(c.region.bounds, len(l.items))
	for i := range l.spots {
		l.broad.toggle(i, &l.spots[i].box)
	}
}

// removeAll takes all items off the cloth.
func (l *layout) removeAll() {
	for i := range l.spots {
		l.forgetOverlaps(i)
		l.setSpot(i, spot{box: emptyBox()})
	}
}

func (l *layout) setSpot(i int, s spot) {
	l.broad.toggle(i, &l.spots[i].box)
	l.spots[i] = s
	l.broad.toggle(i, &s.box)
}

// resetWeights sets all weights to 1.
func (l *layout) resetWeights() {
	for i := range l.pairWeight {
		l.pairWeight[i] = 1
	}
	for i := range l.clothWeight {
		l.clothWeight[i] = 1
	}
}

// put places item i in pose p and updates its costs.
func (l *layout) put(i int, p pose) {
	y := &l.placed[i]
	y.place(l.parts[i], l.tables.fixedTurn(i, p.deg), p)
	y.placeOutline()
	y.placePoles()
	s := spot{y.box, p.at, -1}
	if y.fixed != nil {
		s.kind = y.fixed.kind
	}
	l.setSpot(i, s)
	l.clothCost[i] = l.outsideCost(y, i, math.Inf(1))
	l.forgetOverlaps(i)
	n := len(l.items)
	for j := range bitsOf(l.broad.candidates(&y.box)) {
		if j == i {
			continue
		}
		c := l.costOf(y, &l.placed[j])
		if c == 0 {
			continue
		}
		l.pairCost[i*n+j], l.pairCost[j*n+i] = c, c
		l.overlapping.add(i, j)
		if k := min(i, j)*n + max(i, j); !l.isRaised[k] {
			l.isRaised[k] = true
			l.raised = append(l.raised, k)
		}
	}
}

// forgetOverlaps sets the costs of item i with others to 0.
func (l *layout) forgetOverlaps(i int) {
	n := len(l.items)
	for j := range bitsOf(l.overlapping.of(i)) {
		l.pairCost[i*n+j], l.pairCost[j*n+i] = 0, 0
		l.overlapping.remove(i, j)
	}
}

// costOf is the overlap cost of two placed parts; 0 if they do not overlap.
func (l *layout) costOf(y, o *placedPart) float64 {
	if !y.box.meets(&o.box) {
		return 0
	}
	switch cost, s := l.tables.exactCost(y, o); {
	case s == notInTable:
		return overlapCost(y, o)
	case s == allOverlap || s != allClear && overlaps(y, o):
		return cost
	}
	return 0
}

// weightedCost is the weighted cost of item i where it is placed.
func (l *layout) weightedCost(i int) float64 {
	n := len(l.items)
	c := l.clothCost[i] * l.clothWeight[i]
	for j := range bitsOf(l.overlapping.of(i)) {
		c += l.pairCost[i*n+j] * l.pairWeight[i*n+j]
	}
	return c
}

// totalOverlap is the cost of the whole layout without weights: 0 when no two
// items overlap and all lie on the cloth.
func (l *layout) totalOverlap() float64 {
	var c float64
	for _, cost := range l.clothCost {
		c += cost
	}
	for _, k := range l.raised {
		c += l.pairCost[k]
	}
	return c
}

// neighbour is an item that the item on trial may overlap.
type neighbour struct {
	item  int
	least float64 // a lower bound of what it costs, weighted
	cost  float64 // what it costs if it overlaps, not weighted; -1 where no table tells
}

// evaluate is the weighted cost of item i in pose p. As soon as the cost is
// known to reach most it stops, and returns some number of at least most. The
// lower bounds are summed first, and the neighbours with the largest bounds are
// computed first, so that it stops early.
func (l *layout) evaluate(i int, p pose, most float64) float64 {
	l.evaluations++
	y := &l.trial
	y.place(l.parts[i], l.tables.fixedTurn(i, p.deg), p)
	done := l.outsideCost(y, i, most/l.clothWeight[i]) * l.clothWeight[i]
	if done >= most {
		return done
	}
	w := l.pairWeight[i*len(l.items) : (i+1)*len(l.items)]
	var views []tableView
	if y.fixed != nil {
		views = l.tables.views[y.fixed.kind*l.tables.kinds : (y.fixed.kind+1)*l.tables.kinds]
	}
	l.neighbours = l.neighbours[:0]
	rest := 0.0
	for k, near := range l.broad.candidates(&y.box) {
		for ; near != 0; near &= near - 1 {
			j := k*64 + bits.TrailingZeros64(near)
			o := &l.spots[j]
			if !y.box.meets(&o.box) || j == i {
				continue
			}
			f := neighbour{item: j, cost: -1}
			cost, s := 0.0, notInTable
			if views != nil && o.kind >= 0 {
				v := &views[o.kind]
				if v.table != nil || l.tables.ask(y.fixed, l.placed[j].fixed) {
					cost, s = v.cost(o.at.x-p.at.x, o.at.y-p.at.y, l.exactOnly)
				}
			}
			switch {
			case s == allClear:
				continue
			case s == allOverlap || s == nodesOverlap && !l.exactOnly:
				if done += cost * w[j]; done+rest >= most {
					return done + rest
				}
				continue
			case s == notInTable:
				f.least = certainCost(y, &l.placed[j]) * w[j]
			default:
				f.cost = cost
			}
			if rest += f.least; done+rest >= most {
				return done + rest
			}
			l.neighbours = append(l.neighbours, f)
			for m := len(l.neighbours) - 1; m > 0 && l.neighbours[m-1].least < f.least; m-- {
				l.neighbours[m], l.neighbours[m-1] = l.neighbours[m-1], f
			}
		}
	}
	for _, f := range l.neighbours {
		rest -= f.least
		o := &l.placed[f.item]
		switch {
		case f.least == 0 && !overlaps(y, o):
		case f.cost >= 0:
			done += f.cost * w[f.item]
		default:
			done += proxyCost(y, o, (most-done-rest)/w[f.item]) * w[f.item]
		}
		if done >= most {
			break
		}
	}
	return done
}

// outsideCost is what item i costs for lying off the cloth: how far its
// vertices are outside, how deep a reflex corner of the cloth is within it, and
// the signed distances at its poles. As soon as the cost is known to be more than
// most it stops, and returns some number above most.
func (l *layout) outsideCost(y *placedPart, i int, most float64) float64 {
	c := l.cloth
	r := l.parts[i]
	eps := r.diameter * 0.01
	cost := func(sum float64) float64 { return math.Sqrt(sum*math.Pi+eps*eps) * r.weight }
	var deep float64
	if c.isRectangle {
		b := c.region.bounds
		deep = max(max(b.min.x-y.outlineBox.min.x, y.outlineBox.max.x-b.max.x), max(b.min.y-y.outlineBox.min.y, y.outlineBox.max.y-b.max.y))
		if deep <= r.diameter*1e-9 {
			return 0
		}
		return cost((deep + eps) * r.poles[0].r)
	}
	// Of the sum that the cost is worked out from. The little more is for rounding.
	enough := ((most/r.weight)*(most/r.weight)*(1+1e-9) - eps*eps) / math.Pi
	y.placeOutline()
	for _, v := range y.outline {
		if !c.region.contains(v) {
			deep = max(deep, max(-l.distances.at(v), r.diameter*1e-6))
			if deep*r.poles[0].r > enough {
				return cost(deep * r.poles[0].r)
			}
		}
	}
	for _, v := range c.simplifiedReflex {
		if !y.outlineBox.holds(v) {
			continue
		}
		// Within a pole, the depth in the pole is a good enough bound.
		y.placePoles()
		by := 0.0
		for _, p := range y.poles {
			if dx, dy := v.x-p.at.x, v.y-p.at.y; dx*dx+dy*dy < p.r*p.r {
				by = max(by, p.r-math.Hypot(dx, dy))
			}
		}
		switch {
		case by > 0:
			deep = max(deep, by)
		case ringContains(y.outline, v):
			deep = max(deep, ringDistance(y.outline, v))
		}
	}
	if deep <= r.diameter*1e-9 {
		return 0
	}
	y.placePoles()
	sum := deep * r.poles[0].r
	for _, p := range y.poles {
		if sum > enough {
			break
		}
		sum += softened(p.r-l.distances.at(p.at), eps) * p.r
	}
	return cost(sum)
}
