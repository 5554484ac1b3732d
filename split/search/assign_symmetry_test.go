package search

import (
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

// Bins are tried from the one with least area left or from the one with most, those that
// are too small for a part never.
func TestBinsInEitherOrder(t *testing.T) {
	t.Parallel()
	table := newTable([]piece.Scrap{sheets(1, sheet("a", 300, 300)), sheets(1, sheet("b", 500, 500)), sheets(1, sheet("c", 100, 100)), sheets(2, sheet("d", 400, 400))}, Options{AllowanceMM: 10}.withDefaults())
	a := &assignment{table: table, on: make([][]placed, len(table.bins)), freeArea: []float64{90_000, 50_000, 10_000, 160_000, 160_000}}
	require.Equal(t, []int{1, 0, 3}, a.binsFor(20_000), "of two empty bins alike one is enough")
	a.emptiestFirst = true
	require.Equal(t, []int{3, 0, 1}, a.binsFor(20_000))
	a.order, a.only = []int{0}, [][]bool{{true, true, true, false, true}}
	require.Equal(t, []int{4, 0, 1}, a.binsFor(20_000), "of two alike the one that it may be cut from")
}
