package allowance

import (
	"math"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Corner is what the allowance does where two edges meet at a convex corner.
type Corner int

const (
	// Usual leaves the choice to the rule for that kind of edge.
	Usual Corner = iota
	// Mitre runs the two cutting lines on until they meet.
	Mitre
	// Square ends the allowance square to its own seam, at the place where
	// the neighbour's cutting line reaches the seam's own line. Two parts
	// whose sides run on in one line across a seam then have ends that lie
	// exactly on each other when the parts are laid together to be sewn.
	Square
	// TurnBack mirrors the neighbour's cutting line about the seam line, so
	// that an allowance folded up along it lies flat on a tapered piece.
	TurnBack
)

// Corners says how the corners of an allowance are drawn. The zero value is
// the usual way.
type Corners struct {
	// Limit is how far a mitre may reach from its corner, in widths of the
	// wider allowance; what is beyond is blunted, square to the mitre. 0
	// means 2; below 1 counts as 1, where the blunt just clears the round.
	Limit float64
	// PiecingEnd is the corner at both ends of a piecing seam, where it
	// meets an edge that was drawn: usually Square.
	PiecingEnd Corner
	// Hem is the corner at both ends of an edge whose name starts with
	// "hem": usually TurnBack.
	Hem Corner
	// Other is every other corner: usually Mitre.
	Other Corner
	// CutIn lets a hem that is turned back be cut narrower than its
	// allowance at the very end, where the sides flare so much that the
	// mirror image asks for it. Usually the full allowance is kept.
	CutIn bool
	// CarryOn makes a wider allowance carry on round the ends of its edge,
	// so that the cutting line holds every point within an edge's allowance
	// of it, also past its ends and through a piece narrower than that.
	CarryOn bool
	// Darts have the allowance across their mouths shaped, so that once
	// folded it reaches the seam.
	Darts []piece.Dart
	// Mouths are what the cutting line must hold besides: the stretches of
	// Mouth that a part has of a dart whose mouth a seam divides. Clockwise.
	Mouths []orb.Ring
}

// Square and TurnBack make sense only where the neighbour really leaves the
// seam's line; at a shallower corner they would run far along it.
const shallowDeg = 30

// rule picks the corner between two edges, and which of the two it belongs
// to: the first if own is 0, the second if 1.
func (r Corners) rule(a, b *piece.Edge) (c Corner, own int) {
	pick := func(c, usual Corner) Corner {
		if c == Usual {
			return usual
		}
		return c
	}
	switch {
	case a == b:
		return pick(r.Other, Mitre), 0
	case a.Seam != "" && b.Seam == "":
		return pick(r.PiecingEnd, Square), 0
	case b.Seam != "" && a.Seam == "":
		return pick(r.PiecingEnd, Square), 1
	case isHem(a) && !isHem(b):
		return pick(r.Hem, TurnBack), 0
	case isHem(b) && !isHem(a):
		return pick(r.Hem, TurnBack), 1
	}
	return pick(r.Other, Mitre), 0
}

func isHem(e *piece.Edge) bool {
	return len(e.Name) >= 3 && strings.EqualFold(e.Name[:3], "hem")
}

// straightOn is the sine of a turn too small to count as one.
const straightOn = 1e-9

// rawOffset draws the raw offset curve: the outer sides of all strips and
// corner fills, end to end.
func (r Corners) rawOffset(o piece.Outline, sides []side) *rawOffset {
	if r.Limit == 0 {
		r.Limit = 2
	}
	r.Limit = math.Max(r.Limit, 1)
	c := newRawOffset(len(sides))
	least := math.Inf(1)
	for i := range sides {
		r.corner(c, o, sides, i)
		least = math.Min(least, sides[i].allowance)
	}
	c.closeLoop()
	if r.CarryOn {
		for _, s := range sides {
			if s.allowance > least {
				c.addCapsule(s)
			}
		}
	}
	return c
}

// corner draws the corner from the side before sides[i] to sides[i].
func (r Corners) corner(c *rawOffset, o piece.Outline, sides []side, i int) {
	n := len(sides)
	h := (i + n - 1) % n
	a, b := &sides[h], &sides[i]
	v := b.from
	startB := plane.Along(v, b.out, b.allowance)
	sin, cos := plane.Cross(a.along, b.along), plane.Dot(a.along, b.along)
	switch {
	case math.Abs(sin) < straightOn && cos > 0:
		if a.allowance != b.allowance {
			step(c, o, a, b, i)
		} else {
			c.lineTo(startB, i)
		}
	case sin < 0:
		reflex(c, o, a, b, i, -sin, cos)
	default:
		rule, own := r.rule(&o[a.edge], &o[b.edge])
		mine, other := a.allowance, b.allowance
		if own == 1 {
			mine, other = other, mine
		}
		if rule == Mitre || sin < math.Sin(shallowDeg*math.Pi/180) || mine < other*cos {
			r.mitre(c, o, a, b, i, sin, cos)
			return
		}
		var end []orb.Point
		if own == 0 {
			end = r.seamEnd(sides, h, i, 1, rule)
		} else {
			end = r.seamEnd(sides, i, h, -1, rule)
			slices.Reverse(end)
		}
		last := len(end) - 1
		for _, p := range end[:last] {
			c.lineTo(p, cornerSide)
		}
		c.lineTo(end[last], i)
	}
}

// mitre runs the two cutting lines on until they meet, and blunts the tip.
// Where the lines do not meet past the ends of both sides, the wider
// allowance steps in.
func (r Corners) mitre(c *rawOffset, o piece.Outline, a, b *side, i int, sin, cos float64) {
	v, wa, wb := b.from, a.allowance, b.allowance
	endA, startB := plane.Along(v, a.out, wa), plane.Along(v, b.out, wb)
	pastA, pastB := (wb-wa*cos)/sin, (wa-wb*cos)/sin
	if pastA < 0 || pastB < 0 {
		step(c, o, a, b, i)
		return
	}
	limit := r.Limit * math.Max(wa, wb)
	if tip := math.Hypot(wa, pastA); tip <= limit {
		c.lineTo(plane.Along(endA, a.along, pastA), i)
		return
	}
	toward := a.along
	if tip := plane.Sub(plane.Along(endA, a.along, pastA), v); sin > straightOn {
		toward = plane.Scale(tip, 1/math.Hypot(tip[0], tip[1]))
	}
	runA := (limit - wa*plane.Dot(a.out, toward)) / plane.Dot(a.along, toward)
	runB := (limit - wb*plane.Dot(b.out, toward)) / -plane.Dot(b.along, toward)
	c.lineTo(plane.Along(endA, a.along, runA), cornerSide)
	c.lineTo(plane.Along(startB, b.along, -runB), i)
}

// step takes the curve from one allowance to another where their lines do not
// meet past the ends of both sides: along the wider one to its very end, and
// straight in.
func step(c *rawOffset, o piece.Outline, a, b *side, i int) {
	endA, startB := a.lastOut(o), b.firstOut(o)
	if a.allowance > b.allowance {
		if startB = b.out; plane.Cross(endA, startB) < 0 {
			startB = endA
		}
	} else if endA = a.out; plane.Cross(endA, startB) < 0 {
		endA = startB
	}
	c.lineTo(plane.Along(b.from, endA, a.allowance/plane.Dot(a.out, endA)), cornerSide)
	c.lineTo(plane.Along(b.from, startB, b.allowance/plane.Dot(b.out, startB)), i)
}

// lastOut is the direction out at the end of a side: square to it, or where
// the curve that it stands for reaches on past that, as far as it does.
func (s *side) lastOut(o piece.Outline) orb.Point { return s.leaning(o, s.to, 1) }

// firstOut is lastOut at the start of a side.
func (s *side) firstOut(o piece.Outline) orb.Point { return s.leaning(o, s.from, -1) }

func (s *side) leaning(o piece.Outline, end orb.Point, way float64) orb.Point {
	line := o[s.edge].Line[s.segment]
	const mostLean = 0.35 // of the width: what leans more is a corner within the side
	var most float64
	for _, t := range [2]float64{s.t0, s.t1} {
		tangent := line.Tangent(t)
		tip := plane.Sub(plane.Along(line.At(t), orb.Point{tangent[1], -tangent[0]}, s.allowance), end)
		if high := plane.Dot(tip, s.out); high > s.allowance/2 {
			most = math.Max(most, way*plane.Dot(tip, s.along)/high)
		}
	}
	if most > mostLean {
		return s.out
	}
	out := plane.Along(s.out, s.along, way*most)
	return plane.Scale(out, 1/math.Hypot(out[0], out[1]))
}

// reflex joins two strips that overlap at a reflex corner. Usually the curve
// turns where their outer sides cross. Where a strip is too short for that, the
// curve goes by way of the corner itself. The fold that this makes is resolved
// with the rest.
func reflex(c *rawOffset, o piece.Outline, a, b *side, i int, sin, cos float64) {
	v, wa, wb := b.from, a.allowance, b.allowance
	endA, startB := plane.Along(v, a.out, wa), plane.Along(v, b.out, wb)
	// How far the end of one strip reaches out beside the other side, at its very
	// end, where the curve that a side stands for may lean on past it.
	reach := func(s, other *side, out orb.Point) float64 {
		return s.allowance * plane.Dot(other.out, out) / plane.Dot(s.out, out)
	}
	within := wa-wb*cos <= b.length*sin && wb-wa*cos <= a.length*sin // where they cross
	switch long := cos > 0 && wa*sin <= b.length && wb*sin <= a.length; {
	case long && within && (wa*cos <= wb || reach(a, b, a.lastOut(o)) <= wb) && (wb*cos <= wa || reach(b, a, b.firstOut(o)) <= wa):
		c.lineTo(plane.Along(endA, a.along, -(wb-wa*cos)/sin), i)
	case long:
		step(c, o, a, b, i)
	default:
		c.lineTo(endA, cornerSide)
		c.lineTo(v, cornerSide)
		c.lineTo(startB, i)
	}
}

// seamEnd ends the allowance of the side e square or turned back against the
// side f: the points from the end of e's cutting line to where f's begins.
// step is 1 where f follows e and -1 where it comes before.
func (r Corners) seamEnd(sides []side, e, f, step int, rule Corner) []orb.Point {
	se, sf := &sides[e], &sides[f]
	v, on, away := se.to, se.along, sf.along
	if step < 0 {
		v, on, away = se.from, plane.Scale(se.along, -1), plane.Scale(sf.along, -1)
	}
	sin, cos := -plane.Dot(away, se.out), -plane.Dot(away, on) // of the angle inside the piece
	meet := plane.Along(v, on, sf.allowance/sin)
	line := []orb.Point{meet, plane.Along(meet, se.out, se.allowance)} // from the seam's line outward
	back := -cos / sin * sf.allowance                                  // from f's own start to meet
	if rule == TurnBack {
		line = mirrorImage(sides, se, v, meet, f, step, back <= sf.length)
	}
	past := func(p orb.Point) float64 { return plane.Dot(plane.Sub(p, v), on) }
	for k, p := range line {
		if over := past(p); over < 0 && (!r.CutIn || -over > se.length) {
			// The mirror image cuts into the allowance: keep the allowance.
			before := line[k-1]
			t := past(before) / (past(before) - over)
			line = append(line[:k:k], plane.Add(before, plane.Scale(plane.Sub(p, before), t)), plane.Along(v, se.out, se.allowance))
			break
		}
	}
	slices.Reverse(line)
	if back > sf.length {
		line = append(line, plane.Along(v, sf.out, sf.allowance))
	}
	return line
}

// mirrorImage is the cutting line beside the sides from f on, mirrored about
// the line of the side se: from meet, where the two lines cross, outward as
// far as se's allowance is wide. It follows the curve of f and what comes
// after it, or only the first straight side.
func mirrorImage(sides []side, se *side, v, meet orb.Point, f, step int, follow bool) []orb.Point {
	const (
		smooth = 0.3 // the sine of a turn that is no corner
		steep  = 0.3 // how far the line must head out, per mm
	)
	depth := func(p orb.Point) float64 { return plane.Dot(plane.Sub(p, v), se.out) }
	heading := func(k int) orb.Point { return plane.Scale(sides[k].along, float64(step)) }
	line := []orb.Point{meet}
	k, n := f, len(sides)
	for range n {
		next := (k + step + n) % n
		a, b := &sides[k], &sides[next]
		if !follow || a.allowance != b.allowance || math.Abs(plane.Cross(a.along, b.along)) > smooth || -plane.Dot(heading(next), se.out) < steep {
			break
		}
		corner := a.to
		if step < 0 {
			corner = a.from
		}
		p := plane.Add(corner, plane.Scale(plane.Add(a.out, b.out), a.allowance/(1+plane.Dot(a.out, b.out))))
		p = plane.Along(p, se.out, -2*depth(p))
		if depth(p) >= se.allowance {
			break
		}
		if last := line[len(line)-1]; depth(p) > depth(last) {
			if plane.Cross(plane.Sub(p, v), plane.Sub(last, v))*float64(step) < 0 {
				// The line folds over itself: a straight one will do.
				line, k = line[:1], f
				break
			}
			line = append(line, p)
		}
		k = next
	}
	last := line[len(line)-1]
	way := heading(k)
	way = plane.Along(way, se.out, -2*plane.Dot(way, se.out))
	return append(line, plane.Along(last, way, (se.allowance-depth(last))/plane.Dot(way, se.out)))
}
