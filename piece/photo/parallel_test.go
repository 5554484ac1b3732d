package photo

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/plane"
	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// laidBoards is the joints of a floor, 190 mm apart, each askew by chance, from rim to rim of what a camera sees, or lines that
// fan out by so much for each metre across.
func laidBoards(v view, way, askew, fan float64, r *rand.Rand) (out []plumb) {
	for across := -1100.0; across <= 1100; across += 190 {
		sin, cos := math.Sincos(way + askew*r.NormFloat64() + fan*across/1000)
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
	const draws = 16
	edges := pageEdges()
	for _, c := range []struct {
		name  string
		ways  []float64
		askew float64
		fans  []float64 // of each way
		stray bool      // whether other lines lie among them
		most  float64   // how far off what lies far away is by joints, of what it is without, at most
	}{
		{"boards", []float64{0.3}, 0.0007, []float64{0}, false, 0.75},
		{"tiles", []float64{0.3, 0.3 + math.Pi/2}, 0.0007, []float64{0, 0}, false, 0.35},
		{"badly laid tiles", []float64{0.3, 0.3 + math.Pi/2}, 0.002, []float64{0, 0}, false, 0.8},
		{"boards and edges of shadows", []float64{0.3}, 0.0007, []float64{0}, true, 0.9},
		{"stripes of a pulled cloth", []float64{0.3}, 0.0007, []float64{0.006}, false, 1.1},
		{"checks of one, pulled one way", []float64{0.3, 0.3 + math.Pi/2}, 0.0007, []float64{0.006, 0}, false, 1},
		{"checks of one, pulled both ways", []float64{0.3, 0.3 + math.Pi/2}, 0.0007, []float64{0.006, -0.006}, false, 1.1},
		{"lines that happen to lie so", []float64{0.3}, 0.03, []float64{0}, false, 1.15},
		{"no lines", nil, 0, nil, false, 1},
	} {
		var was, is, said float64
		for range draws {
			truth := leaning(r)
			f, err := adjust(truth, []laid{{}}, cutPage(truth, edges, r))
			require.NoError(t, err)
			var lines []plumb
			for i, way := range c.ways {
				lines = append(lines, laidBoards(truth, way, c.askew, c.fans[i], r)...)
			}
			if c.stray {
				others := laidBoards(truth, c.ways[0]+0.012, c.askew, 0, r)
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

// Stripes of a cloth that fan out below a plain sheet are not taken for what a camera that leans makes of joints: what lies far
// from the sheet is off by no more than is said.
func TestStripesThatFanOut(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	const mm, w, h = 1.05, 1500, 1000 // of the ground a point shows
	const fan = 0.008 / 1000
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	r := rand.New(rand.NewPCG(3, 4))
	scrap := image.Rect(1080, 620, 1420, 960)
	for y := range h {
		for x := range w {
			// Stripes that run from left to right, 80 mm apart in the middle.
			along, across := mm*float64(x-w/2), mm*float64(y-h/2)
			at := across / (1 + fan*along) / 80
			c := [3]float64{120, 96, 72}
			if at-math.Floor(at) < 3.0/80 {
				c = [3]float64{70, 56, 42}
			}
			switch p := image.Pt(x, y); {
			case p.In(image.Rect(600, 350, 600+283, 350+200)):
				c = [3]float64{235, 235, 232}
			case p.In(scrap):
				c = [3]float64{40, 60, 160}
			}
			n := 2 * r.NormFloat64()
			m.SetRGBA(x, y, color.RGBA{uint8(c[0] + n), uint8(c[1] + n), uint8(c[2] + n), 255})
		}
	}
	got, err := trace(t.Context(), newPicture(m, 1), Options{})
	require.NoError(t, err)
	require.NotEmpty(t, got.view.joints)
	require.Len(t, got.out.Scraps, 1)
	s := got.out.Scraps[0]
	var were, now []orb.Point
	for _, p := range []image.Point{scrap.Min, {scrap.Min.X, scrap.Max.Y}, scrap.Max, {scrap.Max.X, scrap.Min.Y}} {
		at := orb.Point{float64(p.X), float64(p.Y)}
		were, now = append(were, plane.Scale(at, mm)), append(now, got.view.ground(at))
	}
	off := math.Sqrt(misfit(were, now))
	require.Less(t, off, 1.2*s.UncertainMM, "off by %.2f, said %.2f", off, s.UncertainMM)
}
