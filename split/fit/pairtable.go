package fit

// pairTable is a pairwise overlap table: the overlap cost of two parts at fixed
// turns, by the shift from one to the other. It holds the cost at the nodes of
// a grid over all shifts at which their boxes meet. Between four nodes that all
// overlap the cost is interpolated. Elsewhere the table has no answer, for the
// touch lies somewhere between.
type pairTable struct {
	org, per vec // the first node, and cells to a millimetre
	cost     [tableCells + 1][tableCells + 1]float32
}

const (
	tableCells = 48
	// Filling a table takes one evaluation a node. So it is filled when as many
	// costs have been asked for: until then it would not have paid.
	tableLookups = (tableCells + 1) * (tableCells + 1)
	// mostTables bounds the memory, at 10 kB a table.
	mostTables = 1000
)

// lookup is the cost at a shift, where the table can tell it.
func (c *pairTable) lookup(shift vec) (cost float64, ok bool) {
	x, y := (shift.x-c.org.x)*c.per.x, (shift.y-c.org.y)*c.per.y
	if !(x >= 0 && y >= 0 && x < tableCells && y < tableCells) {
		return 0, false
	}
	i, j := int(x), int(y)
	a, b := &c.cost[j], &c.cost[j+1]
	if a[i] == 0 || a[i+1] == 0 || b[i] == 0 || b[i+1] == 0 {
		return 0, false
	}
	u, v := x-float64(i), y-float64(j)
	near := float64(a[i])*(1-u) + float64(a[i+1])*u
	far := float64(b[i])*(1-u) + float64(b[i+1])*u
	return near*(1-v) + far*v, true
}

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
	for j := range c.cost {
		for i := range c.cost[j] {
			shift := c.org.add(vec{float64(i) / c.per.x, float64(j) / c.per.y})
			moved.place(o.shape, o.fixed, pose{y.pose.at.add(shift), o.pose.deg})
			c.cost[j][i] = float32(overlapCost(&moved, y))
		}
	}
	return c
}

// pairTables are the tables of all pairs of kinds. A kind is a shape at a fixed
// turn. They belong to one search and are filled as it goes.
type pairTables struct {
	fixed   [][]fixedTurn // by item: its turns without tolerance
	kinds   int
	lookups []int32 // how often a pair was asked for, by two kinds, the lower first
	tables  []*pairTable
	count   int
}

func newPairTables(items []Item, parts []*simplified) *pairTables {
	type posture struct {
		shape *Shape
		deg   float64
	}
	kinds := map[posture]int{}
	cs := &pairTables{fixed: make([][]fixedTurn, len(items))}
	for i, it := range items {
		for _, t := range it.Turns {
			if t.ToleranceDeg != 0 {
				continue
			}
			k := posture{it.Shape, t.Deg}
			if _, ok := kinds[k]; !ok {
				kinds[k] = len(kinds)
			}
			sin, cos := sincosDeg(t.Deg)
			cs.fixed[i] = append(cs.fixed[i], fixedTurn{deg: t.Deg, sin: sin, cos: cos, kind: kinds[k],
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

// cost is the overlap cost of two placed parts, where a table can tell it.
func (cs *pairTables) cost(y, o *placedPart) (cost float64, ok bool) {
	if y.fixed == nil || o.fixed == nil {
		return 0, false
	}
	if y.fixed.kind > o.fixed.kind {
		y, o = o, y
	}
	k := y.fixed.kind*cs.kinds + o.fixed.kind
	c := cs.tables[k]
	if c == nil {
		if cs.count == mostTables {
			return 0, false
		}
		if cs.lookups[k]++; cs.lookups[k] < tableLookups {
			return 0, false
		}
		cs.count++
		c = newPairTable(y, o)
		cs.tables[k] = c
	}
	return c.lookup(o.pose.at.sub(y.pose.at))
}
