//go:build !race

package split_test

// underRace is set while the race detector makes everything many times slower.
const underRace = false
