//go:build race

package race

// On is set where the race detector is built in.
const On = true
