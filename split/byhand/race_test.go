//go:build race

package byhand

import (
	"flag"

	_ "pgregory.net/rapid" // which has the flag
)

// A few random cases do for code that runs side by side: all of them run without
// the race detector.
func init() {
	if err := flag.Set("rapid.checks", "5"); err != nil {
		panic(err)
	}
}
