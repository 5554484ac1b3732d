package photo

import (
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A printed sheet whose codes are none is said to be a sheet, and is no scrap; plain white cloth of that size is one.
func TestUnreadSheet(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	for _, printed := range [...]bool{true, false} {
		s := staged.Random(4, 1200)
		s.Scraps, s.BlurPx = nil, 0.8
		s.Sheets = s.Sheets[:1]
		s.Sheets[0].Pose = staged.Pose{At: orb.Point{-300, -150}}
		m := s.Picture()
		for y := range s.Height {
			for x := range s.Width {
				q := s.Camera.Ground(orb.Point{float64(x) + 0.5, float64(y) + 0.5}, s.Width, s.Height)
				u, v := q[0]-60, q[1]+150 // on an A4 sheet
				if u < 0 || v < 0 || u > 210 || v > 297 {
					continue
				}
				c := color.RGBA{235, 235, 235, 255}
				if printed && math.Mod(u, 60) > 30 && math.Mod(v, 70) > 50 {
					c = color.RGBA{25, 25, 25, 255}
				}
				m.SetRGBA(x, y, c)
			}
		}
		r, err := Trace(t.Context(), newPicture(m, 1), Options{})
		require.NoError(t, err)
		said := slices.ContainsFunc(r.Problems, func(p Problem) bool { return p.LeftOut && strings.Contains(p.What, "codes cannot be read") })
		require.Equal(t, printed, said, "%v", r.Problems)
		if printed {
			require.Empty(t, r.Scraps)
		} else {
			require.Len(t, r.Scraps, 1)
		}
	}
}

// Corners of a sheet of paper are told from those of a scrap that is nearly as large, or not square.
func TestOfPaperSize(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		at [4]orb.Point
		is bool
	}{
		"a4":         {[4]orb.Point{{0, 0}, {210, 1}, {211, 297}, {0, 297}}, true},
		"a4 turned":  {[4]orb.Point{{0, 0}, {297, 0}, {297, 210}, {0, 210}}, true},
		"shorter":    {[4]orb.Point{{0, 0}, {210, 0}, {210, 285}, {0, 285}}, false},
		"not square": {[4]orb.Point{{0, 0}, {210, 0}, {240, 295}, {30, 295}}, false},
	} {
		require.Equal(t, c.is, ofPaperSize(c.at), name)
	}
}
