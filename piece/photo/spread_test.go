package photo

import (
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// How far off a view makes an outline is no more than twice what is said of it,
// in 95 of 100, near the sheet and far away: tried out on sheets that are seen as
// unsurely as the fit takes it that they are.
func TestStrayCovers(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 29))
	const draws = 100
	places := []orb.Point{{0, 0}, {300, -100}, {-700, 300}, {800, -500}}
	covered := make([]int, len(places))
	said := make([]float64, len(places))
	for range draws {
		truth := newView(2400, 1800)
		tilt := func() float64 { return 0.04 * r.NormFloat64() }
		truth.h = [8]float64{0.25 + 0.1*tilt(), tilt(), 0, tilt(), 0.25 + 0.1*tilt(), 0, tilt(), tilt()}
		truth.bend = usualBend * r.NormFloat64()
		var seen []sighting
		const noise = 0.2
		for _, corners := range [4][2]orb.Point{{{-105, -148}, {105, -148}}, {{105, -148}, {105, 148}}, {{105, 148}, {-105, 148}}, {{-105, 148}, {-105, -148}}} {
			for _, e := range side(corners[0], corners[1]) {
				at, along := truth.point(e.at), plane.Unit(plane.Sub(truth.point(corners[1]), truth.point(corners[0])))
				normal := orb.Point{-along[1], along[0]}
				seen = append(seen, sighting{ground: e.at, at: plane.Along(at, normal, noise*r.NormFloat64()), normal: normal})
			}
		}
		start := newView(2400, 1800)
		start.h = truth.h
		f, err := adjust(start, []laid{{}}, seen)
		require.NoError(t, err)
		for i, at := range places {
			var was, now []orb.Point
			for k := range 40 {
				s, c := math.Sincos(2 * math.Pi * float64(k) / 40)
				q := plane.Add(at, orb.Point{150 * c, 100 * s})
				was, now = append(was, q), append(now, f.ground(truth.point(q)))
			}
			stray, _, _ := f.strayMM(now)
			said[i] += stray / draws
			if math.Sqrt(misfit(was, now)) <= 2*stray {
				covered[i]++
			}
		}
	}
	for i := range places {
		require.GreaterOrEqual(t, covered[i], draws*93/100, "at %v", places[i]) // as good as 95, drawn at random
	}
	require.Greater(t, said[3], 2*said[0], "%v", said)
}
