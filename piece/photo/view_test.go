package photo

import (
	"math"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/plane"
	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// How far the camera looks aside at a place is told from where the ground is in the picture.
func TestAside(t *testing.T) {
	t.Parallel()
	const w, h, heightMM = 1200, 900, 1400
	for _, tilt := range [][2]float64{{0, 0}, {20, 0}, {-9, 24}} {
		c := staged.Camera{Over: orb.Point{120, -70}, HeightMM: heightMM, TiltX: tilt[0], TiltY: tilt[1], RollDeg: 33, Focal: usualFocal}
		var seen []match
		for _, q := range []orb.Point{{-300, -200}, {310, -190}, {290, 220}, {-280, 230}} {
			seen = append(seen, match{q, c.Point(q, w, h)})
		}
		v := newView(w, h)
		require.NoError(t, v.homography(seen))
		v.upright()
		given := func(q orb.Point) orb.Point { return v.ground(c.Point(q, w, h)) }
		for _, q := range []orb.Point{{0, 0}, {400, 300}, {-350, 100}} {
			want := plane.Scale(plane.Sub(given(q), given(c.Over)), 1.0/heightMM)
			require.Less(t, plane.Distance(want, v.aside(given(q))), 1e-6, "%v %v", tilt, q)
		}
	}
}

// Outlines and holes of scraps that the camera sees aside are drawn inward by what cloth hides there, too.
func TestOutlinesSeenAside(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	s := staged.Random(8, 800)
	s.Camera.TiltX, s.Camera.Over = 20, orb.Point{}
	mid := s.Camera.Ground(orb.Point{float64(s.Width) / 2, float64(s.Height) / 2}, s.Width, s.Height)
	s.Camera.Over = orb.Point{-mid[0], -mid[1]}
	tr, err := trace(t.Context(), newPicture(s.Picture(), 1), Options{})
	require.NoError(t, err)
	outlines, holes := 0, 0
	for _, c := range tr.out.Scraps {
		drawn := append([]orb.Ring{c.Outline}, c.Holes...)
		var aside orb.Point
		for i, ring := range c.seen {
			var mm []orb.Point
			for _, q := range ring {
				mm = append(mm, tr.view.ground(q))
			}
			if i == 0 {
				aside = plane.Scale(tr.view.aside(orb.Ring(mm).Bound().Center()), clothMM)
				require.Greater(t, plane.Length(aside), 0.1)
				outlines++
			} else {
				holes++
			}
			want, without := inward(mm, c.UncertainMM, aside), inward(mm, c.UncertainMM, orb.Point{})
			require.InDelta(t, plane.Area(want), plane.Area(drawn[i]), 1e-9)
			require.Greater(t, math.Abs(plane.Area(want)-plane.Area(without)), 0.1)
		}
	}
	require.Greater(t, outlines, 4)
	require.Positive(t, holes)
}
