package search

import (
	"context"
	"math"

	"eke/piece/plane"
	"eke/split"
	"eke/split/fit"

	"github.com/paulmach/orb"
)

// ruledOut is a certain bound: area, extent or a rule alone keep the whole blank
// off a bin.
func (t *table) ruledOut(b *blank, s *bin) bool {
	if b.area > s.area+1 || !t.allowed(b.piece, s.scrap) {
		return true
	}
	return t.extentRuledOut(b.length, b.width, s)
}

// extentRuledOut is a certain bound: an extent along and across the grain is more
// than a bin's, beyond rounding, however the tolerance turns it.
func (t *table) extentRuledOut(length, width float64, s *bin) bool {
	const roundingMM = 0.1
	along, across := t.extentExcess(length, width, s)
	return along > roundingMM || across > roundingMM
}

// cutRuledOut is a certain bound: a part of the cut is too long, too wide or too
// large for a bin. The outline without allowances is enough to say so.
func (t *table) cutRuledOut(b *blank, w split.Way, near bool, level float64, s *bin) bool {
	ring := split.Half(b.Ring, w.Line(b.Body, level), near)
	return len(ring) >= 3 && t.ringRuledOut(b, ring, s)
}

// ringRuledOut is a certain bound: a ring is too long, too wide or too large for a
// bin.
func (t *table) ringRuledOut(b *blank, ring orb.Ring, s *bin) bool {
	if math.Abs(plane.SignedArea(ring)) > s.area+1 {
		return true
	}
	lo, hi := b.Frame.Box(ring)
	return t.extentRuledOut(hi[1]-lo[1], hi[0]-lo[0], s)
}

// extentExcess is by how much a part of that extent is at least longer and wider
// than a bin, turned by the tolerance at most.
func (t *table) extentExcess(length, width float64, s *bin) (along, across float64) {
	sin, cos := math.Sincos(t.options.GrainToleranceDeg * math.Pi / 180)
	return math.Max(0, length*cos-width*sin-s.length), math.Max(0, width*cos-length*sin-s.width)
}

// lowerBoundFits reports whether a bin holds that cutting line as far as a level.
// It is truly monotone. Where the level leaves out the allowance overlap, the line
// up to it lies within the part's own, and that it does not fit is a certain bound
// for the part. With a level further on the bound is heuristic.
func (t *table) lowerBoundFits(ctx context.Context, b *blank, cut orb.Ring, w split.Way, near bool, level float64, s *bin) bool {
	if ctx.Err() != nil {
		return false
	}
	ring := split.Half(cut, w.Line(b.Body, level), near)
	if len(ring) < 3 {
		return true
	}
	if t.ringRuledOut(b, ring, s) {
		return false
	}
	_, ok := fit.Place(ctx, s.cloth, fit.NewShape(ring), rotations(b.piece, s.scrap, t.options.GrainToleranceDeg))
	return ok
}

// oneCutSuffices reports whether a single seam could be enough: some bin holds the
// lower-bound part on the near side, and some bin that of the far part left
// over. That it is not enough is certain.
func (t *table) oneCutSuffices(ctx context.Context, b *blank) bool {
	for _, w := range t.ways {
		spans := b.spansOf(w)
		most, least := math.Inf(-1), math.Inf(1)
		for k := range t.bins {
			s := &t.bins[k]
			if s.scrap.Copy > 1 || !t.allowed(b.piece, s.scrap) {
				continue
			}
			if ctx.Err() != nil {
				return true // not known
			}
			lower := func(near bool) bracket {
				fits := func(l float64) bool {
					return t.lowerBoundFits(ctx, b, b.cut, w, near, further(near, l, -b.allowanceOverlap(w, near, l)), s)
				}
				r := bracketOf(spans, near, fits)
				if r.ok {
					r = bisect(r, spans, near, fineLevelMM, fits)
				}
				return r
			}
			if r := lower(true); r.ok {
				most = math.Max(most, r.good)
			}
			if r := lower(false); r.ok {
				least = math.Min(least, r.good)
			}
		}
		if least <= most+2*fineLevelMM {
			return true
		}
	}
	return false
}
