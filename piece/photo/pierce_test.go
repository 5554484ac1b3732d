package photo

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A spot is no hole where more than a few look like it.
func TestSpotsThatComeOften(t *testing.T) {
	t.Parallel()
	const points = 20 // of the spot
	tan, blue := lab{57, 8, 18}, lab{40, 0, -30}
	for name, c := range map[string]struct {
		others int
		each   spot
		colour lab
		often  bool
	}{
		"it alone":            {0, spot{}, tan, false},
		"a few holes":         {mostHoles, spot{inside: true, points: make([]int, points)}, tan, false},
		"a print":             {mostHoles + 1, spot{inside: true, points: make([]int, points)}, tan, true},
		"of another colour":   {9, spot{inside: true, points: make([]int, points)}, blue, false},
		"of another size":     {9, spot{inside: true, points: make([]int, unlikeSpot*points)}, tan, false},
		"not of the ground's": {9, spot{inside: true, points: make([]int, points), away: 30}, tan, false},
		"at the edge":         {9, spot{points: make([]int, points)}, tan, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			f := &field{w: 20, h: 1, by: 1, colour: []lab{tan}}
			one := spot{inside: true, points: make([]int, points)}
			all := []spot{one}
			for range c.others {
				c.each.best = len(f.colour)
				f.colour = append(f.colour, c.colour)
				all = append(all, c.each)
			}
			require.Equal(t, c.often, f.comesOften(one, points, all, 6))
		})
	}
}
