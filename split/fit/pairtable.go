package fit

// pairTable is what two parts that may not be turned cost for lying in each other,
// by the shift from one to the other: known at the nodes of a grid, and between
// nodes that all say they overlap as good as known.
type pairTable struct {
	org, per vec // the first node, and cells to a millimetre
	cost     [tableCells + 1][tableCells + 1]float32
}

const (
	tableCells = 48
	// A chart takes as many costs as it has nodes, so it is drawn when that many
	// have been asked for.
	tableLookups = (tableCells + 1) * (tableCells + 1)
	// mostTables bounds the memory, at 10 kB a chart.
	mostTables = 1000
)

// lookup is the cost at a shift, if the chart tells it.
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

// newPairTable weighs o, shifted to every node, against y.
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

// pairTables are those of all pairs of kinds of parts. They belong to one search.
type pairTables struct {
	fixed   [][]fixedTurn // by item, its turns without tolerance
	kinds   int
	lookups []int32 // by two kinds, the lower first
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

// fixedTurn is the turn that an item is held to, if it is held to this one.
func (cs *pairTables) fixedTurn(item int, deg float64) *fixedTurn {
	hs := cs.fixed[item]
	for k := range hs {
		if hs[k].deg == deg {
			return &hs[k]
		}
	}
	return nil
}

// cost is what two lying parts cost, if a chart tells it.
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
