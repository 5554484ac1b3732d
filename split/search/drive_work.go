package search

// Work is counted in tries, of some 10 µs each. What takes longer than to look at a
// part in a place counts as the tries that take about as long, and is counted where
// its answer is first remembered: so the sum is the same on any number of cores.
const (
	placeWork   = 50   // to place a part
	bracketWork = 100  // to find a bracket
	pinWork     = 50   // to prepare an instance in which parts stand
	attemptWork = 3500 // an attempt at the levels of a component
)

// packWork is the work of a packing that was to weigh no more than so many poses. One
// that is found is found early.
func packWork(poses int, found bool) int64 {
	const posesPerTry, early = 5, 5
	if found {
		return int64(poses / posesPerTry / early)
	}
	return int64(poses / posesPerTry)
}
