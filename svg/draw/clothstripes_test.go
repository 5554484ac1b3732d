package draw

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Lines a little apart, clipped to an outline and out of its holes, have its area;
// and a part has them where the cloth under it has them.
func TestStripesLieWithinTheCloth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(what string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		s := plan.Scrap{
			Outline: []plan.Point{{0, 0}, {draw("x", 300, 500), 20}, {260, 90}, {400, draw("y", 300, 500)}, {-30, 280}}, Holes: [][]plan.Point{{{60, 60}, {60, 160}, {150, 160}, {140, 70}}},
			GrainDeg: draw("grain", -180, 360), StripeMM: 4, FirstMM: draw("first", 0, 4), StripeRuns: rapid.SampledFrom([]string{"across", "along"}).Draw(t, "runs"),
		}
		stripes, rings := stripesOf(&s), ringsOf(&s)
		sum := 0.0
		for _, l := range stripes.within(rings...) {
			sum += l.Length() * s.StripeMM
			mid, _ := l.At(l.Length() / 2)
			require.True(t, plane.Holds(rings[0], mid) && !plane.Holds(rings[1], mid))
		}
		area := plane.Area(rings[0]) - plane.Area(rings[1])
		require.InEpsilon(t, area, sum, 0.03)

		sin, cos := math.Sincos(draw("turn", 0, 6))
		m := [6]float64{cos, sin, -sin, cos, draw("dx", -300, 300), draw("dy", -300, 300)}
		on := stripes.under(m)
		for _, l := range on.within([]orb.Point{{0, 0}, {90, 0}, {90, 90}, {0, 90}}) {
			for _, q := range []orb.Point{l.Start(), l.End()} {
				laid := curve.Matrix(m).Apply(q)
				require.InDelta(t, 0, math.Remainder(plane.Dot(laid, stripes.across)-stripes.atMM, 4), 1e-6)
			}
		}
		require.True(t, on.meets(on, curve.Identity))
		moved := on
		moved.atMM += 1.5
		require.False(t, on.meets(moved, curve.Identity))
	})
}

// Stripes are drawn on the layout, and on a part where they are to meet others; both
// files can still be read.
func TestStripesAreDrawn(t *testing.T) {
	d := tshirt()
	for i := range d.Scraps {
		d.Scraps[i].StripeMM, d.Scraps[i].FirstMM, d.Scraps[i].StripeRuns = 30, 12, "across"
	}
	drawn := func(write func(b *bytes.Buffer) error) string {
		var b bytes.Buffer
		require.NoError(t, write(&b))
		return b.String()
	}
	pieces := func() string { return drawn(func(b *bytes.Buffer) error { return Of(d).Pieces(b, 0) }) }
	require.NotContains(t, pieces(), `class="stripe"`)
	layout := drawn(func(b *bytes.Buffer) error { return Of(d).Layout(b, 0) })
	require.Greater(t, strings.Count(layout, `class="stripe"`), 20)
	d.Options[0].StripeMatch = &plan.StripeMatch{Runs: "across", RepeatMM: 30}
	all := pieces()
	require.Greater(t, strings.Count(all, `class="stripe"`), 20)
	read, err := svg.ReadPattern(strings.NewReader(all), "pieces.svg")
	require.NoError(t, err)
	for _, p := range read {
		require.NotContains(t, strings.Join(p.Notes, "\n"), "stripe")
	}
	views, _, err := Of(d).Garment(0)
	require.NoError(t, err)
	require.Contains(t, views[0].SVG, `class="stripe"`)
}
