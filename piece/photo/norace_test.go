//go:build !race

package photo

// underRace is set while the race detector makes everything many times slower.
const underRace = false
