package search

import (
	"context"
	"math"

	"eke/split"
)

// fineLevelMM is how finely a critical level is found. coarseLevelMM is enough
// where the cuts slide to their levels later.
const (
	fineLevelMM   = 0.1
	coarseLevelMM = 3
)

// bracket is a critical level between the furthest level known to fit and the
// nearest known not to.
type bracket struct {
	good, bad float64
	ok        bool
}

// furthest bisects how far a part can go on a bin alone: the greatest level at
// which near fits, or the least at which far does. The part itself is placed.
func (t *table) furthest(ctx context.Context, b *blank, w split.Way, near bool, s *bin) (float64, bool) {
	return t.furthestPlaced(ctx, b, w, near, s, exactLevel, fineLevelMM)
}

func (t *table) furthestPlaced(ctx context.Context, b *blank, w split.Way, near bool, s *bin, test levelTest, fineMM float64) (float64, bool) {
	r := t.critical(ctx, b, w, near, s, test, 0, fineMM, func(level float64) bool {
		if ctx.Err() != nil || t.cutRuledOut(b, w, near, level, s) {
			return false
		}
		part := t.cutPart(b, w, level, near)
		if part == nil {
			return false
		}
		_, fits := t.place(ctx, part, s)
		return fits
	})
	return r.good, r.ok
}

// furthestHeuristic is furthest to within coarseLevelMM, and rather too far. The
// lower-bound part that it places has half of the new edge's allowance, none of the
// corners of that allowance, and no allowance overlap. The corners may rule out one
// level and not the ones beyond, so with them the question would not be monotone.
func (t *table) furthestHeuristic(ctx context.Context, b *blank, w split.Way, near bool, s *bin) (float64, bool) {
	// What a first cut leaves on its other side does not matter here.
	for b.parent != nil && b.by == w && b.near == near {
		b = b.parent
	}
	half := t.options.AllowanceMM / 2
	r := t.critical(ctx, b, w, near, s, heuristicLevel, 0, coarseLevelMM, func(level float64) bool {
		return t.lowerBoundFits(ctx, b, b.simplified, w, near, b.lowerBoundLevel(w, near, level, half), s)
	})
	return r.bad, r.ok
}

// furthestByExtent is as far as area and extents let furthestHeuristic come, which is
// soon told. It may be nearer by as much as both are coarse.
func (t *table) furthestByExtent(ctx context.Context, b *blank, w split.Way, near bool, s *bin) (float64, bool) {
	for b.parent != nil && b.by == w && b.near == near {
		b = b.parent
	}
	half := t.options.AllowanceMM / 2
	r := t.critical(ctx, b, w, near, s, extentLevel, 0, coarseLevelMM, func(level float64) bool {
		ring := split.Half(b.simplified, w.Line(b.Body, b.lowerBoundLevel(w, near, level, half)), near)
		return len(ring) < 3 || !t.ringRuledOut(b, ring, s)
	})
	return r.bad, r.ok
}

// middleReach is the least level of a first cut at which a bin still holds the
// middle part: that between the first cut and the next one, which runs no lower
// than the level to. The answer is coarse, and rather too low.
func (t *table) middleReach(ctx context.Context, b *blank, w split.Way, to float64, s *bin) (float64, bool) {
	to = math.Round(to)
	half := t.options.AllowanceMM / 2
	middle := split.Half(b.simplified, w.Line(b.Body, b.lowerBoundLevel(w, true, to, half)), true)
	r := t.critical(ctx, b, w, false, s, middleLevel, to, coarseLevelMM, func(level float64) bool {
		return t.lowerBoundFits(ctx, b, middle, w, false, b.lowerBoundLevel(w, false, level, half), s)
	})
	return r.bad, r.ok
}

// stripReach is the furthest level to which a middle part can go on a bin, wherever
// the first cut runs: that of the last strip, half as narrow as parts may be, that the
// bin holds. The answer is coarse, and rather too far.
func (t *table) stripReach(ctx context.Context, b *blank, w split.Way, s *bin) (float64, bool) {
	if !t.allowed(b.piece, s.scrap) {
		return 0, false
	}
	question := levelQuestion{test: stripLevel, part: b.key, way: w, class: s.class}
	r, known := t.brackets.get(question)
	if known {
		return r.bad, r.ok
	}
	spans := b.spansOf(w)
	const stripMM = split.LeastPartMM / 2
	half := t.options.AllowanceMM / 2
	for k := len(spans) - 1; k >= 0 && !r.ok; k-- {
		lo, hi := spans[k].Lo, spans[k].Hi
		for over := 0.0; over < hi-lo+stripMM && !r.ok; over += stripMM {
			level := max(hi-over, lo)
			strip := split.Half(b.simplified, w.Line(b.Body, b.lowerBoundLevel(w, true, level, half)), true)
			if t.lowerBoundFits(ctx, b, strip, w, false, b.lowerBoundLevel(w, false, level-stripMM, half), s) {
				r = bracket{level, min(level+stripMM, hi), true}
			}
		}
	}
	if ctx.Err() == nil && t.brackets.set(question, r) {
		t.work.Add(bracketWork)
	}
	return r.bad, r.ok
}

// critical brackets a critical level, and remembers it.
func (t *table) critical(ctx context.Context, b *blank, w split.Way, near bool, s *bin, test levelTest, to, fineMM float64, fits func(level float64) bool) bracket {
	if !t.allowed(b.piece, s.scrap) {
		return bracket{}
	}
	question := levelQuestion{test: test, to: to, part: b.key, way: w, near: near, class: s.class}
	r, known := t.brackets.get(question)
	if known {
		return r
	}
	spans := b.spansOf(w)
	if r = bracketOf(spans, near, fits); r.ok {
		r = bisect(r, spans, near, fineMM, fits)
	}
	if ctx.Err() == nil && t.brackets.set(question, r) && test != extentLevel {
		t.work.Add(bracketWork)
	}
	return r
}

// levelQuestion is which critical level is asked for.
type levelQuestion struct {
	test  levelTest
	to    float64 // how far the middle part must reach, 0 where none is asked for
	part  string  // the blank's key
	way   split.Way
	near  bool
	class string // of the bin
}

// levelTest is by which test a critical level is bisected.
type levelTest int

const (
	exactLevel     levelTest = iota // the part is placed
	heuristicLevel                  // the lower-bound part is placed
	middleLevel                     // the lower-bound part of a middle part is placed
	gridLevel                       // the part is placed, to within gridLevelMM
	extentLevel                     // the lower-bound part is measured
	stripLevel                      // a strip of a middle part is placed
)

// bracketOf finds a level that fits and one beyond it that does not. Where the
// last level of the spans fits, it is both.
func bracketOf(spans []split.Span, near bool, fits func(float64) bool) bracket {
	if len(spans) == 0 {
		return bracket{}
	}
	first, last := ends(spans, near)
	if fits(last) {
		return bracket{last, last, true}
	}
	// The corners of an allowance may stick out a little more on a small part
	// than on a large one, so the smallest does not settle it.
	for _, f := range []float64{0, 0.15, 0.3, 0.5, 0.7} {
		if at, in := toward(spans, near, first+f*(last-first)); in && fits(at) {
			return bracket{at, last, true}
		}
	}
	return bracket{}
}

// ends are the levels of spans at which the part is smallest and largest.
func ends(spans []split.Span, near bool) (smallest, largest float64) {
	lo, hi := spans[0].Lo, spans[len(spans)-1].Hi
	if near {
		return lo, hi
	}
	return hi, lo
}

// toward is the level of the spans nearest to x, on the side where the part is
// smaller.
func toward(spans []split.Span, near bool, x float64) (float64, bool) {
	if near {
		return split.Down(spans, x)
	}
	return split.Up(spans, x)
}

// bisect narrows a bracket. Good is the greatest level known to fit for near, the
// least for far. Fits must be monotone.
func bisect(r bracket, spans []split.Span, near bool, fineMM float64, fits func(float64) bool) bracket {
	for math.Abs(r.bad-r.good) > fineMM {
		mid := (r.good + r.bad) / 2
		at, ok := toward(spans, near, mid)
		if !ok || near && at <= r.good || !near && at >= r.good {
			// No level of a span between good and the middle; there may be one
			// between the middle and bad, past a gap such as a keep zone.
			at, ok = toward(spans, !near, mid)
			if !ok || near && at >= r.bad || !near && at <= r.bad {
				r.bad = mid
				continue
			}
		}
		if fits(at) {
			r.good = at
		} else {
			r.bad = at
		}
	}
	return r
}

// further is a level moved by that many mm to where the part grows: up for near,
// down for far.
func further(near bool, level, mm float64) float64 {
	if near {
		return level + mm
	}
	return level - mm
}
