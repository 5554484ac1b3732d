package search

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// How far a part can go is found by bisection wherever spans have gaps, such
// as those that keep zones leave: it is the last level of the spans that fits,
// against every level on a fine grid.
func TestBisectionGoesOverGaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var spans []split.Span
		at := rapid.Float64Range(-50, 50).Draw(t, "start")
		for range rapid.IntRange(1, 4).Draw(t, "spans") {
			long := rapid.Float64Range(5, 80).Draw(t, "span")
			spans = append(spans, split.Span{Lo: at, Hi: at + long})
			at += long + rapid.Float64Range(1, 90).Draw(t, "gap")
		}
		lo, hi := spans[0].Lo, spans[len(spans)-1].Hi
		limit := rapid.Float64Range(lo, hi).Draw(t, "limit")
		near := rapid.Bool().Draw(t, "near")
		fits := func(level float64) bool { return near && level <= limit || !near && level >= limit }
		const fineMM = 0.1
		r := bracketOf(spans, near, fits)
		if r.ok {
			r = bisect(r, spans, near, fineMM, fits)
		}
		want, any := math.Inf(-1), false
		if !near {
			want = math.Inf(1)
		}
		for level := lo; level <= hi; level += fineMM / 4 {
			if split.In(spans, level) && fits(level) {
				any = true
				if near {
					want = math.Max(want, level)
				} else {
					want = math.Min(want, level)
				}
			}
		}
		if !any {
			return
		}
		require.True(t, r.ok)
		require.True(t, split.In(spans, r.good))
		require.True(t, fits(r.good))
		require.InDelta(t, want, r.good, 2*fineMM)
	})
}

// Of a rectangle the least level of the first cut is what its sides say, less the
// halves of the allowances that are not counted and what is coarse.
func TestMiddleReachOfARectangle(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		const allowance = 10
		w, h := rapid.Float64Range(60, 400).Draw(t, "width"), rapid.Float64Range(100, 500).Draw(t, "length")
		sw, sh := rapid.Float64Range(50, 450).Draw(t, "scrap's width"), rapid.Float64Range(50, 450).Draw(t, "scrap's length")
		table := newTable([]piece.Scrap{sheet("s", sw, sh)}, Options{AllowanceMM: allowance, Kinds: []string{"yoke", "panel"}}.withDefaults())
		p := rectangle(t, "r", w, h)
		b := newBlank(p, p.Outline, "r")
		for _, way := range table.ways {
			side, other, cloth, beside := h, w, sh, sw
			if way.Traits().Runs == split.Along {
				side, other, cloth, beside = w, h, sw, sh
			}
			to := math.Round(rapid.Float64Range(0.4, 1).Draw(t, "next") * side)
			level, ok := table.middleReach(t.Context(), b, way, to, &table.bins[0])
			// Every level of a fine grid, from where the part is least.
			want, any := side, false
			for at := side - split.LeastPartMM; at >= split.LeastPartMM && at < to; at -= 0.25 {
				if other+2*allowance > beside || to-at+2*allowance > cloth {
					break
				}
				want, any = at, true
			}
			if any {
				require.True(t, ok, wayID(way))
				require.LessOrEqual(t, level, want, wayID(way))
				require.GreaterOrEqual(t, level, math.Max(split.LeastPartMM, want-allowance-1)-coarseLevelMM, wayID(way))
			}
		}
	})
}

// What a first cut leaves is less the further it runs. So where the bound of a second cut
// is asked for what is left, it may take no more cloth than what is left of any cut before
// it: not even the corners of the first cut's allowance, which are others at each level.
func TestLessIsLeftByACutFurtherOn(t *testing.T) {
	t.Parallel()
	o := Options{AllowanceMM: 10, GapMM: 3, GrainToleranceDeg: 2, Seed: 1, Rules: []piece.Rule{}}.withDefaults()
	table := newTable(nil, o)
	blanks := drawn(t, table)
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.SampledFrom(blanks).Draw(t, "blank")
		w := rapid.SampledFrom([]split.Way{split.Yoke{}, split.Panel{}}).Draw(t, "way")
		spans := b.spansOf(w)
		if len(spans) == 0 {
			t.Skip("not cut so")
		}
		near := rapid.Bool().Draw(t, "near is cut off")
		level := rapid.Float64Range(spans[0].Lo, spans[len(spans)-1].Hi)
		at, on := level.Draw(t, "level"), level.Draw(t, "further on")
		// Beyond the first cut's allowance, of which the bound counts half.
		if least := o.AllowanceMM; near && on < at+least || !near && on > at-least || !split.In(spans, at) || !split.In(spans, on) {
			t.Skip("not further on")
		}
		left, less := table.cutPart(b, w, at, !near), table.cutPart(b, w, on, !near)
		if left == nil || less == nil {
			t.Skip("not cut in two sound parts")
		}
		const mm = simplifyMM + 0.05
		line := orb.LineString(plane.Close(left.cut))
		for _, p := range less.simplified {
			if !planar.RingContains(plane.Close(left.cut), p) {
				require.LessOrEqual(t, planar.DistanceFrom(line, p), mm, "%s cut by %s at %.1f and %.1f, at %.1f", b.key, wayID(w), at, on, p)
			}
		}
	})
}
