package fit

import "math"

// line is where across·p is at.
type line struct {
	across vec // of length 1
	at     float64
}

// beyond says on which side of the line p lies.
func (l *line) beyond(p vec) bool { return l.across.dot(p) > l.at }

// cellLines are the different lines that run through a cell of a pairTable. It keeps the
// first two, which is most often all.
type cellLines struct {
	lines [2]line
	count int
}

// add adds a line, unless it is there. centre is that of the cell.
func (c *cellLines) add(l line, centre vec) {
	const same = 1e-7 // of a cell
	for k := range min(c.count, len(c.lines)) {
		o := &c.lines[k]
		by, off := l.across.dot(centre)-l.at, o.across.dot(centre)-o.at
		if l.across.dot(o.across) < 0 {
			off = -off
		}
		if math.Abs(l.across.cross(o.across)) < same && math.Abs(by-off) < same {
			return
		}
	}
	if c.count < len(c.lines) {
		c.lines[c.count] = l
	}
	c.count++
}

// border is where two parts begin to overlap, among the shifts of a cell of their
// pairTable: along one line or two. It is kept small, in numbers from the middle of the
// cell.
type border struct {
	lines [2]struct{ x, y, at float32 }
	over  uint8 // bit k: whether they overlap on side k, the sum of 1 beyond the first line and 2 beyond the second
}

// newBorder asks over on each side of the lines of a cell, which begins at corner. The
// state is that of the whole cell if it is the same on all sides.
func newBorder(corner vec, c *cellLines, over func(vec) bool) (border, overlapState) {
	var b border
	centre := corner.add(vec{0.5, 0.5})
	for n := range c.count {
		l := &c.lines[n]
		b.lines[n].x, b.lines[n].y, b.lines[n].at = float32(l.across.x), float32(l.across.y), float32(l.at-l.across.dot(centre))
	}
	square := []vec{corner, corner.add(vec{1, 0}), corner.add(vec{1, 1}), corner.add(vec{0, 1})}
	clear, overlapping := 0, 0
	for k := range 1 << c.count {
		part := square
		for n := range c.count {
			part = sideOf(part, &c.lines[n], k>>n&1 == 1)
		}
		switch {
		case len(part) == 0:
		case over(inside(part)):
			b.over |= 1 << k
			overlapping++
		default:
			clear++
		}
	}
	switch {
	case overlapping == 0:
		return b, allClear
	case clear == 0:
		return b, allOverlap
	}
	return b, mayOverlap
}

// overlaps says whether the parts do at a shift, from the middle of the cell.
func (b *border) overlaps(x, y float32) bool {
	k := 0
	if l := &b.lines[0]; l.x*x+l.y*y > l.at {
		k = 1
	}
	if l := &b.lines[1]; l.x*x+l.y*y > l.at {
		k |= 2
	}
	return b.over>>k&1 == 1
}

// sideOf is what of a convex polygon lies on one side of a line.
func sideOf(ps []vec, l *line, beyond bool) []vec {
	var out []vec
	for i, p := range ps {
		q := ps[(i+1)%len(ps)]
		if l.beyond(p) == beyond {
			out = append(out, p)
		}
		if l.beyond(p) != l.beyond(q) {
			dp, dq := l.across.dot(p)-l.at, l.across.dot(q)-l.at
			out = append(out, p.add(q.sub(p).mul(dp/(dp-dq))))
		}
	}
	return out
}

// inside is a point in a convex polygon: not its middle, for at such a shift corners and
// edges are likely to lie in one line.
func inside(ps []vec) vec {
	var sum vec
	var all float64
	for i, p := range ps {
		w := 1 + math.Mod(float64(i+1)*math.Phi, 1)
		sum, all = sum.add(p.mul(w)), all+w
	}
	return sum.mul(1 / all)
}
