package main

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Darts are sewn before the seams, and a seam that takes one in says so.
func TestSewingOrderHasDarts(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		args        []string
		first, seam string
	}{
		"none taken in": {[]string{"--yoke", "100mm"}, "Sew the darts first", ""},
		"taken in":      {[]string{"--yoke", "246mm", "--dart-reach", "20mm"}, "Sew ", "It takes in 2 darts (waist), which are closed in the paper: the seam's edges are bent there"},
	} {
		dir := t.TempDir()
		found(t, dir, append([]string{"split", sample(t, "blouse.svg"), "--piece", "back", "-o", "out"}, c.args...)...)
		order := planIn(t, filepath.Join(dir, "out")).Options[0].SewingOrder
		require.True(t, strings.HasPrefix(order[0], c.first), "%s: %q", name, order)
		require.Contains(t, strings.Join(order, " "), c.seam, name)
		require.Equal(t, c.seam == "", strings.Contains(strings.Join(order, " "), "2 of back"), "%s: %q", name, order)
	}
	// A seam that runs down a dart follows its legs.
	down := t.TempDir()
	found(t, down, "split", sample(t, "blouse.svg"), "--piece", "front", "--panel", "100mm", "--dart-reach", "20mm", "-o", "out")
	require.Contains(t, strings.Join(planIn(t, filepath.Join(down, "out")).Options[0].SewingOrder, " "), "It takes in a dart (waist): its legs are the seam's edges there")
	// A plan without a seam has its darts in it too.
	dir := t.TempDir()
	found(t, dir, "plan", sample(t, "blouse.svg"), "--scrap", "lawn: 300 x 300 cm", "-o", "out", "--time", "60s")
	o := planIn(t, filepath.Join(dir, "out")).Options[0]
	require.Zero(t, o.Seams)
	require.Contains(t, o.SewingOrder[0], "2 of front-left (side, waist); 2 of front-right (side, waist)")
	require.Contains(t, o.SewingOrder[0], "2 of back")
}

// A panel seam is counted from the centre of the garment.
func TestPanelFromCentre(t *testing.T) {
	at := func(args ...string) (x []float64) {
		dir := t.TempDir()
		found(t, dir, append([]string{"split", "-o", "out"}, args...)...)
		d := planIn(t, filepath.Join(dir, "out"))
		for i, s := range d.Options[0].PiecingSeams {
			least := math.Inf(1)
			for _, q := range d.Pieces[i].SeamLine {
				least = math.Min(least, q[0])
			}
			x = append(x, s.Line[0][0]-least)
		}
		return x
	}
	// The cardigan's centre front is the left edge of its front, and the
	// right one of the other front.
	cardigan := sample(t, "cardigan.svg")
	front := at(cardigan, "--piece", "front", "--panel", "60mm")
	require.Len(t, front, 2)
	require.InDelta(t, 60, front[0], 1e-4)
	require.Equal(t, front, at(cardigan, "--piece", "front", "--panel", "-60mm"), "there is one side only")
	// The t-shirt's front is on a fold, so 0 is its middle.
	fold := at(sample(t, "tshirt.svg"), "--piece", "front", "--panel", "60mm")
	left := at(sample(t, "tshirt.svg"), "--piece", "front", "--panel", "-60mm")
	centre := at(sample(t, "tshirt.svg"), "--piece", "front", "--centre")
	require.InDelta(t, centre[0]+60, fold[0], 1e-6)
	require.InDelta(t, centre[0]-60, left[0], 1e-6)
	help := strings.Join(strings.Fields(found(t, t.TempDir(), "split", "--help").stdout), " ")
	require.Contains(t, help, "from the centre front or back")
}

// Sizes are length by width, of pieces and of scraps, in fractions of an inch.
func TestSizes(t *testing.T) {
	r := found(t, t.TempDir(), "fit", sample(t, "tshirt.svg"), "--scrap", "navy jersey: 42 x 60 cm", "--units", "in")
	require.Contains(t, r.stdout, "length × width")
	require.Contains(t, r.stdout, "length is along the grain, width across it")
	require.Regexp(t, `front +2[0-9]( [0-9]+/[0-9]+)? × [0-9 /]+ in`, r.stdout)
	require.NotRegexp(t, `[0-9]\.[0-9]+ in`, r.stdout)
}
