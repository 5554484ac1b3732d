//go:build race

package svg

// underRace is set while the race detector makes everything many times slower.
const underRace = true
