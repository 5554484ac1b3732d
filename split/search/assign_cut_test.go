package search

import (
	"math"
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// The ranges of a first cut are all levels at which the bin holds the part beside it,
// the furthest first, and each begins where another ends.
func TestFirstCutRanges(t *testing.T) {
	o := Options{AllowanceMM: 10, GapMM: 3, MaxSeams: -1, Seed: 1}.withDefaults()
	table := newTable([]piece.Scrap{sheet("long", 300, 420), sheet("short", 300, 90)}, o)
	in := newInstanceOfKinds(table, []*piece.Piece{rectangle(t, "panel", 200, 600)}, nil, nil)
	in.minSeams(t.Context())
	b := in.blanks[0]
	for s, wantRanges := range []int{4, 1} {
		for _, near := range []bool{true, false} {
			ranges := func(n int) []split.Span {
				return newAssignment(in, []int{2}, false, budget{ranges: n}, 1).firstCutRanges(t.Context(), b, split.Yoke{}, near, s)
			}
			all := ranges(0)
			require.Len(t, all, 1)
			six := ranges(6)
			require.Len(t, six, wantRanges, "bin %d, near %v", s, near)
			lo, hi := six[0].Lo, six[0].Hi
			for _, r := range six[1:] {
				if near {
					require.InDelta(t, lo, r.Hi, 1e-9)
					lo = r.Lo
				} else {
					require.InDelta(t, hi, r.Lo, 1e-9)
					hi = r.Hi
				}
			}
			require.InDelta(t, all[0].Lo, lo, 1e-9)
			require.InDelta(t, all[0].Hi, hi, 1e-9)
		}
	}
}

// Where a cut can run at one level alone, but for rounding, there is one range.
func TestFirstCutAtOneLevel(t *testing.T) {
	o := Options{AllowanceMM: 10, GapMM: 3, MaxSeams: -1, Seed: 1}.withDefaults()
	table := newTable([]piece.Scrap{sheet("long", 300, 420)}, o)
	for _, near := range []bool{true, false} {
		in := newInstanceOfKinds(table, []*piece.Piece{rectangle(t, "panel", 200, 600)}, nil, nil)
		in.minSeams(t.Context())
		b := in.blanks[0]
		level := split.Span{Lo: 300, Hi: math.Nextafter(300, 301)}
		b.spans.set(split.Yoke{}, []split.Span{level})
		a := newAssignment(in, []int{2}, false, budget{ranges: 6}, 1)
		require.Equal(t, []split.Span{level}, a.firstCutRanges(t.Context(), b, split.Yoke{}, near, 0))
	}
}
