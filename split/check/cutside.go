package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"eke/split/plan"

	"github.com/peterstace/simplefeatures/geom"
)

// A cutting line holds all that lies within the least allowance of its part's seam
// line, for it leaves every edge its allowance and goes round every corner as far
// as the smaller one. So a part needs as much cloth as its seam line with that
// allowance round it, at least. Of a part that a cut makes only some is certain:
// what lies on its side of every line from a level on.

// lines is a family of lines that slide over a piece.
type lines struct {
	way     string
	turnDeg float64
	bend    int
}

// yoke is lines across the grain.
var yoke = lines{"yoke", 0, 0}

// families are the lines along which a copy is cut. A curved yoke may bend either
// way.
var families = []lines{
	yoke, {"panel", 90, 0}, {"corner", 45, 0}, {"corner", 135, 0}, {"curved yoke", 0, 1}, {"curved yoke", 0, -1},
}

// tried reports whether lines count where only seams of some kinds are made. A
// centre seam is a panel's.
func (l lines) tried(kinds []string) bool {
	for _, k := range kinds {
		if strings.EqualFold(k, l.way) || l.way == "panel" && strings.EqualFold(k, "centre") {
			return true
		}
	}
	return len(kinds) == 0
}

// looseMM is how much further on than a curved yoke's middle the part beyond it may
// begin, measured straight down the piece, where it is not known how wide the part is
// that it cuts: it bends by a part of that width, which is the piece's at most, and its
// middle may be 1 mm off.
func (c *cloud) looseMM() float64 {
	const offMM, clear = 1.0, 1.02
	return clear*bendRatio*c.widest + offMM + 2*offBendMM
}

const (
	// bendRatio is by how much of a piece's width a curved yoke bends.
	bendRatio = 1.0 / 12
	// offLevelMM is how far a seam may lie off its line: where it would leave a
	// stub of an edge, and by rounding.
	offLevelMM = 0.15
	// offBendMM is the same for a curved one, whose middle may be that of the
	// fold, 1 mm off that of the piece, where it falls by a third at most.
	offBendMM = offLevelMM + 0.35
)

// cloud is a copy's outline and inside as points.
type cloud struct {
	piece     *pieceProof
	body      *sureBody
	line      []point // the outline of that, in steps
	inside    []point
	allowMM   float64          // the least allowance, that of a seam included where it is cut
	leastMM   map[lines]bounds // of levels
	lo, hi    point            // across and along the grain, as drawn
	bodyReach point            // across and along, of what is certain
	farMM     float64          // how far from there its outline may come
	widest    float64          // it is across the grain at most
	offBendMM float64          // how far a curved yoke may lie off where it would lie as drawn
	right     point            // across the grain
	wholeFrom float64          // the least allowance of its own edges
	whole     []point          // of it, to be followed
	wholeMM2  float64          // its area, with that allowance round it
	ring      []point          // its outline, simplified
	areas     map[part]float64 // of its parts, likewise
	halfGap   float64
	wholeRoom float64 // its area with half the gap round it too
	partsRoom float64 // that with the least allowance that parts may have
	rooms     map[part]float64
	discsMM2  map[partDiscs]float64 // of its parts, as far as discs reach
}

// part is what a cut makes: what lies on one side of it. Where the copy was cut
// before, that is what lies on a side of the first cut too.
type part struct{ cut, first sideOf }

func (q part) sides() []sideOf {
	if q.first == (sideOf{}) {
		return []sideOf{q.cut}
	}
	return []sideOf{q.first, q.cut}
}

// sideOf is one side of a line.
type sideOf struct {
	lines   lines
	before  bool
	levelMM float64
}

// bounds are the levels of a copy, less what would be a sliver.
type bounds struct{ lo, hi float64 }

const (
	stepMM   = 4.0  // between points of an outline
	meshMM   = 40.0 // between points inside
	leewayMM = 0.4  // what a plan may be off: the slack, rounding, and what curves lose
)

// cloudOf is of what is certain of a copy.
func cloudOf(p *pieceProof, body *sureBody, seamAllowanceMM, gapMM float64) (*cloud, error) {
	c := &cloud{piece: p, body: body, halfGap: gapMM / 2, rooms: map[part]float64{}, discsMM2: map[partDiscs]float64{}, leastMM: map[lines]bounds{}, areas: map[part]float64{}, wholeFrom: body.leastMM}
	if len(p.edges) == 0 {
		return nil, fmt.Errorf("piece %s has no edges", p.id)
	}
	c.allowMM = math.Min(c.wholeFrom, seamAllowanceMM)
	ring := body.ring
	c.line = stepsAlong(ring)
	if len(c.line) > mostLine {
		return nil, fmt.Errorf("piece %s has too many points", p.id)
	}
	box := boxOf(ring...)
	for x := box.lo[0] + meshMM/2; x < box.hi[0]; x += meshMM {
		for y := box.lo[1] + meshMM/2; y < box.hi[1]; y += meshMM {
			if q := (point{x, y}); within(ring, q) {
				c.inside = append(c.inside, q)
			}
		}
	}
	if len(c.inside) > mostLine {
		return nil, fmt.Errorf("piece %s is too large", p.id)
	}
	c.right = direction(p.GrainDeg + 90)
	sureLo, sureHi := c.extent(c.line)
	c.bodyReach = sub(sureHi, sureLo)
	drawn := c.line
	if body.moved {
		drawn = stepsAlong(p.region.ring)
	}
	c.lo, c.hi = c.extent(drawn)
	c.widest = c.hi[0] - c.lo[0]
	if body.moved {
		c.mayMove(drawn)
	}
	for _, l := range families {
		b := bounds{math.Inf(1), math.Inf(-1)}
		for _, q := range slices.Concat(drawn, body.reach) {
			v := c.level(l, q)
			b.lo, b.hi = math.Min(b.lo, v), math.Max(b.hi, v)
		}
		const hem = leastMM - 1
		c.leastMM[l] = bounds{b.lo + hem, b.hi - hem}
		if body.moved {
			off := offReachMM
			if l.bend != 0 {
				off += c.offBendMM
			}
			c.leastMM[l] = bounds{b.lo + hem - off, b.hi - hem + off}
		}
	}
	c.whole = append(thinned(c.line), c.inside...)
	c.ring = simplified(ring)
	var err error
	for _, a := range []struct {
		of    *float64
		allow float64
	}{{&c.wholeMM2, c.wholeFrom}, {&c.wholeRoom, c.wholeFrom + c.halfGap}, {&c.partsRoom, c.allowMM + c.halfGap}} {
		if *a.of, err = grownArea(body.geom, a.allow); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// stepsAlong is points along a ring, no further than stepMM from each other.
func stepsAlong(ring []point) (out []point) {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		n := math.Max(1, math.Ceil(distance(a, b)/stepMM))
		for k := 0.0; k < n; k++ {
			out = append(out, between(a, b, k/n))
		}
	}
	return out
}

// extent is from where to where some points come, across and along the grain.
func (c *cloud) extent(points []point) (lo, hi point) {
	return reachOf(points, c.right, direction(c.piece.GrainDeg))
}

// reachOf is the same in two directions.
func reachOf(points []point, across, along point) (lo, hi point) {
	lo, hi = point{math.Inf(1), math.Inf(1)}, point{math.Inf(-1), math.Inf(-1)}
	for _, q := range points {
		for k, v := range []float64{dot(q, across), dot(q, along)} {
			lo[k], hi[k] = math.Min(lo[k], v), math.Max(hi[k], v)
		}
	}
	return lo, hi
}

// offReachMM is how much further than where its seams are moved to a copy may come.
const offReachMM = 4.0

// mayMove finds how wide a copy may be and how far a curved yoke may lie off, which
// bends by a part of the copy's width and about its middle.
func (c *cloud) mayMove(drawn []point) {
	lo, hi := c.extent(slices.Concat(drawn, c.body.reach))
	sureLo, sureHi := c.extent(c.line)
	lo[0], hi[0] = math.Min(lo[0]-offReachMM, sureLo[0]), math.Max(hi[0]+offReachMM, sureHi[0])
	c.widest = hi[0] - lo[0]
	c.farMM = offReachMM
	for k := range 2 {
		c.farMM = math.Max(c.farMM, math.Max(c.lo[k]-lo[k], hi[k]-c.hi[k]))
	}
	bend := func(lo, hi, x float64) float64 {
		half := math.Max((hi-lo)/2, 1)
		off := (x - lo - half) / half
		return bendRatio * 2 * half * off * off
	}
	const n = 8.0 // what is between differs by little: it is convex
	for i := 0.0; i <= n; i++ {
		for j := 0.0; j <= n; j++ {
			for k := 0.0; k <= 4*n; k++ {
				l, h, x := lo[0]+i/n*(sureLo[0]-lo[0]), sureHi[0]+j/n*(hi[0]-sureHi[0]), sureLo[0]+k/(4*n)*(sureHi[0]-sureLo[0])
				c.offBendMM = math.Max(c.offBendMM, math.Abs(bend(l, h, x)-bend(c.lo[0], c.hi[0], x)))
			}
		}
	}
	const clear = 1.1
	c.offBendMM = clear*c.offBendMM + 0.5
}

// grownArea is that of a shape with an allowance round it, at least. Without an
// allowance it is less than the shape's: a plan may be off by as much.
func grownArea(g geom.Geometry, allowMM float64) (float64, error) {
	g, err := geom.Buffer(g, allowMM-leewayMM, geom.BufferQuadSegments(4))
	return g.Area(), err
}

// simplified is a ring with fewer points, its line no further off than simpleMM.
func simplified(ring []point) []point {
	out := []point{ring[0]}
	for from := 0; from < len(ring)-1; {
		to := from + 1
		for next := to + 1; next < len(ring); next++ {
			flat := true
			for _, q := range ring[from+1 : next] {
				_, d := nearest(q, ring[from], ring[next])
				flat = flat && d <= simpleMM
			}
			if !flat {
				break
			}
			to = next
		}
		from = to
		out = append(out, ring[from])
	}
	return out
}

// simpleMM is how far a neighbour's outline may be off.
const simpleMM = 0.3

// mostLine is more points than a piece has that this is asked of.
const mostLine = 20_000

func direction(deg float64) point {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return point{cos, sin}
}

// level is that of the line through a point.
func (c *cloud) level(l lines, q point) float64 {
	at := dot(q, direction(c.piece.GrainDeg+l.turnDeg))
	if l.bend == 0 {
		return at
	}
	half := (c.hi[0] - c.lo[0]) / 2
	off := (dot(q, c.right) - c.lo[0] - half) / half
	return at - float64(l.bend)*bendRatio*2*half*off*off
}

// thinned leaves out points of a line that lie close to the last one left and hardly
// bend it.
func thinned(line []point) []point {
	var out []point
	for i, q := range line {
		a, b := line[(i+len(line)-1)%len(line)], line[(i+1)%len(line)]
		u, v := sub(q, a), sub(b, q)
		const sharp = 0.1
		if len(out) == 0 || distance(out[len(out)-1], q) > stepMM*0.9 || math.Abs(cross(u, v)) > sharp*math.Hypot(u[0], u[1])*math.Hypot(v[0], v[1]) {
			out = append(out, q)
		}
	}
	return out
}

// end is up to which level something is certain on a side of a line: one sign
// turns both sides into what lies before.
func (c *cloud) end(o sideOf) (sign, levelMM float64) {
	sign, margin := 1.0, offLevelMM
	if !o.before {
		sign = -1
	}
	if o.lines.bend != 0 {
		margin = offBendMM + c.offBendMM
	}
	return sign, sign*o.levelMM - margin
}

// points are some that a part has for certain.
func (c *cloud) points(q part) []point {
	sides := q.sides()
	on := func(q point) bool {
		for _, o := range sides {
			if sign, end := c.end(o); sign*c.level(o.lines, q) > end {
				return false
			}
		}
		return true
	}
	var line, inside []point
	n := len(c.line)
	for i, q := range c.line {
		next := c.line[(i+1)%n]
		if on(q) {
			line = append(line, q)
		}
		if on(q) != on(next) { // the last point between that is on the side
			in, out := q, next
			if on(next) {
				in, out = next, q
			}
			for range 30 {
				if m := between(in, out, 0.5); on(m) {
					in = m
				} else {
					out = m
				}
			}
			line = append(line, in)
		}
	}
	for _, q := range c.inside {
		if on(q) {
			inside = append(inside, q)
		}
	}
	for _, o := range sides {
		for _, q := range c.front(o) {
			if on(q) && within(c.body.ring, q) {
				inside = append(inside, q)
			}
		}
	}
	return append(thinned(line), inside...)
}

// front is points along the line that ends a side, right across the piece.
func (c *cloud) front(o sideOf) []point {
	sign, end := c.end(o)
	along, across := direction(c.piece.GrainDeg+o.lines.turnDeg), direction(c.piece.GrainDeg+o.lines.turnDeg+90)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, q := range c.line {
		lo, hi = math.Min(lo, dot(q, across)), math.Max(hi, dot(q, across))
	}
	n := math.Ceil((hi - lo) / stepMM)
	var out []point
	for k := 0.0; k <= n; k++ {
		x := lo + k/n*(hi-lo)
		flat := point{x * across[0], x * across[1]}
		mm := sign*(end-1e-6) - c.level(o.lines, flat)
		out = append(out, point{flat[0] + mm*along[0], flat[1] + mm*along[1]})
	}
	return out
}

// areaMM2 is how much cloth a part needs, with the allowance round it.
func (c *cloud) areaMM2(q part) (float64, error) { return c.grownPart(q, c.allowMM, c.areas) }

// roomMM2 is the same with half the gap round it, of a scrap with half the gap round it.
// Of parts that lie on one scrap no two take the same room: none is nearer to another.
func (c *cloud) roomMM2(q part) (float64, error) {
	return c.grownPart(q, c.allowMM+c.halfGap, c.rooms)
}

func (c *cloud) grownPart(q part, allowMM float64, kept map[part]float64) (float64, error) {
	if known, ok := kept[q]; ok {
		return known, nil
	}
	g := c.body.geom
	for _, o := range q.sides() {
		var err error
		if g, err = geom.Intersection(g, c.half(o)); err != nil {
			return 0, err
		}
	}
	a := 0.0
	if !g.IsEmpty() {
		var err error
		if a, err = grownArea(g, allowMM); err != nil {
			return 0, err
		}
	}
	kept[q] = a
	return a, nil
}

// half is all before the line that ends a side: far back along it, and a little to the
// sides of the piece.
func (c *cloud) half(o sideOf) geom.Geometry {
	front := c.front(o)
	sign, _ := c.end(o)
	along, across := direction(c.piece.GrainDeg+o.lines.turnDeg), direction(c.piece.GrainDeg+o.lines.turnDeg+90)
	const aside = 1.0
	first, last := front[0], front[len(front)-1]
	first, last = plus(first, across, -aside), plus(last, across, aside)
	back := -sign * (c.hi[0] - c.lo[0] + c.hi[1] - c.lo[1] + 4*aside + 4*c.farMM + bendRatio*(c.hi[0]-c.lo[0]+2*c.farMM))
	ring := append([]point{plus(first, along, back), first}, front...)
	ring = append(ring, last, plus(last, along, back))
	return simple(ring).AsGeometry()
}

func plus(p, dir point, mm float64) point { return point{p[0] + mm*dir[0], p[1] + mm*dir[1]} }

// partSaid is the part that a cut is said to leave, or one after a first.
func partSaid(cut, first *plan.CutSide) (q part, err error) {
	if q.cut, err = sideSaid(cut); err != nil || first == nil {
		return q, err
	}
	if q.cut.lines.bend != 0 {
		return q, fmt.Errorf("how a curved yoke bends where it is the second cut is not known")
	}
	q.first, err = sideSaid(first)
	return q, err
}

func sideSaid(s *plan.CutSide) (sideOf, error) {
	l := lines{s.Way, s.TurnDeg, s.Bend}
	if (s.Side != "before" && s.Side != "beyond") || !slices.Contains(families, l) {
		return sideOf{}, fmt.Errorf("no lines are known of way %q, turned by %g degrees, on the side %q", s.Way, s.TurnDeg, s.Side)
	}
	if math.IsNaN(s.LevelMM) || math.IsInf(s.LevelMM, 0) {
		return sideOf{}, fmt.Errorf("there is no level %g", s.LevelMM)
	}
	return sideOf{l, s.Side == "before", s.LevelMM}, nil
}

// rings is the outlines of what is certain of a part, simplified.
func (c *cloud) rings(q part) (out [][]point, err error) {
	g := c.body.geom
	for _, o := range q.sides() {
		if g, err = geom.Intersection(g, c.half(o)); err != nil {
			return nil, err
		}
	}
	for _, one := range g.Dump() {
		polygon, ok := one.AsPolygon()
		if !ok || polygon.IsEmpty() {
			continue
		}
		xy := polygon.ExteriorRing().Coordinates()
		var ring []point
		for k := range xy.Length() - 1 {
			v := xy.GetXY(k)
			ring = append(ring, point{v.X, v.Y})
		}
		out = append(out, simplified(ring))
	}
	return out, nil
}
