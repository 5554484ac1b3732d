package main

import (
	"os"
	"path/filepath"
	"testing"

	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// provedPlan reads the plan that a run wrote and proves it.
func provedPlan(t *testing.T, dir string) plan.Option {
	t.Helper()
	f, err := os.Open(filepath.Join(dir, "plan.json"))
	require.NoError(t, err)
	defer f.Close()
	d, err := plan.Read(f)
	require.NoError(t, err)
	require.Empty(t, check.Document(d))
	return d.Options[0]
}

// The back of the blouse has two waist darts, their apexes 262 mm below its
// top; a yoke takes in those within its reach.
func TestSplitTakesDartsIn(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		args  []string
		taken int
	}{
		"through the apexes":    {[]string{"--yoke", "262mm"}, 2},
		"15 mm are in reach":    {[]string{"--yoke", "248mm"}, 2},
		"16 mm are not":         {[]string{"--yoke", "246mm"}, 0},
		"a longer reach":        {[]string{"--yoke", "246mm", "--dart-reach", "20mm"}, 2},
		"no reach":              {[]string{"--yoke", "262mm", "--dart-reach", "0mm"}, 0},
		"a curved yoke":         {[]string{"--curved-yoke", "258mm"}, 2},
		"a curve the other way": {[]string{"--curved-yoke", "266mm:up"}, 2},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			found(t, dir, append([]string{"split", sample(t, "blouse.svg"), "--piece", "back", "-o", "out"}, c.args...)...)
			o := provedPlan(t, filepath.Join(dir, "out"))
			require.Equal(t, c.taken, o.DartsTakenIn)
			require.Equal(t, c.taken > 0, len(o.Moved) > 0)
		})
	}
}

func TestSplitTapersAMovedSeam(t *testing.T) {
	dir := t.TempDir()
	found(t, dir, "split", sample(t, "tshirt.svg"), "--piece", "front", "--move", "shoulder=30mm:neck", "-o", "out")
	o := provedPlan(t, filepath.Join(dir, "out"))
	require.Equal(t, "neck", o.MovedSeams[0].Stays)
	// The armholes are walked with what the strip took of them.
	for _, j := range o.Joins {
		if j.A != "front/shoulder" {
			require.InDelta(t, j.DrawnAMM, j.AMM, 0.1, j.A)
			require.InDelta(t, j.DrawnBMM, j.BMM, 0.1, j.B)
		}
	}
	require.GreaterOrEqual(t, len(o.Joins), 5)
}

func TestShapesRefused(t *testing.T) {
	for name, c := range map[string]struct {
		args  []string
		words []string
	}{
		"no such way":  {[]string{"split", sample(t, "tshirt.svg"), "--piece", "front", "--curved-yoke", "255mm:left"}, []string{"neither up nor down"}},
		"too far":      {[]string{"split", sample(t, "tshirt.svg"), "--piece", "front", "--yoke", "255mm", "--dart-reach", "1m"}, []string{"--dart-reach", "100mm"}},
		"no such edge": {[]string{"split", sample(t, "tshirt.svg"), "--piece", "front", "--move", "shoulder=30mm:hem"}, []string{`"neck"`, `"armhole"`}},
	} {
		t.Run(name, func(t *testing.T) { refused(t, t.TempDir(), c.args, c.words...) })
	}
}
