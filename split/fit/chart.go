package fit

// chart is what two parts that may not be turned cost for lying in each other,
// by the shift from one to the other: known at the nodes of a grid, and between
// nodes that all say they overlap as good as known.
type chart struct {
	org, per vec // the first node, and cells to a millimetre
	cost     [chartCells + 1][chartCells + 1]float32
}

const (
	chartCells = 48
	// A chart takes as many costs as it has nodes, so it is drawn when that many
	// have been asked for.
	chartAsks = (chartCells + 1) * (chartCells + 1)
	// mostCharts bounds the memory, at 10 kB a chart.
	mostCharts = 1000
)

// at is the cost at a shift, if the chart tells it.
func (c *chart) at(shift vec) (cost float64, ok bool) {
	x, y := (shift.x-c.org.x)*c.per.x, (shift.y-c.org.y)*c.per.y
	if !(x >= 0 && y >= 0 && x < chartCells && y < chartCells) {
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

// drawChart weighs o, shifted to every node, against y.
func drawChart(y, o *lying) *chart {
	y.layPoles()
	y.layOutline()
	c := new(chart)
	lo, hi := o.box.min.sub(o.pose.at), o.box.max.sub(o.pose.at)
	c.org = y.box.min.sub(y.pose.at).sub(hi)
	far := y.box.max.sub(y.pose.at).sub(lo)
	c.per = vec{chartCells / (far.x - c.org.x), chartCells / (far.y - c.org.y)}
	var moved lying
	for j := range c.cost {
		for i := range c.cost[j] {
			shift := c.org.add(vec{float64(i) / c.per.x, float64(j) / c.per.y})
			moved.lay(o.of, o.held, pose{y.pose.at.add(shift), o.pose.deg})
			c.cost[j][i] = float32(overlapCost(&moved, y))
		}
	}
	return c
}

// charts are those of all pairs of kinds of parts. They belong to one search.
type charts struct {
	held  [][]held // by item, its turns without tolerance
	kinds int
	asked []int32 // by two kinds, the lower first
	drawn []*chart
	count int
}

func newCharts(items []Item, parts []*rough) *charts {
	type posture struct {
		shape *Shape
		deg   float64
	}
	kinds := map[posture]int{}
	cs := &charts{held: make([][]held, len(items))}
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
			cs.held[i] = append(cs.held[i], held{t.Deg, sin, cos, kinds[k],
				boxOf(turned(parts[i].fat, sin, cos)), boxOf(turned(parts[i].rim, sin, cos))})
		}
	}
	cs.kinds = len(kinds)
	cs.asked = make([]int32, cs.kinds*cs.kinds)
	cs.drawn = make([]*chart, cs.kinds*cs.kinds)
	return cs
}

// at is the turn that an item is held to, if it is held to this one.
func (cs *charts) at(item int, deg float64) *held {
	hs := cs.held[item]
	for k := range hs {
		if hs[k].deg == deg {
			return &hs[k]
		}
	}
	return nil
}

// cost is what two lying parts cost, if a chart tells it.
func (cs *charts) cost(y, o *lying) (cost float64, ok bool) {
	if y.held == nil || o.held == nil {
		return 0, false
	}
	if y.held.kind > o.held.kind {
		y, o = o, y
	}
	k := y.held.kind*cs.kinds + o.held.kind
	c := cs.drawn[k]
	if c == nil {
		if cs.count == mostCharts {
			return 0, false
		}
		if cs.asked[k]++; cs.asked[k] < chartAsks {
			return 0, false
		}
		cs.count++
		c = drawChart(y, o)
		cs.drawn[k] = c
	}
	return c.at(o.pose.at.sub(y.pose.at))
}
