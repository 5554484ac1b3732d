package photo

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/plane"
	"eke/piece/race"
	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// What the sides of a plain sheet make of outlines, near it and far away, is what is said that they do: tried out on
// sheets whose sides are moved and turned, each by chance.
func TestSidesOfPaperErr(t *testing.T) {
	race.SkipAlone(t)
	t.Parallel()
	r := rand.New(rand.NewPCG(7, 31))
	const draws = 150
	places := []orb.Point{{105, 148}, {500, 0}, {-700, 300}, {1000, -500}}
	off, said := make([]float64, len(places)), make([]float64, len(places))
	edges := pageEdges()
	for range draws {
		truth := leaning(r)
		seen := cutPage(truth, edges, r)
		f, err := adjust(truth, []laid{{}}, seen)
		require.NoError(t, err)
		for i, at := range places {
			was, now := ovalAt(at, truth, f)
			_, _, mm := f.strayMM(now)
			off[i] += misfit(was, now) / draws
			said[i] += mm * mm / draws
		}
		for k := range seen {
			seen[k].side.number = 0
		}
		f, err = adjust(truth, []laid{{}}, seen)
		require.NoError(t, err)
		_, _, mm := f.strayMM([]orb.Point{{700, 0}, {800, 0}, {800, 100}})
		require.Zero(t, mm, "these are sides of no paper")
	}
	for i := range places {
		require.InDelta(t, 1, math.Sqrt(off[i]/said[i]), 0.2, "at %v: off by %.2f, said %.2f", places[i], math.Sqrt(off[i]), math.Sqrt(said[i]))
	}
	require.Greater(t, off[3], 9*off[0])
}

// pageEdges is the edges of a plain sheet as they should be.
func pageEdges() []edge {
	return page{paper: scalesheet.Papers[0], corners: [4]orb.Point{{0, 0}, {400, 0}, {400, 600}, {0, 600}}}.seen(1).edges
}

// leaning is how a camera sees that leans a little, by chance.
func leaning(r *rand.Rand) view {
	v := newView(2400, 1800)
	tilt := func() float64 { return 0.02 * r.NormFloat64() }
	v.h = [8]float64{0.25, tilt(), 0, tilt(), 0.25, 0, tilt(), tilt()}
	return v
}

// ovalAt is an outline about a place on the ground, and where a view that was fitted has what a camera sees of it.
func ovalAt(at orb.Point, truth view, f *fitted) (were, now []orb.Point) {
	for k := range 40 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 40)
		q := plane.Add(at, orb.Point{150 * cos, 100 * sin})
		were, now = append(were, q), append(now, f.ground(truth.point(q)))
	}
	return were, now
}

// cutPage is the edges of a page as they are seen where its sides are moved and turned by chance.
func cutPage(truth view, edges []edge, r *rand.Rand) (seen []sighting) {
	var moves, turns [5]float64
	for k := range moves {
		moves[k], turns[k] = cutMM*r.NormFloat64(), skewMM*r.NormFloat64()
	}
	for _, e := range edges {
		n := e.side.number
		// Where the paper ends, and not where its side should be.
		from := truth.point(e.at)
		at := truth.point(plane.Along(e.at, e.light, moves[n]+turns[n]*e.side.along))
		across := plane.Sub(truth.point(plane.Along(e.at, orb.Point{e.light[1], -e.light[0]}, 1)), from)
		normal := plane.Unit(orb.Point{-across[1], across[0]})
		seen = append(seen, sighting{ground: e.at, at: at, normal: normal, side: e.side})
	}
	return seen
}

// A large scrap far from one plain sheet is known no better than that sheet's sides, and it is said; a small one beside
// the sheet is known well.
func TestFarFromPlainSheet(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	m := image.NewRGBA(image.Rect(0, 0, 2000, 1200))
	fill := func(r image.Rectangle, c color.RGBA) { draw.Draw(m, r, image.NewUniform(c), image.Point{}, draw.Src) }
	fill(m.Rect, color.RGBA{90, 80, 70, 255})
	fill(image.Rect(60, 100, 60+420, 100+297), color.RGBA{235, 235, 232, 255})
	fill(image.Rect(80, 600, 230, 720), color.RGBA{160, 40, 40, 255})
	fill(image.Rect(1200, 200, 1900, 1000), color.RGBA{40, 60, 160, 255})
	r, err := Trace(t.Context(), newPicture(m, 1), Options{})
	require.NoError(t, err)
	require.Equal(t, "a4", r.Plain)
	require.Len(t, r.Scraps, 2)
	for _, s := range r.Scraps {
		if s.MeasuredMM2 < 20000 {
			require.LessOrEqual(t, s.UncertainMM, 0.3)
			continue
		}
		require.Greater(t, s.UncertainMM, 1.0)
		require.Contains(t, fmt.Sprint(r.Problems), fmt.Sprintf("number %d is so far from the sheet", s.Number))
	}
}
