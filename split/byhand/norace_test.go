//go:build !race

package byhand

// underRace is set while the race detector makes everything many times slower.
const underRace = false
