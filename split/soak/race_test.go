//go:build race

package soak

// underRace is set while the race detector makes everything many times slower.
const underRace = true
