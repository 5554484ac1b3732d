package fit

import "math"

// pairTable is a pairwise overlap table: the overlap cost of two parts at fixed
// turns, by the shift from one to the other. It covers all shifts at which their
// boxes meet with a grid. In each cell the cost is interpolated between its four
// nodes. Whether parts overlap at all is known exactly in most cells: this changes
// only where they begin to touch, and no-fit polygons tell where that is.
type pairTable struct {
	org, per vec     // the first node, and cells to a millimetre
	unit     float64 // of the costs
	cells    [tableCells * tableCells]tableCell
}

// tableCell is what the parts cost at the four nodes of a cell where they overlap,
// 16 bits each, so that a look-up reads one word. The lowest two bits are an
// overlapState.
type tableCell uint64

// overlapState is what is known of the shifts of a cell.
type overlapState uint8

const (
	allClear     overlapState = iota // no shift overlaps
	mayOverlap                       // some may
	nodesOverlap                     // those at the four nodes do
	allOverlap                       // all do
	notInTable                       // there is no table
)

const (
	tableCells = 32
	// Filling a table takes one evaluation a node. So it is filled when about twice
	// as many costs have been asked for: until then it would not have paid.
	tableLookups = 2 * (tableCells + 1) * (tableCells + 1)
	// mostTables bounds the memory, at 8 kB a table.
	mostTables = 1000
)

// lookup is the cost of a shift if it overlaps, and whether it does.
func (c *pairTable) lookup(shift vec) (cost float64, s overlapState) {
	x, y := (shift.x-c.org.x)*c.per.x, (shift.y-c.org.y)*c.per.y
	if !(x >= 0 && y >= 0 && x < tableCells && y < tableCells) {
		return 0, allClear
	}
	i, j := int(x), int(y)
	q := c.cells[j*tableCells+i]
	if q == 0 {
		return 0, allClear
	}
	u, v := x-float64(i), y-float64(j)
	a, b := float64(uint16(q)&^stateBits), float64(uint16(q>>16))
	d, e := float64(uint16(q>>32)), float64(uint16(q>>48))
	near := a + (b-a)*u
	far := d + (e-d)*u
	return (near + (far-near)*v) * c.unit, overlapState(q & stateBits)
}

const stateBits = 3

// newPairTable evaluates the overlap cost of o against y at the shift of every
// node.
func newPairTable(y, o *placedPart) *pairTable {
	y.placePoles()
	y.placeOutline()
	c := new(pairTable)
	lo, hi := o.box.min.sub(o.pose.at), o.box.max.sub(o.pose.at)
	c.org = y.box.min.sub(y.pose.at).sub(hi)
	far := y.box.max.sub(y.pose.at).sub(lo)
	c.per = vec{tableCells / (far.x - c.org.x), tableCells / (far.y - c.org.y)}
	var moved placedPart
	moveTo := func(column, row float64) {
		moved.place(o.shape, o.fixed, pose{y.pose.at.add(c.org).add(vec{column / c.per.x, row / c.per.y}), o.pose.deg})
	}
	over := func() bool { return certainCost(&moved, y) > 0 || overlaps(&moved, y) }
	var nodeOver [tableCells + 1][tableCells + 1]bool
	var cost [tableCells + 1][tableCells + 1]float64
	most := 0.0
	for j := range cost {
		for i := range cost[j] {
			moveTo(float64(i), float64(j))
			nodeOver[j][i] = over()
			cost[j][i] = proxyCost(&moved, y, math.Inf(1))
			most = max(most, cost[j][i])
		}
	}
	c.unit = most / math.MaxUint16
	node := func(j, i int) tableCell { return tableCell(cost[j][i]/c.unit) &^ stateBits }
	touch := c.touching(y, o)
	for j := range tableCells {
		for i := range tableCells {
			s := mayOverlap
			if !touch[j][i] {
				// Any shift of the cell tells, but for one at which corners or edges lie in
				// one line, as at a node they may.
				moveTo(float64(i)+0.37, float64(j)+0.61)
				if !over() {
					continue // all clear
				}
				s = allOverlap
			} else if nodeOver[j][i] && nodeOver[j][i+1] && nodeOver[j+1][i] && nodeOver[j+1][i+1] {
				s = nodesOverlap
			}
			c.cells[j*tableCells+i] = tableCell(s) | node(j, i) | node(j, i+1)<<16 | node(j+1, i)<<32 | node(j+1, i+1)<<48
		}
	}
	return c
}

// cellMarks are marks on the cells of a table.
type cellMarks [tableCells][tableCells]bool

// touching marks the cells at some shift of which the parts may begin to touch: a
// corner of one comes to lie on an edge of the other, and both edges at that corner
// lead away from it. Such shifts make up the edges of the no-fit polygon. An inflated
// outline may cross itself, so there all corners count.
func (c *pairTable) touching(y, o *placedPart) *cellMarks {
	var marks cellMarks
	outlineOf := func(p *placedPart) []vec {
		return rotated(p.shape.inflated, p.sin, p.cos)
	}
	all := !y.shape.notInflated() || !o.shape.notInflated()
	run := func(edges, corners []vec, sign float64) {
		for i, a := range edges {
			b := edges[(i+1)%len(edges)]
			e := b.sub(a)
			for k, v := range corners {
				before := corners[(k+len(corners)-1)%len(corners)].sub(v)
				after := corners[(k+1)%len(corners)].sub(v)
				hair := 1e-9 * e.len() * (before.len() + after.len())
				if all || e.cross(before) <= hair && e.cross(after) <= hair {
					c.mark(&marks, a.sub(v).mul(sign), b.sub(v).mul(sign))
				}
			}
		}
	}
	a, b := outlineOf(y), outlineOf(o)
	run(a, b, 1)
	run(b, a, -1)
	return &marks
}

// mark marks the cells that a line of shifts from p to q runs through, and those it
// passes by a hair, for parts of the same kind differ by a hair (see simplifyItems).
func (c *pairTable) mark(marks *cellMarks, p, q vec) {
	const hair = 1e-3
	p, q = p.sub(c.org), q.sub(c.org)
	p, q = vec{p.x * c.per.x, p.y * c.per.y}, vec{q.x * c.per.x, q.y * c.per.y}
	reach := func(u, v float64) (int, int) {
		return max(0, int(math.Floor(min(u, v)-hair))), min(tableCells-1, int(math.Floor(max(u, v)+hair)))
	}
	step := q.sub(p)
	n := 1 + math.Ceil(max(math.Abs(step.x), math.Abs(step.y)))
	for k := range int(n) {
		s, t := p.add(step.mul(float64(k)/n)), p.add(step.mul(float64(k+1)/n))
		x0, x1 := reach(s.x, t.x)
		y0, y1 := reach(s.y, t.y)
		for j := y0; j <= y1; j++ {
			for i := x0; i <= x1; i++ {
				marks[j][i] = true
			}
		}
	}
}

// pairTables are the tables of all pairs of kinds. A kind is a shape at a fixed
// turn. They belong to one search and are filled as it goes. Pairs of the same
// shapes that are turned against each other alike share a table.
type pairTables struct {
	fixed   [][]fixedTurn // by item: its turns without tolerance
	kinds   int
	lookups []int32      // how often a pair was asked for, by two kinds, the lower first
	tables  []*pairTable // nil where there is none yet
	shared  map[shapePair]*pairTable
}

// shapePair is two shapes, and the turn of the second against the first.
type shapePair struct {
	a, b *simplified
	deg  float64
}

func newPairTables(items []Item, parts []*simplified) *pairTables {
	type posture struct {
		shape *Shape
		deg   float64
	}
	kinds := map[posture]int{}
	first := map[*Shape]*simplified{}
	cs := &pairTables{fixed: make([][]fixedTurn, len(items)), shared: map[shapePair]*pairTable{}}
	for i, it := range items {
		if first[it.Shape] == nil {
			first[it.Shape] = parts[i]
		}
		for _, t := range it.Turns {
			if t.ToleranceDeg != 0 {
				continue
			}
			k := posture{it.Shape, t.Deg}
			if _, ok := kinds[k]; !ok {
				kinds[k] = len(kinds)
			}
			sin, cos := sincosDeg(t.Deg)
			cs.fixed[i] = append(cs.fixed[i], fixedTurn{deg: t.Deg, sin: sin, cos: cos, kind: kinds[k], shape: first[it.Shape],
				box: boxOf(rotated(parts[i].inflated, sin, cos)), outlineBox: boxOf(rotated(parts[i].outline, sin, cos))})
		}
	}
	cs.kinds = len(kinds)
	cs.lookups = make([]int32, cs.kinds*cs.kinds)
	cs.tables = make([]*pairTable, cs.kinds*cs.kinds)
	return cs
}

// fixedTurn is the item's fixed turn of just so many degrees, or nil if it has
// none.
func (cs *pairTables) fixedTurn(item int, deg float64) *fixedTurn {
	hs := cs.fixed[item]
	for k := range hs {
		if hs[k].deg == deg {
			return &hs[k]
		}
	}
	return nil
}

// cost is the overlap cost of two placed parts if they overlap, and whether they
// do, as far as a table tells.
func (cs *pairTables) cost(y, o *placedPart) (cost float64, s overlapState) {
	if y.fixed == nil || o.fixed == nil {
		return 0, notInTable
	}
	if y.fixed.kind > o.fixed.kind {
		y, o = o, y
	}
	k := y.fixed.kind*cs.kinds + o.fixed.kind
	c := cs.tables[k]
	if c == nil {
		if c = cs.ask(k, y, o); c == nil {
			return 0, notInTable
		}
	}
	return c.lookup(o.pose.at.sub(y.pose.at).turn(-y.fixed.sin, y.fixed.cos))
}

// ask counts that the table of a pair of kinds was asked for, and fills it when it
// is time.
func (cs *pairTables) ask(k int, y, o *placedPart) *pairTable {
	if cs.lookups[k]++; cs.lookups[k] < tableLookups {
		return nil
	}
	cs.lookups[k] = 0
	p := shapePair{y.fixed.shape, o.fixed.shape, math.Mod(o.fixed.deg-y.fixed.deg+720, 360)}
	c := cs.shared[p]
	if c == nil {
		if len(cs.shared) == mostTables {
			return nil
		}
		var a, b placedPart
		a.place(p.a, nil, pose{})
		b.place(p.b, nil, pose{deg: p.deg})
		c = newPairTable(&a, &b)
		cs.shared[p] = c
	}
	cs.tables[k] = c
	return c
}
