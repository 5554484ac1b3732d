package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// bodiceFile has darts with two points, widest 380 mm below its top.
func bodiceFile(t *testing.T) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("..", "..", "split", "testdata", "bodice.svg"))
	require.NoError(t, err)
	return path
}

// A dart with two points is divided by a cross seam and taken in by one that
// runs down it, and the plan is proved.
func TestSplitDartsWithTwoPoints(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		args                    []string
		taken, divided          int
		ordinary, whole, drawnT int // drawn in pieces.svg: darts by what they are
	}{
		"whole":                {[]string{"--piece", "front", "--yoke", "250mm"}, 0, 0, 0, 2, 2},
		"at the widest place":  {[]string{"--piece", "front", "--yoke", "380mm"}, 0, 2, 4, 0, 4},
		"elsewhere":            {[]string{"--piece", "front", "--yoke", "330mm"}, 0, 2, 2, 0, 2},
		"down it":              {[]string{"--piece", "front", "--panel", "105mm"}, 1, 0, 0, 1, 1},
		"down it, no reach":    {[]string{"--piece", "front", "--panel", "106mm", "--dart-reach", "0mm"}, 0, 0, 0, 1, 1},
		"mirrored, down both":  {[]string{"--piece", "back", "--panel=-17.5mm"}, 4, 0, 0, 0, 0},
		"mirrored, at the top": {[]string{"--piece", "back", "--yoke", "170mm"}, 0, 0, 2, 2, 4},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			found(t, dir, append([]string{"split", bodiceFile(t), "-o", "out"}, c.args...)...)
			o := provedPlan(t, filepath.Join(dir, "out"))
			var ordinary, whole int
			for _, p := range o.Parts {
				ordinary += len(p.Darts)
				whole += len(p.FishEyes)
			}
			require.Equal(t, []int{c.taken, c.divided, c.ordinary, c.whole}, []int{o.DartsTakenIn, len(o.Divided), ordinary, whole}, "taken in, divided, ordinary, whole")
			drawing, err := os.ReadFile(filepath.Join(dir, "out", "option-1", "pieces.svg"))
			require.NoError(t, err)
			require.Equal(t, c.drawnT, strings.Count(string(drawing), `class="dart"`))
			found(t, dir, "sheets", "out/option-1", "--paper", "a4")
		})
	}
}

// Of the levels that the scraps allow, a plan takes the one at which the darts
// of the front become ordinary ones.
func TestPlanDividesDartsWhereTheyAreWidest(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "pile.csv", "name,length_cm,width_cm\ncoat front,44,54\ncoat back,42,54\nsleeve,64,30\nsleeve two,64,30\n")
	found(t, dir, "plan", bodiceFile(t), "pile.csv", "-o", "out", "--max-seams", "1", "--options", "1")
	o := provedPlan(t, filepath.Join(dir, "out"))
	require.Equal(t, 1, o.Seams)
	require.Len(t, o.Divided, 2)
	for _, d := range o.Divided {
		require.Len(t, d.Halves[0], 3)
		require.Len(t, d.Halves[1], 3)
	}
	require.Contains(t, o.Cost, plan.Term{Name: "darts divided", Detail: "seam A divides 2 with two points where they are widest", Points: -2})
}

func TestDartsWithTwoPointsRefused(t *testing.T) {
	for name, c := range map[string]struct{ dart, says string }{
		"across the outline": {`<path class="dart" d="M 100,200 L 110,250 L 100,300 L 90,250 Z"/>`, "not wholly inside the outline"},
		"crossing itself":    {`<polygon id="dart-waist" points="100,50 110,120 90,120 100,200"/>`, "crosses itself"},
		"without width":      {`<polygon class="dart" points="100,50 100.1,120 100,200 99.9,120"/>`, "no width"},
		"of five corners":    {`<polygon class="dart" points="100,50 110,100 110,120 100,200 90,120"/>`, "5 corners"},
		"over another":       {`<polygon id="first" class="dart" points="100,50 110,120 100,200 90,120"/><polygon class="dart" points="105,50 115,120 105,200 95,120"/>`, "two darts overlap"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "flag.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g id="flag">`+
				`<path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 20,50 V 200"/>`+c.dart+`</g></svg>`)
			refused(t, dir, []string{"split", "flag.svg", "--piece", "flag", "--yoke", "100mm", "-o", "out"}, "flag.svg", `"flag"`, c.says, "; ")
		})
	}
}
