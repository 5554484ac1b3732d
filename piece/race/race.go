// Package race lets a test leave out, under the race detector, what it sees nothing
// in. The detector looks at memory that goroutines share, and makes everything some
// ten times slower: what one goroutine does alone it need not see again, for it runs
// without the detector too.
package race

import "testing"

// SkipAlone skips a test that takes seconds under the race detector and has
// nothing run side by side.
func SkipAlone(t testing.TB) {
	t.Helper()
	if On {
		t.Skip("slow under the race detector, and nothing in it runs side by side")
	}
}
