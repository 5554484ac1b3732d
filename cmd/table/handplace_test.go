package table

import (
	"fmt"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A part that is laid on a scrap without a word of where lies there as well as was
// said; one that is to stay where it is put does, and another slides to touch.
func TestLaidWhereItFitsOrStill(t *testing.T) {
	t.Parallel()
	_, v, _ := shirtLaidOut(t)
	h := v.hand("line", "part", "front", "way", "straight", "at", "255")
	for h.Looking {
		_, _ = v.get("/hand?again")
		h = v.hand("")
	}
	lays := func(fields ...string) *layView {
		now := v.hand("place", append([]string{"part", "front-upper"}, fields...)...)
		return now.part("front-upper").On
	}
	scrap := -1 // one that it fits
	for _, f := range h.part("front-upper").Fits {
		on := lays("scrap", fmt.Sprint(f.Scrap))
		require.Equal(t, f.Scrap, on.Scrap)
		if f.OK {
			scrap = f.Scrap
		}
		require.Equal(t, f.OK, on.OK, "scrap %d: %s", f.Scrap, on.Why)
	}
	on := lays("scrap", fmt.Sprint(scrap))
	at := func(dx float64) []string {
		return []string{"scrap", fmt.Sprint(scrap), "x", fmt.Sprint(on.X + dx), "y", fmt.Sprint(on.Y), "turn", fmt.Sprint(on.Turn)}
	}
	still := lays(append(at(-400), "snap", "no")...)
	require.InDelta(t, on.X-400, still.X, 1e-6)
	require.False(t, still.OK)
	require.Greater(t, still.Over, 100.0)
	one := lays(append(at(1), "snap", "no")...)
	require.InDelta(t, on.X+1, one.X, 1e-6)
	for _, bad := range []string{"?part=front-upper&scrap=0", "?part=front-upper&scrap=0&x=3", "?part=front-upper"} {
		code, why := v.get("/hand/try" + bad)
		require.Equal(t, 422, code, why)
	}
}

// A line lies where its axis says: each end of a straight one is as far along as its
// number.
func TestAxisOfALine(t *testing.T) {
	t.Parallel()
	made, _, _ := shirtLaidOut(t)
	_, start, err := made.bench.byHand()
	require.NoError(t, err)
	straight := 0
	for copy := range start.Copies() {
		for _, c := range start.Choices(copy) {
			now, id, err := start.WithLine(c.Part, c.Key, (c.FromMM+c.ToMM)/2)
			require.NoError(t, err)
			for _, l := range now.Lines(copy) {
				a := now.AxisOf(l)
				require.Equal(t, id, l.ID)
				require.InDelta(t, 1, a.Dir[0]*a.Dir[0]+a.Dir[1]*a.Dir[1], 1e-9)
				along := func(q orb.Point) float64 {
					d := plane.Sub(q, a.Zero)
					return d[0]*a.Dir[0] + d[1]*a.Dir[1]
				}
				b, e := along(l.Paths[0].Start()), along(l.Paths[0].End())
				if c.Key == "arc-down" || c.Key == "arc-up" {
					continue
				}
				straight++
				require.InDelta(t, l.AtMM, b, 0.05, "%s of %s", c.Name, c.Part)
				require.InDelta(t, l.AtMM, e, 0.05, "%s of %s", c.Name, c.Part)
			}
		}
	}
	require.Positive(t, straight)
	// Forward is down on the front, and up on the back.
	moved, err := start.WithShoulder(0, 20)
	require.NoError(t, err)
	for copy, want := range []float64{1, -1} {
		l := moved.Lines(copy)[0]
		require.InDelta(t, want, moved.AxisOf(l).Dir[1], 1e-9)
		require.Len(t, l.Paths, 2)
	}
}
