package search

import (
	"math"
	"testing"

	"eke/split"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A cut slides to where the bins on both its sides are equally full: at no level
// on a fine grid is the fuller of them less full. And a component is said to take
// more area than there is only where that is so at every level.
func TestACutIsBalanced(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		width, length := rapid.Float64Range(60, 400).Draw(t, "width"), rapid.Float64Range(100, 600).Draw(t, "length")
		p := rectangle(t, "r", width, length)
		b := newBlank(p, p.Outline, "r")
		w := rapid.SampledFrom([]split.Way{split.Yoke{}, split.Panel{}}).Draw(t, "way")
		spans := b.spansOf(w)
		room := split.Span{Lo: spans[0].Lo, Hi: spans[len(spans)-1].Hi}
		const allowance = 10
		area := rapid.Float64Range(0.2, 1.5)
		holds := []float64{area.Draw(t, "near bin") * b.area, area.Draw(t, "far bin") * b.area}
		tree := &split.Tree{Way: w, LevelMM: room.Lo, Near: &split.Tree{}, Far: &split.Tree{}}
		r := &relaxation{
			levels: []float64{room.Lo}, assigned: []float64{room.Lo},
			cuts: []slidingCut{{tree: tree, room: room}}, ranges: []split.Span{room},
			area: holds, maxFill: []float64{1, 1}, capacity: []float64{holds[0], holds[1]},
			parts: [][]leafArea{
				{{ring: b.cut, body: b.Body, cuts: []side{{0, true}}, grow: allowance}},
				{{ring: b.cut, body: b.Body, cuts: []side{{0, false}}, grow: allowance}},
			},
			onSide: [][2][]int{{{0}, {1}}},
		}
		side, along := width, length
		if w == (split.Panel{}) {
			side, along = length, width
		}
		fullest := func(level float64) float64 {
			near, far := (side+2*allowance)*(level+2*allowance), (side+2*allowance)*(along-level+2*allowance)
			return math.Max(near/holds[0], far/holds[1])
		}
		least := math.Inf(1)
		for level := room.Lo; level <= room.Hi; level += 0.5 {
			least = math.Min(least, fullest(level))
		}
		got := fullest(r.balance(1)[0])
		steep := (side + 2*allowance) / math.Min(holds[0], holds[1]) // fuller by this in a millimetre
		require.InDelta(t, least, got, steep)
		if r.totalUnlikely() {
			require.Greater(t, least, 1.0)
		}
	})
}
