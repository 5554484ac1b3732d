package job

import (
	"os"
	"runtime/debug"
)

// HeapPercent is by how much the heap may grow beyond what is in use before it is
// collected, while a search runs, where GOGC says nothing else. A search makes and drops
// small things all the time and has some 20 MB in use: with the usual 100 a seventh of its
// time goes into collecting them.
const HeapPercent = 400

// RoomyHeap lets the heap grow so far until undo.
func RoomyHeap() (undo func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	was := debug.SetGCPercent(HeapPercent)
	return func() { debug.SetGCPercent(was) }
}
