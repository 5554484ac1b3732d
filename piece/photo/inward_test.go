package photo

import (
	"math"
	"slices"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A strip that is narrower than twice what it is moved by is closed, and not turned inside out; so is a narrow tail of
// a scrap, however long it is.
func TestInwardOfNarrow(t *testing.T) {
	t.Parallel()
	strip := orb.Ring{{0, 0}, {400, 0}, {400, 6}, {0, 6}} // clockwise on the page
	require.Nil(t, inward(strip, 6.4, orb.Point{}))
	require.InDelta(t, 388*4, plane.Area(inward(orb.Ring{{0, 0}, {400, 0}, {400, 16}, {0, 16}}, 6, orb.Point{})), 1e-6)
	tail := orb.Ring{{0, 0}, {60, 0}, {60, 27}, {460, 27}, {460, 33}, {60, 33}, {60, 60}, {0, 60}}
	require.InDelta(t, 47.2*47.2, plane.Area(inward(tail, 6.4, orb.Point{})), 50)
	// A hole runs the other way, and is drawn larger.
	slices.Reverse(strip)
	require.InDelta(t, 412.8*18.8, plane.Area(inward(strip, 6.4, orb.Point{})), 1e-6)
}

// What a scrap of any widths is moved to lies within it, and runs round as it does; what a hole is moved to lies about it.
func TestInwardStaysWithin(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		var above, below []orb.Point
		for x := range rapid.IntRange(2, 12).Draw(t, "long") {
			mid, half := rapid.Float64Range(-6, 6).Draw(t, "mid"), rapid.Float64Range(1, 20).Draw(t, "half")
			above, below = append(above, orb.Point{30 * float64(x), mid - half}), append(below, orb.Point{30 * float64(x), mid + half})
		}
		slices.Reverse(below)
		ring := append(orb.Ring(above), below...)
		mm := rapid.Float64Range(0.1, mostUncertainMM).Draw(t, "mm")
		way := rapid.Float64Range(0, 2*math.Pi).Draw(t, "way")
		aside := plane.Scale(orb.Point{math.Cos(way), math.Sin(way)}, rapid.Float64Range(0, clothMM).Draw(t, "aside"))
		got := inward(ring, mm, aside)
		if got != nil && plane.SignedArea(got) <= 0 {
			t.Fatalf("%v is turned inside out", ring)
		}
		for _, q := range got {
			if !plane.Holds(ring, q) && plane.ToRing(ring, q) > simplerMM {
				t.Fatalf("%v of %v by %g is outside by %g", q, ring, mm, plane.ToRing(ring, q))
			}
		}
		slices.Reverse(ring)
		hole := inward(ring, mm, aside)
		if plane.SignedArea(hole) >= 0 || -plane.SignedArea(hole) < plane.Area(ring) {
			t.Fatalf("%v is no larger as a hole", ring)
		}
		for _, q := range ring {
			if !plane.Holds(hole, q) && plane.ToRing(hole, q) > simplerMM {
				t.Fatalf("%v of the hole %v is cloth", q, ring)
			}
		}
	})
}
