package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// The joints between planks and tiles are straight too, and longer than any edge
// of a scrap. They are followed from point to point of the field, along the
// steepest change of lightness.
const (
	lineLong    = 0.14 // of the field's longer side, at least
	lineGap     = 10   // points over which one may be lost
	lineAhead   = 24   // points that its way on is told by
	linePart    = 60   // points of a part of one, at least
	lineJump    = 40.0 // points from the end of a part to the next
	lineApart   = 2.0  // points that the next may lie beside its way
	lineTurn    = 0.06 // that it may turn off
	lineClear   = 6    // points that it stays off cloth and sheets
	lineSteep   = 1.5  // units of lightness over two points, at least
	lineStands  = 6.0  // times as steep as the ground mostly is
	lineNoisePx = 0.25 // of its bow at least: floors are laid by hand, and lenses bend in more than one way
	mostLines   = 60
)

// floorLines is what runs straight enough on the ground to tell the lens's bend.
func (t *tracer) floorLines() []plumb {
	f := t.f
	off := make([]bool, len(t.labels))
	for k, l := range t.labels {
		off[k] = l != onGround && l != onJoint
	}
	off = dilated(off, f.w, f.h, lineClear)
	var all []plumb
	for _, upright := range []bool{false, true} {
		for _, line := range follow(f, off, upright) {
			if l, ok := straightened(evenPart(line, float64(f.by))); ok {
				l.noisePx = math.Hypot(l.noisePx, lineNoisePx*float64(f.by))
				all = append(all, l)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b plumb) int { return int(math.Copysign(1, a.noisePx-b.noisePx)) })
	return all[:min(len(all), mostLines)]
}

// evenPart is a line without the points where it went astray, into the grain beside a
// joint: those that are off the parabola through most of it.
func evenPart(line []orb.Point, by float64) []orb.Point {
	kept := line
	for range 4 {
		l, ok := straightened(kept)
		if !ok {
			return kept
		}
		along := plane.Unit(plane.Sub(l.to, l.from))
		across := orb.Point{-along[1], along[0]}
		long := plane.Distance(l.from, l.to)
		bow := plane.Dot(across, plane.Sub(l.mid, plane.Lerp(l.from, l.to, 0.5)))
		off := make([]float64, len(line))
		var of []float64
		for i, q := range line {
			d := plane.Sub(q, l.from)
			s := 2*plane.Dot(d, along)/long - 1
			off[i] = math.Abs(plane.Dot(d, across) - bow*(1-s*s))
			of = append(of, off[i])
		}
		most := max(by, 2.5*1.4826*median(of))
		var next []orb.Point
		for i, q := range line {
			if off[i] <= most {
				next = append(next, q)
			}
		}
		if 2*len(next) < len(line) {
			return kept
		}
		kept = next
	}
	return kept
}

// follow is the lines of the field that run more along than down, or if upright
// more down than along, in points of the picture.
func follow(f *field, off []bool, upright bool) (out [][]orb.Point) {
	long, wide := f.w, f.h // along lines, and across them
	at := func(x, y int) int { return y*f.w + x }
	if upright {
		long, wide = f.h, f.w
		at = func(x, y int) int { return x*f.w + y }
	}
	// How steep the lightness is across, nothing where it is not at its steepest.
	steep := make([]float32, long*wide)
	var some []float64
	for x := range long {
		rise := func(y int) float32 {
			if y < 1 || y > wide-2 || off[at(x, y)] {
				return 0
			}
			return f.colour[at(x, y+1)][0] - f.colour[at(x, y-1)][0]
		}
		before, here := rise(0), rise(1)
		for y := 1; y < wide-1; y++ {
			after := rise(y + 1)
			if abs32(here) >= abs32(before) && abs32(here) > abs32(after) {
				steep[x*wide+y] = here
			}
			if here != 0 && (x+y)%7 == 0 {
				some = append(some, math.Abs(float64(here)))
			}
			before, here = here, after
		}
	}
	if len(some) == 0 {
		return nil
	}
	least := float32(max(lineSteep, lineStands*median(some)))
	shortest := int(lineLong * float64(max(f.w, f.h)))
	taken := make([]bool, len(steep))
	var parts [][]orb.Point
	for x := 0; x+linePart < long; x++ {
		for y := 2; y < wide-2; y++ {
			if k := x*wide + y; taken[k] || abs32(steep[k]) < least {
				continue
			}
			if line := walk(steep, taken, long, wide, x, y, least); len(line) >= linePart {
				parts = append(parts, line)
			}
		}
	}
	for _, line := range joined(parts) {
		if first, last := line[0], line[len(line)-1]; int(last[0]-first[0]) < shortest || 3*len(line) < 2*int(last[0]-first[0]) {
			continue
		}
		for i, q := range line {
			if upright {
				q[0], q[1] = q[1], q[0]
			}
			line[i] = orb.Point{(q[0] + 0.5) * float64(f.by), (q[1] + 0.5) * float64(f.by)}
		}
		out = append(out, line)
	}
	return out
}

// joined is parts of lines, in the order in which they begin, each with those that
// go on from its end: where joints cross, none is seen.
func joined(parts [][]orb.Point) (out [][]orb.Point) {
	slope := func(line []orb.Point) float64 {
		a, b := line[0], line[len(line)-1]
		return (b[1] - a[1]) / (b[0] - a[0])
	}
	for _, p := range parts {
		best, off := -1, lineApart
		for i, line := range out {
			end := line[len(line)-1]
			tail := line[max(0, len(line)-linePart):]
			gap := p[0][0] - end[0]
			if gap <= 0 || gap > lineJump || math.Abs(slope(tail)-slope(p[:linePart])) > lineTurn {
				continue
			}
			if d := math.Abs(end[1] + gap*slope(tail) - p[0][1]); d < off {
				best, off = i, d
			}
		}
		if best < 0 {
			out = append(out, slices.Clone(p))
		} else {
			out[best] = append(out[best], p...)
		}
	}
	return out
}

// walk follows one line from its first point on.
func walk(steep []float32, taken []bool, long, wide, x, y int, least float32) []orb.Point {
	sign, usual := steep[x*wide+y] > 0, abs32(steep[x*wide+y])
	line := []orb.Point{{float64(x), float64(y)}}
	for lost := 0; x+1 < long && lost <= lineGap; {
		x++
		back := line[max(0, len(line)-lineAhead)]
		last := line[len(line)-1]
		slope := 0.0
		if d := last[0] - back[0]; d > lineAhead/3 {
			slope = min(max((last[1]-back[1])/d, -1), 1)
		}
		ahead := last[1] + slope*(float64(x)-last[0])
		best := -1
		for q := int(math.Floor(ahead)) - 1; q <= int(math.Ceil(ahead))+1; q++ {
			if q < 1 || q > wide-2 {
				continue
			}
			s := steep[x*wide+q]
			if abs32(s) < max(least, usual)/2 || s > 0 != sign || taken[x*wide+q] {
				continue
			}
			if best < 0 || math.Abs(float64(q)-ahead) < math.Abs(float64(best)-ahead) {
				best = q
			}
		}
		if best < 0 {
			lost++
			continue
		}
		lost = 0
		taken[x*wide+best] = true
		usual += (abs32(steep[x*wide+best]) - usual) / lineAhead
		line = append(line, orb.Point{float64(x), float64(best)})
	}
	return line
}

func abs32(v float32) float32 { return max(v, -v) }
