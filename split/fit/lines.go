package fit

import "math"

// Lines are parallel lines that a placement's shift is held to, such as those
// that the stripes of a cloth ask for: DX·cos Deg + DY·sin Deg is AtMM, or more
// or less than that by a whole number of EveryMM. The zero Lines hold nothing.
type Lines struct{ Deg, EveryMM, AtMM float64 }

func (l Lines) none() bool { return l.EveryMM <= 0 }

// linesFor is the lines of a turn as they hold the shape's centre: the unit
// vector across them, and how far along it one of them is.
func (s *Shape) linesFor(t Turn) (across vec, at float64) {
	sin, cos := sincosDeg(t.Lines.Deg)
	across = vec{cos, sin}
	sin, cos = sincosDeg(t.Deg)
	return across, t.Lines.AtMM + across.dot(s.centre.turn(sin, cos))
}

// ontoLine shifts a pose of item i, whose box about its centre is ext, the
// shortest way onto a line of its turn. Of the two lines beside it, it takes one
// that leaves the item within the cloth's box if the other does not.
func (l *layout) ontoLine(i int, p pose, ext box) pose {
	if !l.onLines {
		return p
	}
	t := nearestTurn(l.items[i].Turns, p.deg)
	if t.Lines.none() {
		return p
	}
	across, at := l.items[i].Shape.linesFor(t)
	b := l.cloth.region.bounds
	outside := func(q vec) float64 {
		lo, hi := b.min.sub(q.add(ext.min)), q.add(ext.max).sub(b.max)
		return max(0, lo.x) + max(0, lo.y) + max(0, hi.x) + max(0, hi.y)
	}
	now := across.dot(p.at)
	before := at + math.Floor((now-at)/t.Lines.EveryMM)*t.Lines.EveryMM
	back, on := p.at.add(across.mul(before-now)), p.at.add(across.mul(before+t.Lines.EveryMM-now))
	if nearer := now-before <= t.Lines.EveryMM/2; outside(back) < outside(on)-touchMM || nearer && outside(back) <= outside(on)+touchMM {
		p.at = back
	} else {
		p.at = on
	}
	return p
}

// alongLines is a step that keeps an item on the lines of its turn: so many mm
// along them, or to the next one.
func (l *layout) alongLines(i int, t Turn, step float64, toNext bool) vec {
	across, _ := l.items[i].Shape.linesFor(t)
	if toNext {
		return across.mul(t.Lines.EveryMM)
	}
	return across.quarter().mul(step)
}

// lineOf is the line that the poses of a cell are on: across·at = d.
type lineOf struct {
	across vec
	d      float64
}

// addLines opens a cell for each line that runs through a cell.
func (q *poseSearch) addLines(c cell, t Turn, open func(cell)) {
	across, at := q.shape.linesFor(t)
	mid := across.dot(c.at)
	reach := math.Abs(across.x)*c.half.x + math.Abs(across.y)*c.half.y + touchMM
	for k := math.Ceil((mid - reach - at) / t.Lines.EveryMM); at+k*t.Lines.EveryMM <= mid+reach; k++ {
		on := c
		on.samples = append([]int32(nil), c.samples...)
		d := at + k*t.Lines.EveryMM
		switch {
		case across.x == 0:
			on.at.y, on.half.y = d*across.y, 0
		case across.y == 0:
			on.at.x, on.half.x = d*across.x, 0
		default:
			on.line = &lineOf{across, d}
		}
		open(on)
	}
}

// rows are the two conditions that hold a pose on the line, relative to a pose.
func (l *lineOf) rows(ref vec) [2]row {
	d := l.d - l.across.dot(ref)
	return [2]row{{a: l.across, b: d, rigid: true}, {a: l.across.mul(-1), b: -d, rigid: true}}
}
