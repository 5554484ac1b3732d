package photo

import (
	"image"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Parts of one cloth on both sides of a stripe keep one distance to each other; what
// lies askew or far off does not.
func TestSideBySide(t *testing.T) {
	t.Parallel()
	box := func(x0, y0, x1, y1 float64) orb.Ring { return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}} }
	a := box(0, 0, 60, 20)
	require.True(t, sideBySide(a, box(0, 28, 60, 40), 20))
	require.False(t, sideBySide(a, box(0, 60, 60, 80), 20))
	require.False(t, sideBySide(a, orb.Ring{{0, 22}, {60, 45}, {60, 70}, {0, 70}}, 20))
	require.False(t, sideBySide(a, box(55, 25, 100, 40), 20))
}

// A joint is long for its width, and what has its colour is one too; a scrap's point
// and a narrow scrap are none.
func TestNoJoints(t *testing.T) {
	t.Parallel()
	grey, red := lab{40, 0, 2}, lab{40, 60, 30}
	thin := []part{
		{},
		{box: image.Rect(0, 0, 400, 5), area: 2000, held: 5, colour: grey}, // a joint that a scrap lies on
		{box: image.Rect(0, 0, 12, 5), area: 60, held: 5, colour: grey},    // a stub of one
		{box: image.Rect(0, 0, 12, 5), area: 40, held: 5, colour: red},     // a point
		{box: image.Rect(0, 0, 60, 6), area: 360, colour: red},             // a narrow scrap
	}
	require.Equal(t, []bool{false, false, true, true}, noJoints(thin, 3)[1:])
	// Without a joint in the picture only what is as wide as a joint all along is taken for
	// a part of one.
	require.Equal(t, []bool{false, true, true}, noJoints(thin[1:], 3)[1:])
}
