package photo

import (
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/plane"

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
