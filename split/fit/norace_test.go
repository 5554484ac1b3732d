//go:build !race

package fit

// underRace is set while the race detector makes everything many times slower.
const underRace = false
