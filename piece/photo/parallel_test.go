package photo

import (
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/plane"
	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// laidBoards is the joints of a floor, 190 mm apart, each askew by chance, from rim to rim of what a camera sees.
func laidBoards(v view, way, askew float64, r *rand.Rand) (out []plumb) {
	for across := -1100.0; across <= 1100; across += 190 {
		sin, cos := math.Sincos(way + askew*r.NormFloat64())
		mid := orb.Point{-across * math.Sin(way), across * math.Cos(way)}
		var seen []orb.Point
		for along := -1500.0; along <= 1500; along += 20 {
			if p := v.point(plane.Along(mid, orb.Point{cos, sin}, along)); p[0] > 0 && p[0] < 2400 && p[1] > 0 && p[1] < 1800 {
				seen = append(seen, p)
			}
		}
		if len(seen) > 20 {
			out = append(out, plumb{from: seen[0], mid: seen[len(seen)/2], to: seen[len(seen)-1], noisePx: 0.3})
		}
	}
	return out
}

// Where the joints of a floor run the same way, what lies far from a plain sheet is known better by them, and by how much is
// said, whatever else is among them; lines that do not run the same way change nothing.
func TestJointsTellHowTheCameraLeans(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	r := rand.New(rand.NewPCG(5, 17))
	const draws = 25
	edges := pageEdges()
	for _, c := range []struct {
		name  string
		ways  []float64
		askew float64
		stray bool    // whether other lines lie among them
		most  float64 // how far off what lies far away is by joints, of what it is without, at most
	}{
		{"boards", []float64{0.3}, 0.0007, false, 0.6},
		{"tiles", []float64{0.3, 0.3 + math.Pi/2}, 0.0007, false, 0.3},
		{"badly laid tiles", []float64{0.3, 0.3 + math.Pi/2}, 0.002, false, 0.8},
		{"boards and edges of shadows", []float64{0.3}, 0.0007, true, 0.9},
		{"lines that happen to lie so", []float64{0.3}, 0.03, false, 1.15},
		{"no lines", nil, 0, false, 1},
	} {
		var was, is, said float64
		for range draws {
			truth := leaning(r)
			f, err := adjust(truth, []laid{{}}, cutPage(truth, edges, r))
			require.NoError(t, err)
			var lines []plumb
			for _, way := range c.ways {
				lines = append(lines, laidBoards(truth, way, c.askew, r)...)
			}
			if c.stray {
				others := laidBoards(truth, c.ways[0]+0.012, c.askew, r)
				lines = append(lines, others[1], others[len(others)-2])
			}
			off := func() (square, said float64) {
				were, now := ovalAt(orb.Point{-700, 300}, truth, f)
				stray, _, cut := f.strayMM(now)
				return misfit(were, now) / draws, (stray*stray + cut*cut) / draws
			}
			before, _ := off()
			f.byJoints(lines)
			after, cut := off()
			was, is, said = was+before, is+after, said+cut
		}
		was, is, said = math.Sqrt(was), math.Sqrt(is), math.Sqrt(said)
		require.Less(t, is, c.most*was+1e-9, "%s", c.name)
		require.Less(t, is, 1.2*said, "%s: off by %.2f, said %.2f", c.name, is, said)
		require.Less(t, said, 2.5*is, "%s: off by %.2f, said %.2f", c.name, is, said)
	}
}
