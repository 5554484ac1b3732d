package search

import (
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

// Work is counted by what is new to a memo, so of many workers that find the
// same answer only one must be told that it is new, and all must share what one
// of them has begun.
func TestOneWorkerIsFirst(t *testing.T) {
	type question struct {
		part  string
		level int64
	}
	var answers memo[question, int]
	var begun memo[question, *int]
	var isNew atomic.Int64
	got := make([]*int, 8)
	var g sync.WaitGroup
	for k := range got {
		g.Go(func() {
			for level := range int64(100) {
				if answers.set(question{"front", level}, int(level)) {
					isNew.Add(1)
				}
			}
			got[k] = begun.getOrSet(question{"front", 0}, new(int))
		})
	}
	g.Wait()
	require.EqualValues(t, 100, isNew.Load())
	for _, p := range got {
		require.Same(t, got[0], p)
	}
	answer, ok := answers.get(question{"front", 7})
	require.True(t, ok)
	require.Equal(t, 7, answer)
	_, ok = answers.get(question{"back", 7})
	require.False(t, ok)
	answers.change(question{"back", 7}, func(was int) int { return was + 1 })
	answer, _ = answers.get(question{"back", 7})
	require.Equal(t, 1, answer)
}
