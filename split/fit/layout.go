package fit

import (
	"math"
	"math/bits"
)

// layout is all items on one cloth, overlapping or not, with what each pair
// and each item with the rim costs, and the weights that guide the search.
type layout struct {
	cloth     *Cloth
	tilt      *tilt // signed distances; nil on a plain rectangle
	items     []Item
	parts     []*rough
	lies      []lying
	boxes     []box // where the items lie, empty before they do
	slabs     *slabs
	charts    *charts
	chartless bool // while charts are not looked at
	foes      []foe
	pair      []float64 // cost of overlap, by i*n+j and j*n+i
	rim       []float64
	pairW     []float64
	rimW      []float64
	trial     lying
	worked    int // poses evaluated
}

func newLayout(c *Cloth, items []Item, parts []*rough) *layout {
	n := len(items)
	l := &layout{cloth: c, items: items, parts: parts, lies: make([]lying, n),
		boxes: make([]box, n), charts: newCharts(items, parts),
		pair: make([]float64, n*n), rim: make([]float64, n), pairW: make([]float64, n*n), rimW: make([]float64, n)}
	for i := range l.boxes {
		l.boxes[i] = emptyBox()
	}
	l.setCloth(c)
	l.level()
	return l
}

func (l *layout) setCloth(c *Cloth) {
	l.cloth = c
	l.tilt = nil
	if !c.plain {
		l.tilt = c.tilted()
	}
	l.slabs = newSlabs(c.rim.bounds, len(l.items))
	for i := range l.boxes {
		l.slabs.flip(i, &l.boxes[i])
	}
}

// lift takes all items off the cloth.
func (l *layout) lift() {
	for i := range l.boxes {
		l.rebox(i, emptyBox())
	}
}

func (l *layout) rebox(i int, b box) {
	l.slabs.flip(i, &l.boxes[i])
	l.boxes[i] = b
	l.slabs.flip(i, &b)
}

// level forgets all weights.
func (l *layout) level() {
	for i := range l.pairW {
		l.pairW[i] = 1
	}
	for i := range l.rimW {
		l.rimW[i] = 1
	}
}

// put moves item i to pose p and brings its costs up to date.
func (l *layout) put(i int, p pose) {
	y := &l.lies[i]
	y.lay(l.parts[i], l.charts.at(i, p.deg), p)
	y.layOutline()
	y.layPoles()
	l.rebox(i, y.box)
	n := len(l.items)
	l.rim[i] = l.rimCost(y, i)
	for j := range l.boxes {
		if j == i || l.boxes[j].empty() {
			continue
		}
		c := overlapCost(y, &l.lies[j])
		l.pair[i*n+j], l.pair[j*n+i] = c, c
	}
}

// at is the weighted cost of item i where it lies.
func (l *layout) at(i int) float64 {
	n := len(l.items)
	c := l.rim[i] * l.rimW[i]
	for j, p := range l.pair[i*n : i*n+n] {
		c += p * l.pairW[i*n+j]
	}
	return c
}

// total is the plain cost of the whole layout; 0 when nothing overlaps.
func (l *layout) total() float64 {
	n := len(l.items)
	var c float64
	for i := range n {
		c += l.rim[i]
		for j := i + 1; j < n; j++ {
			c += l.pair[i*n+j]
		}
	}
	return c
}

// foe is an item whose box meets that of the item on trial, and the least that
// their overlap costs for certain.
type foe struct {
	item  int
	least float64
	known bool // whether it is all that they cost
}

// weigh is the weighted cost of item i in pose p, or some number of at least
// most. What is certain to cost much is counted first.
func (l *layout) weigh(i int, p pose, most float64) float64 {
	l.worked++
	y := &l.trial
	y.lay(l.parts[i], l.charts.at(i, p.deg), p)
	done := l.rimCost(y, i) * l.rimW[i]
	if done >= most {
		return done
	}
	w := l.pairW[i*len(l.items):]
	l.foes = l.foes[:0]
	rest := 0.0
	for k, near := range l.slabs.at(&y.box) {
		for ; near != 0; near &= near - 1 {
			j := k*64 + bits.TrailingZeros64(near)
			if j == i || !y.box.meets(&l.boxes[j]) {
				continue
			}
			o := &l.lies[j]
			f := foe{item: j}
			if !l.chartless {
				f.least, f.known = l.charts.cost(y, o)
			}
			if !f.known {
				f.least = sure(y, o)
			}
			f.least *= w[j]
			if rest += f.least; done+rest >= most {
				return done + rest
			}
			l.foes = append(l.foes, f)
			for m := len(l.foes) - 1; m > 0 && l.foes[m-1].least < f.least; m-- {
				l.foes[m], l.foes[m-1] = l.foes[m-1], f
			}
		}
	}
	for _, f := range l.foes {
		rest -= f.least
		o := &l.lies[f.item]
		switch {
		case f.known:
			done += f.least
		case f.least > 0 || overlap(y, o):
			done += deepness(y, o, (most-done-rest)/w[f.item]) * w[f.item]
		}
		if done >= most {
			break
		}
	}
	return done
}

// rimCost is the like for an item and what is not cloth.
func (l *layout) rimCost(y *lying, i int) float64 {
	c := l.cloth
	r := l.parts[i]
	var deep float64
	if c.plain {
		b := c.rim.bounds
		deep = max(max(b.min.x-y.bare.min.x, y.bare.max.x-b.max.x), max(b.min.y-y.bare.min.y, y.bare.max.y-b.max.y))
		if deep <= r.diam*1e-9 {
			return 0
		}
		eps := r.diam * 0.01
		return math.Sqrt((deep+eps)*r.poles[0].r*math.Pi+eps*eps) * r.weight
	}
	y.layOutline()
	for _, v := range y.rim {
		if !c.rim.has(v) {
			deep = max(deep, max(-l.tilt.at(v), r.diam*1e-6))
		}
	}
	for _, v := range c.nubs {
		if !y.bare.holds(v) {
			continue
		}
		// Within a pole its own depth will do.
		y.layPoles()
		by := 0.0
		for _, p := range y.poles {
			if dx, dy := v.x-p.at.x, v.y-p.at.y; dx*dx+dy*dy < p.r*p.r {
				by = max(by, p.r-math.Hypot(dx, dy))
			}
		}
		switch {
		case by > 0:
			deep = max(deep, by)
		case within1(y.rim, v):
			deep = max(deep, rimDist(y.rim, v))
		}
	}
	if deep <= r.diam*1e-9 {
		return 0
	}
	y.layPoles()
	eps := r.diam * 0.01
	sum := deep * r.poles[0].r
	for _, p := range y.poles {
		sum += softened(p.r-l.tilt.at(p.at), eps) * p.r
	}
	return math.Sqrt(sum*math.Pi+eps*eps) * r.weight
}
