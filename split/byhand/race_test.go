//go:build race

package byhand

import (
	"flag"

	_ "pgregory.net/rapid" // which has the flag
)

// The race detector makes everything many times slower. What it is for is code that
// runs side by side; a few random cases do for that, for all of them run without it.
const underRace = true

func init() {
	if err := flag.Set("rapid.checks", "5"); err != nil {
		panic(err)
	}
}
