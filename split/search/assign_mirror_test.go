package search

import (
	"slices"
	"testing"

	"eke/split"

	"github.com/stretchr/testify/require"
)

// The sleeves of a planted t-shirt are deeper at the front, by some millimetres; its
// cuffs are the same either way up, and its front is one piece.
func TestMirrorOf(t *testing.T) {
	blanks := drawn(t, newTable(nil, Options{AllowanceMM: 10}.withDefaults()))
	mirrored := map[string]int{}
	for i, b := range blanks {
		if l := mirrorOf(b, blanks[:i]); l >= 0 {
			require.Equal(t, b.piece.Name, blanks[l].piece.Name)
			require.NotEqual(t, b.piece.Flipped, blanks[l].piece.Flipped)
			mirrored[b.piece.Name]++
		}
	}
	require.Positive(t, mirrored["sleeve"])
	require.NotContains(t, mirrored, "cuff")
}

// Copies 2 and 3 mirror each other.
func TestHalves(t *testing.T) {
	in := &instance{mirror: []int{-1, -1, -1, 2}, minCuts: []int{0, 0, 0, 0}}
	compositions := [][]int{{0, 0, 1, 2}, {0, 1, 1, 1}, {2, 1, 0, 0}, {0, 0, 2, 1}}
	require.Equal(t, []half{
		{[]int{0, 1, 1, 1}, inOrder}, {[]int{2, 1, 0, 0}, eitherOrder}, {[]int{0, 0, 2, 1}, eitherOrder},
		{[]int{0, 0, 1, 2}, eitherOrder}, {[]int{0, 1, 1, 1}, outOfOrder},
	}, in.halves(compositions, false))
	require.Equal(t, []half{
		{[]int{0, 1, 1, 1}, eitherOrder}, {[]int{2, 1, 0, 0}, eitherOrder}, {[]int{0, 0, 2, 1}, eitherOrder}, {[]int{0, 0, 1, 2}, eitherOrder},
	}, in.halves(compositions, true))
	in.minCuts[3] = 1 // so one of them cannot take the other's place
	for _, h := range in.halves(compositions, false) {
		require.Equal(t, eitherOrder, h.mirroring)
	}
}

// Every assignment is in one half, and the one in which both copies change places in
// the other, whichever of the two is assigned first.
func TestHalvesShareOutAssignments(t *testing.T) {
	pair := func(near, far int) *split.Tree {
		return &split.Tree{Way: split.Yoke{}, Near: &split.Tree{Scrap: near}, Far: &split.Tree{Scrap: far}}
	}
	in := &instance{mirror: []int{-1, 0}, minCuts: []int{0, 0}}
	for _, order := range [][]int{{0, 1}, {1, 0}} {
		tried := map[mirroring]int{}
		for code := range 4 * 4 * 4 * 4 {
			trees := []*split.Tree{pair(code%4, code/4%4), pair(code/16%4, code/64)}
			out := func(m mirroring, trees []*split.Tree) bool {
				a := &assignment{instance: in, cuts: []int{1, 1}, mirroring: m, trees: trees, order: order, depthOf: []int{slices.Index(order, 0), slices.Index(order, 1)}}
				return slices.ContainsFunc(order, a.outOfTurn)
			}
			require.False(t, out(eitherOrder, trees))
			require.NotEqual(t, out(inOrder, trees), out(outOfOrder, trees))
			swapped := []*split.Tree{trees[1], trees[0]}
			if out(outOfOrder, trees) == out(outOfOrder, swapped) { // the same scraps
				require.False(t, out(inOrder, trees))
			}
			for _, m := range []mirroring{inOrder, outOfOrder} {
				if !out(m, trees) {
					tried[m]++
				}
			}
		}
		require.Equal(t, 256, tried[inOrder]+tried[outOfOrder])
		require.Greater(t, tried[outOfOrder], 100)
	}
}
