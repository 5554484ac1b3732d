//go:build race

package soak

import (
	"flag"

	_ "pgregory.net/rapid" // which has the flag
)

// underRace is set while the race detector makes everything many times slower.
// What it is for is code that runs side by side; a few random cases do for that,
// for all of them run without it.
const underRace = true

func init() {
	if err := flag.Set("rapid.checks", "5"); err != nil {
		panic(err)
	}
}
