package fit

import "math"

// pairTable is a pairwise overlap table: the overlap cost of two parts at fixed
// turns, by the shift from one to the other. It holds the cost at the nodes of
// a grid over all shifts at which their boxes meet, and what is known of each
// cell between four nodes. Within a cell the cost is interpolated.
type pairTable struct {
	org, per vec // the first node, and cells to a millimetre
	cost     [tableCells + 1][tableCells + 1]float32
	cell     [tableCells][tableCells]tableAnswer
}

// tableAnswer is what a table knows of two parts at all shifts in one of its
// cells.
type tableAnswer uint8

const (
	noAnswer tableAnswer = iota // neither whether they overlap nor what it costs
	overlap                     // they overlap at all four nodes, and in the cell but for a gap that lies between
	touch                       // what it costs where they overlap, but not whether they do
	clear                       // they do not overlap
)

const (
	tableCells = 48
	// Filling a table takes one evaluation a node. So it is filled when as many
	// costs have been asked for: until then it would not have paid.
	tableLookups = (tableCells + 1) * (tableCells + 1)
	// mostTables bounds the memory, at 12 kB a table.
	mostTables = 1000
)

// lookup is the cost at a shift, and what the table knows there.
func (c *pairTable) lookup(shift vec) (cost float64, known tableAnswer) {
	x, y := (shift.x-c.org.x)*c.per.x, (shift.y-c.org.y)*c.per.y
	if !(x >= 0 && y >= 0 && x < tableCells && y < tableCells) {
		return 0, noAnswer
	}
	i, j := int(x), int(y)
	if known = c.cell[j][i]; known == noAnswer || known == clear {
		return 0, known
	}
	a, b := &c.cost[j], &c.cost[j+1]
	u, v := x-float64(i), y-float64(j)
	near := float64(a[i])*(1-u) + float64(a[i+1])*u
	far := float64(b[i])*(1-u) + float64(b[i+1])*u
	return near*(1-v) + far*v, known
}

// newPairTable evaluates the overlap cost of o against y at the shift of every
// node. If it is whole, it has an answer for each of its cells.
func newPairTable(y, o *placedPart, whole bool) *pairTable {
	y.placePoles()
	y.placeOutline()
	c := new(pairTable)
	lo, hi := o.box.min.sub(o.pose.at), o.box.max.sub(o.pose.at)
	c.org = y.box.min.sub(y.pose.at).sub(hi)
	far := y.box.max.sub(y.pose.at).sub(lo)
	c.per = vec{tableCells / (far.x - c.org.x), tableCells / (far.y - c.org.y)}
	var moved placedPart
	at := func(i, j float64) *placedPart {
		shift := c.org.add(vec{i / c.per.x, j / c.per.y})
		moved.place(o.shape, o.fixed, pose{y.pose.at.add(shift), o.pose.deg})
		return &moved
	}
	var overlapping [tableCells + 1][tableCells + 1]bool
	for j := range c.cost {
		for i := range c.cost[j] {
			m := at(float64(i), float64(j))
			cost := overlapCost(m, y)
			overlapping[j][i] = cost > 0
			if cost == 0 && whole {
				cost = proxyCost(m, y, math.Inf(1))
			}
			c.cost[j][i] = float32(cost)
		}
	}
	for j := range c.cell {
		for i := range c.cell[j] {
			switch {
			case overlapping[j][i] && overlapping[j][i+1] && overlapping[j+1][i] && overlapping[j+1][i+1]:
				c.cell[j][i] = overlap
			case whole && c.cell[j][i] == noAnswer:
				c.cell[j][i] = touch
				m := at(float64(i)+0.5, float64(j)+0.5)
				if overlapCost(m, y) == 0 {
					c.clearAround(i, j, ringsApart(m.inflated, y.inflated))
				}
			}
		}
	}
	return c
}

// clearAround marks the cells in which the parts do not overlap for certain,
// because they are so far apart at the middle of cell i, j.
func (c *pairTable) clearAround(i, j int, apart float64) {
	w, h := 1/c.per.x, 1/c.per.y
	nx, ny := int(apart/w)+1, int(apart/h)+1
	for b := max(0, j-ny); b <= min(tableCells-1, j+ny); b++ {
		for a := max(0, i-nx); a <= min(tableCells-1, i+nx); a++ {
			// how far the farthest corner of that cell is
			x, y := (math.Abs(float64(a-i))+0.5)*w, (math.Abs(float64(b-j))+0.5)*h
			if x*x+y*y < apart*apart*(1-1e-9) {
				c.cell[b][a] = clear
			}
		}
	}
}

// ringsApart is the distance between two polygons that do not overlap.
func ringsApart(ps, qs []vec) float64 {
	least := math.Inf(1)
	for _, p := range ps {
		least = min(least, ringDistance(qs, p))
	}
	for _, q := range qs {
		least = min(least, ringDistance(ps, q))
	}
	return least
}

// pairTables are the tables of all pairs of kinds. A kind is a shape at a fixed
// turn. They belong to one search and are filled as it goes.
type pairTables struct {
	fixed   [][]fixedTurn // by item: its turns without tolerance
	kinds   int
	lookups []int32 // how often a pair was asked for, by two kinds, the lower first
	tables  []*pairTable
	count   int
	whole   bool // whether the tables to be filled have an answer for each of their cells
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

// cost is the overlap cost of two placed parts, as far as a table can tell it.
func (cs *pairTables) cost(y, o *placedPart) (cost float64, known tableAnswer) {
	if y.fixed == nil || o.fixed == nil {
		return 0, noAnswer
	}
	if y.fixed.kind > o.fixed.kind {
		y, o = o, y
	}
	k := y.fixed.kind*cs.kinds + o.fixed.kind
	c := cs.tables[k]
	if c == nil {
		if cs.count == mostTables {
			return 0, noAnswer
		}
		if cs.lookups[k]++; cs.lookups[k] < tableLookups {
			return 0, noAnswer
		}
		cs.count++
		c = newPairTable(y, o, cs.whole)
		cs.tables[k] = c
	}
	return c.lookup(o.pose.at.sub(y.pose.at))
}
