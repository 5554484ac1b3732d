package fit

import "math"

// pairTable is a pairwise overlap table: the overlap cost of two parts at fixed
// turns, by the shift from one to the other. It covers all shifts at which their
// boxes meet with a grid. In each cell the cost is interpolated between its four
// nodes. Whether parts overlap at all is known exactly: this changes only where they
// begin to touch, and no-fit polygons tell where that is. Only in cells through which
// more than two lines of these run the outlines must be compared. What is read most is
// kept small, for a search looks into all of its tables all the time.
type pairTable struct {
	org, per vec     // the first node, and cells to a millimetre
	unit     float64 // of the costs
	nodes    [tableNodes * tableNodes]tableNode
	border   [tableCells * tableCells]uint16 // which of the borders is that of a cell; 0 for none
	borders  []border
}

// tableNode is what the parts cost at a node where they overlap. The lowest two bits
// are the overlapState of the cell that begins at the node.
type tableNode uint16

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
	tableNodes = tableCells + 1
	// Filling a table takes one evaluation a node. So it is filled when about twice
	// as many costs have been asked for: until then it would not have paid.
	tableLookups = 2 * tableNodes * tableNodes
	// mostTables bounds the memory, at some 8 kB a table.
	mostTables = 1000
)

// at is the cost of the shift that lies so many cells along and across from the first
// node, if it overlaps, and whether it does. Where all four nodes of its cell overlap,
// that is enough unless exact is asked for.
func (c *pairTable) at(x, y float64, exact bool) (cost float64, s overlapState) {
	if !(x >= 0 && y >= 0 && x < tableCells && y < tableCells) {
		return 0, allClear
	}
	i, j := int(x), int(y)
	k := j*tableNodes + i
	q := c.nodes[k : k+tableNodes+2 : k+tableNodes+2]
	s = overlapState(q[0] & stateBits)
	if s == allClear {
		return 0, allClear
	}
	u, v := x-float64(i), y-float64(j)
	if s == mayOverlap || s == nodesOverlap && exact {
		if b := c.border[j*tableCells+i]; b > 0 {
			if !c.borders[b].overlaps(float32(u-0.5), float32(v-0.5)) {
				return 0, allClear
			}
			s = allOverlap
		}
	}
	a, b := float64(q[0]&^stateBits), float64(q[1]&^stateBits)
	d, e := float64(q[tableNodes]&^stateBits), float64(q[tableNodes+1]&^stateBits)
	near := a + (b-a)*u
	far := d + (e-d)*u
	return (near + (far-near)*v) * c.unit, s
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
	var nodeOver [tableNodes][tableNodes]bool
	var cost [tableNodes][tableNodes]float64
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
	for j := range cost {
		for i := range cost[j] {
			c.nodes[j*tableNodes+i] = tableNode(cost[j][i]/c.unit) &^ stateBits
		}
	}
	c.borders = make([]border, 1)
	overAt := func(p vec) bool {
		moveTo(p.x, p.y)
		return over()
	}
	touch := c.touching(y, o)
	for j := range tableCells {
		for i := range tableCells {
			var s overlapState
			corner := vec{float64(i), float64(j)}
			switch lines := &touch[j*tableCells+i]; {
			case lines.count == 0:
				// Any shift of the cell tells, but for one at which corners or edges lie in
				// one line, as at a node they may.
				if overAt(corner.add(vec{0.37, 0.61})) {
					s = allOverlap
				}
			case lines.count <= len(lines.lines):
				var b border
				if b, s = newBorder(corner, lines, overAt); s == mayOverlap {
					c.border[j*tableCells+i] = uint16(len(c.borders))
					c.borders = append(c.borders, b)
				}
			default:
				s = mayOverlap
			}
			if s == mayOverlap && nodeOver[j][i] && nodeOver[j][i+1] && nodeOver[j+1][i] && nodeOver[j+1][i+1] {
				s = nodesOverlap
			}
			c.nodes[j*tableNodes+i] |= tableNode(s)
		}
	}
	return c
}

// touching finds the cells at some shift of which the parts may begin to touch, and
// the lines of such shifts: a corner of one comes to lie on an edge of the other, and both
// edges at that corner lead away from it. The edges of the no-fit polygon are such
// lines. An inflated outline may cross itself, so there all corners count.
func (c *pairTable) touching(y, o *placedPart) []cellLines {
	marks := make([]cellLines, tableCells*tableCells)
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
					c.mark(marks, a.sub(v).mul(sign), b.sub(v).mul(sign))
				}
			}
		}
	}
	a, b := outlineOf(y), outlineOf(o)
	run(a, b, 1)
	run(b, a, -1)
	return marks
}

// mark adds the line of shifts from p to q to the cells that it runs through, and to
// those it passes by a hair, for parts of the same kind differ by a hair (see
// simplifyItems).
func (c *pairTable) mark(marks []cellLines, p, q vec) {
	const hair = 1e-3
	p, q = p.sub(c.org), q.sub(c.org)
	p, q = vec{p.x * c.per.x, p.y * c.per.y}, vec{q.x * c.per.x, q.y * c.per.y}
	reach := func(u, v float64) (int, int) {
		return max(0, int(math.Floor(min(u, v)-hair))), min(tableCells-1, int(math.Floor(max(u, v)+hair)))
	}
	step := q.sub(p)
	across := step.quarter().mul(1 / max(step.len(), 1e-9))
	n := 1 + math.Ceil(max(math.Abs(step.x), math.Abs(step.y)))
	for k := range int(n) {
		s, t := p.add(step.mul(float64(k)/n)), p.add(step.mul(float64(k+1)/n))
		x0, x1 := reach(s.x, t.x)
		y0, y1 := reach(s.y, t.y)
		for j := y0; j <= y1; j++ {
			for i := x0; i <= x1; i++ {
				marks[j*tableCells+i].add(line{across, across.dot(p)}, vec{float64(i) + 0.5, float64(j) + 0.5})
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
	lookups []int32     // how often a pair was asked for, by two kinds, the lower first
	views   []tableView // by two kinds
	shared  map[shapePair]*pairTable
}

// tableView is a table as two kinds see it: which place in it belongs to the shift from
// the first to the second.
type tableView struct {
	table  *pairTable // nil where there is none yet
	alongX vec        // the place's x is the shift times this,
	x      float64    // plus this
	alongY vec
	y      float64
}

// cost is what two parts cost at a shift from the first to the second if they
// overlap, and whether they do, as far as the table tells.
func (v *tableView) cost(dx, dy float64, exact bool) (float64, overlapState) {
	return v.table.at(dx*v.alongX.x+dy*v.alongX.y+v.x, dx*v.alongY.x+dy*v.alongY.y+v.y, exact)
}

// view is the table as the two parts see it that it was filled for, where the first is
// turned so, or as they see it from the second.
func (c *pairTable) view(sin, cos float64, fromSecond bool) tableView {
	v := tableView{table: c, alongX: vec{cos, sin}.mul(c.per.x), alongY: vec{-sin, cos}.mul(c.per.y), x: -c.org.x * c.per.x, y: -c.org.y * c.per.y}
	if fromSecond {
		v.alongX, v.alongY = v.alongX.mul(-1), v.alongY.mul(-1)
	}
	return v
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
	cs.views = make([]tableView, cs.kinds*cs.kinds)
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

// exactCost is the overlap cost of two placed parts if they overlap, and whether they
// do, as far as a table tells.
func (cs *pairTables) exactCost(y, o *placedPart) (cost float64, s overlapState) {
	if y.fixed == nil || o.fixed == nil {
		return 0, notInTable
	}
	v := &cs.views[y.fixed.kind*cs.kinds+o.fixed.kind]
	if v.table == nil && !cs.ask(y.fixed, o.fixed) {
		return 0, notInTable
	}
	return v.cost(o.pose.at.x-y.pose.at.x, o.pose.at.y-y.pose.at.y, true)
}

// ask counts that the table of a pair of kinds was asked for, and fills it when it
// is time. It says whether there is one now.
func (cs *pairTables) ask(y, o *fixedTurn) bool {
	if y.kind > o.kind {
		y, o = o, y
	}
	k := y.kind*cs.kinds + o.kind
	if cs.lookups[k]++; cs.lookups[k] < tableLookups {
		return false
	}
	cs.lookups[k] = 0
	p := shapePair{y.shape, o.shape, math.Mod(o.deg-y.deg+720, 360)}
	c := cs.shared[p]
	if c == nil {
		if len(cs.shared) == mostTables {
			return false
		}
		var a, b placedPart
		a.place(p.a, nil, pose{})
		b.place(p.b, nil, pose{deg: p.deg})
		c = newPairTable(&a, &b)
		cs.shared[p] = c
	}
	cs.views[o.kind*cs.kinds+y.kind] = c.view(y.sin, y.cos, true)
	cs.views[k] = c.view(y.sin, y.cos, false)
	return true
}
