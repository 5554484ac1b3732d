package search

import (
	"math"
	"testing"

	"eke/split"

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
