package check

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// Lines lie a block apart, and none may be missing: not at an end either, nor where a
// piece has none at all, unless it is no wider than a block.
func TestLinesLieEvenly(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		lines  []float64
		hi     float64
		faults int
	}{
		"a piece narrower than a block": {nil, 70, 0},
		"as wide as a block":            {nil, 100, 0},
		"wider, with none":              {nil, 101, 1},
		"evenly":                        {[]float64{60, 160, 260}, 340, 0},
		"none at the first end":         {[]float64{160, 260}, 340, 1},
		"none at the last":              {[]float64{60, 160}, 340, 1},
		"none between":                  {[]float64{60, 260}, 340, 1},
		"one outside":                   {[]float64{-5, 95}, 190, 1},
	} {
		o := &optionProof{common: &common{}, Option: &plan.Option{}}
		(&blockProof{optionProof: o, Blocks: &plan.Blocks{SizeMM: 100}}).evenly(id{"hood", 1}, "upright", c.lines, 0, c.hi)
		require.Len(t, o.found, c.faults, name)
	}
}

// A line is over a block by what it lies within it, and not where it is one of its sides
// or beside it.
func TestLineOverABlock(t *testing.T) {
	t.Parallel()
	require.InDelta(t, 0.5, over(360, 570.5, []float64{360.5, 570.5}), 1e-9)
	require.InDelta(t, 40, over(0, 100, []float64{-20, 40, 100}), 1e-9)
	require.Zero(t, over(0, 100, []float64{-20, 0, 100, 130}))
	require.Zero(t, over(0, 100, nil))
}
