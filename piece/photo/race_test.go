//go:build race

package photo

// underRace is set while the race detector makes everything many times slower.
// What it is for is the rows that are worked on side by side: one picture shows
// all of those.
const underRace = true
