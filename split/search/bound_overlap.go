package search

import (
	"math"

	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// tracedPoint is a point of a cutting line with the points of the outline whose
// allowance may have put it there: one for each edge that lies no further away
// than its allowance, or else the nearest.
type tracedPoint struct {
	at   orb.Point
	from []orb.Point
}

// trace finds, for points of a blank's cutting line, where on the outline they
// come from.
func (b *blank) trace() []tracedPoint {
	const chordMM = 0.1
	lines := make([]orb.LineString, len(b.Outline))
	for i, e := range b.Outline {
		lines[i] = e.Line.Flatten(chordMM)
		if len(e.Line) > densePoints {
			lines[i] = simplify.DouglasPeucker(chordMM / 2).LineString(lines[i])
		}
	}
	at := sampled(b.cut)
	out := make([]tracedPoint, len(at))
	for k, q := range at {
		out[k].at = q
		var nearest orb.Point
		least := math.Inf(1)
		for i, line := range lines {
			p, d := plane.NearestOn(line, q)
			if d <= b.Outline[i].AllowanceMM+2*chordMM {
				out[k].from = append(out[k].from, p)
			}
			if d < least {
				nearest, least = p, d
			}
		}
		if len(out[k].from) == 0 {
			out[k].from = []orb.Point{nearest}
		}
	}
	return out
}

// sampled is a ring's corners, with more points towards the ends of long stretches.
// There the outline that a point comes from changes fast.
func sampled(r orb.Ring) []orb.Point {
	const longMM = 20
	var out []orb.Point
	for k, p := range r {
		q := r[(k+1)%len(r)]
		n := math.Hypot(q[0]-p[0], q[1]-p[1])
		out = append(out, p)
		if n < longMM {
			continue
		}
		along := func(mm float64) { out = append(out, orb.Point{p[0] + mm/n*(q[0]-p[0]), p[1] + mm/n*(q[1]-p[1])}) }
		var back []float64
		for mm := 2.0; mm < n/2; mm *= 2 {
			along(mm)
			back = append(back, n-mm)
		}
		for i := len(back) - 1; i >= 0; i-- {
			along(back[i])
		}
	}
	return out
}

// overlap is a stretch of a cutting line that lies lower than the outline that it
// comes from, in levels of a way to cut. The cutting line reaches down to lo, the
// outline up to from, and no point is more than most below its outline.
type overlap struct{ lo, from, most float64 }

// overlapsOf are the stretches that lie lower than the outline they come from.
// Second, with levels negated, come those that lie higher.
func (b *blank) overlapsOf(w split.Way) [2][]overlap {
	if known, ok := b.overlaps.get(w); ok {
		return known
	}
	traced := b.traced()
	n := len(traced)
	at := make([]float64, n)
	low, high := make([]float64, n), make([]float64, n) // of what each comes from
	for k, g := range traced {
		at[k] = w.LevelOf(b.Body, g.at)
		low[k], high[k] = math.Inf(1), math.Inf(-1)
		for _, p := range g.from {
			l := w.LevelOf(b.Body, p)
			low[k], high[k] = math.Min(low[k], l), math.Max(high[k], l)
		}
	}
	var out [2][]overlap
	add := func(side int, r overlap) {
		if r.most > 0 && r.from > r.lo {
			out[side] = append(out[side], r)
		}
	}
	for k := range n {
		j := (k + 1) % n
		add(0, overlap{math.Min(at[k], at[j]), math.Max(low[k], low[j]), math.Max(low[k]-at[k], low[j]-at[j])})
		add(1, overlap{-math.Max(at[k], at[j]), -math.Min(high[k], high[j]), math.Max(at[k]-high[k], at[j]-high[j])})
	}
	b.overlaps.set(w, out)
	return out
}

// allowanceOverlap is how far the allowance of the outline beyond a cut reaches
// back over the cut. It does so where the outline runs nearly along the cut, or
// has a corner just beyond it. A part that ends at the cut does not have that
// outline, so it does not need that cloth either.
func (b *blank) allowanceOverlap(w split.Way, near bool, level float64) float64 {
	side, l := 0, level
	if !near {
		side, l = 1, -level
	}
	const clearMM = 0.01 // so that nothing but touches
	most := 0.0
	for _, r := range b.overlapsOf(w)[side] {
		if r.lo < l && l <= r.from {
			most = math.Max(most, math.Min(l-r.lo, r.most)+clearMM)
		}
	}
	return most
}

// slightOverlapMM is an overlap for which the part's own corners, which are not
// counted, make up.
const slightOverlapMM = 3

// lowerBoundLevel is how far the whole's cutting line belongs to the lower-bound
// part of a cut at that level. As a rule allowanceMM of the new edge is counted.
// Where the allowance overlap is more than slight, at the cut or at the end of that
// allowance, the line ends before it.
func (b *blank) lowerBoundLevel(w split.Way, near bool, level, allowanceMM float64) float64 {
	over := further(near, level, allowanceMM)
	if p := math.Max(b.allowanceOverlap(w, near, level), b.allowanceOverlap(w, near, over)); p > slightOverlapMM {
		return further(near, level, -p)
	}
	return over
}
