package draw

import (
	"bytes"
	"math"
	"testing"

	"eke/piece"
	"eke/piece/plane"
	"eke/split/plan"
	"eke/split/remnant"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// What is left, read back, is the pile as it was worked out: outlines, holes and
// facts.
func TestLeftCanBeReadAsScraps(t *testing.T) {
	d := tshirt()
	d.Scraps[0].GrainDeg, d.Scraps[0].Nap = 123.4, true
	d.Scraps[1].Use, d.Scraps[1].Kind, d.Scraps[1].Colour, d.Scraps[1].Note = "lining", "woven", "#123456", `a "note" & more <br>`
	d.Scraps = append(d.Scraps, plan.Scrap{Name: "12", Copy: 1, Outline: []plan.Point{{0, 0}, {8, 0}, {8, 300}, {0, 300}}, GrainDeg: 270, Face: "both"},
		plan.Scrap{Name: "alike", Copy: 1, Outline: []plan.Point{{0, 0}, {80, 0}, {80, 300}, {0, 300}}, GrainDeg: 90, Face: "one"},
		plan.Scrap{Name: "alike", Copy: 2, Outline: []plan.Point{{0, 0}, {80, 0}, {80, 300}, {0, 300}}, GrainDeg: 90, Face: "one"})
	d.Scraps[2].Look = "stripes"
	for i, runs := range []string{"across", "along"} { // the first has a turned grain
		d.Scraps[i].StripeMM, d.Scraps[i].FirstMM, d.Scraps[i].StripeRuns = 40, 25, runs
	}
	d.Scraps[3].Fabric, d.Scraps[3].Look = "", "tunic sleeve" // goes by its name, and leaves several bits
	d.Scraps[4].Fabric, d.Scraps[4].Look = "", "tunic sleeve"
	pile, err := remnant.After(d, 0)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, Of(d).Left(&b, 0))
	scraps, err := svg.ReadScraps(&b, "left.svg")
	require.NoError(t, err)
	require.Len(t, scraps, len(pile.Bits))
	striped := 0
	for i, s := range scraps {
		w := pile.Bits[i]
		require.Equal(t, w.Name, s.Name)
		require.Equal(t, []any{w.Count, w.Fabric, w.Kind, w.Use, w.Nap, w.Face == "both", w.Colour, w.Note}, []any{s.Count, s.Fabric, s.Kind, s.Use, s.Nap, s.BothFaces, s.Colour, s.Note}, s.Name)
		look := w.Look
		if look == "" { // the fixture is of a plan that knew of no looks
			look = s.TheLook()
		}
		require.Equal(t, look, s.TheLook(), s.Name)
		require.InDelta(t, w.StripeMM, s.Stripe.RepeatMM, 1e-9)
		require.Equal(t, w.StripeRuns == "along", s.Stripe.Along)
		if w.StripeMM > 0 {
			was := piece.Stripe{RepeatMM: 40, FirstMM: 25, Along: s.Stripe.Along}
			whole, bit := ringOf(d.Scraps[w.Of].Outline), ringOf(w.Outline)
			require.InDelta(t, 0, math.Remainder(was.Top(whole, w.GrainDeg)+25-was.Top(bit, w.GrainDeg)-s.Stripe.FirstMM, 40), 1e-3, s.Name)
			striped++
		}
		turn := plane.Dot(heading(w.GrainDeg), heading(s.GrainDeg))
		require.Greater(t, turn, 1-1e-9, "%s: the grain, and its direction", s.Name)
		require.Empty(t, s.Notes)
		rings, read := append([][]plan.Point{w.Outline}, w.Holes...), append([]orb.Ring{s.Outline}, s.Holes...)
		require.Len(t, read, len(rings))
		shift := plane.Sub(s.Outline[0], orb.Point(w.Outline[0]))
		for k, r := range rings {
			require.Len(t, read[k], len(r), s.Name)
			for n, q := range r {
				require.InDeltaSlice(t, []float64{q[0] + shift[0], q[1] + shift[1]}, read[k][n][:], 3e-4, s.Name)
			}
		}
	}
	require.Positive(t, striped)
}

func ringOf(points []plan.Point) orb.Ring {
	var out orb.Ring
	for _, q := range points {
		out = append(out, orb.Point(q))
	}
	return out
}

func heading(deg float64) orb.Point { return (&Shape{GrainDeg: deg}).grain() }
