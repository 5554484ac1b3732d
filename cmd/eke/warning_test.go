package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// unequal is a bodice with a dart whose legs are 112.1 mm and 108.5 mm long,
// and a sleeve whose cap is 104 mm longer than the armhole it is sewn to.
func unequal(t *testing.T, ease string) (dir string) {
	dir = t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "bodice.svg"), []byte(fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="600mm" viewBox="0 0 1000 600">
<g id="front"><path class="seam" d="M 200,0 V 300 H 0 V 0 Z"/><path class="grain" d="M 100,50 V 250"/>
 <path class="edge armhole" d="M 0,0 H 200"/><path class="edge side" data-joins="back/side" d="M 0,0 V 300"/>
 <path class="dart" d="M 0,90 L 108,100 L 0,130"/></g>
<g id="back"><path class="seam" d="M 500,0 V 260 H 300 V 0 Z"/><path class="grain" d="M 400,50 V 250"/><path class="edge side" d="M 300,0 V 260"/></g>
<g id="sleeve"><path class="seam" d="M 600,0 H 904 V 200 H 600 Z"/><path class="grain" d="M 700,50 V 150"/>
 <path class="edge cap" data-joins="front/armhole" %s d="M 600,0 H 904"/></g>
</svg>`, ease)), 0o644))
	return dir
}

func TestWarnings(t *testing.T) {
	t.Parallel()
	const (
		join = "warning: sleeve/cap, 304 mm long, is sewn to front/armhole, 200 mm long: 104 mm (52 %) more"
		dart = "warning: front: the legs of a dart that opens on side are 112.1 mm and 108.5 mm long"
	)
	dir := unequal(t, "")
	words := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	cloth := "linen: 120 x 120 cm"
	for _, args := range [][]string{
		{"plan", "bodice.svg", "--scrap", cloth, "-o", "out", "--time", "60s"},
		{"plan", "bodice.svg", "--scrap", cloth, "--time", "60s", "--quiet"},
		{"split", "bodice.svg", "--piece", "front", "--yoke", "50mm", "-o", "halves"},
		{"fit", "bodice.svg", "--scrap", cloth},
		{"sheets", "bodice.svg", "-o", "bodice.pdf"},
		{"sheets", "out/option-1"},
	} {
		r := found(t, dir, args...)
		require.Contains(t, words(r.stdout), join, args)
		require.Contains(t, words(r.stdout), dart, args)
		require.Empty(t, r.stderr, args)
	}
	r := eke(t, dir, "fit", "bodice.svg", "--scrap", cloth, "--json")
	require.Zero(t, r.code)
	require.True(t, strings.HasPrefix(r.stdout, "["))
	require.Contains(t, words(r.stderr), join)
	r = found(t, dir, "fit", "bodice.svg", "--scrap", cloth, "--units", "in")
	require.Contains(t, words(r.stdout), "304 mm (11 15/16 in) long")
	for _, out := range []string{"out", "halves"} {
		d := planIn(t, filepath.Join(dir, out))
		require.Len(t, d.Warnings, 2)
		page, err := os.ReadFile(filepath.Join(dir, out, "report.html"))
		require.NoError(t, err)
		at := strings.Index(string(page), d.Warnings[0])
		require.Positive(t, at)
		require.Less(t, at, strings.Index(string(page), "<main"), "at the top")
	}
	d := planIn(t, filepath.Join(dir, "out"))
	leg := func(k int) float64 {
		q := d.Pieces[0].Darts[0]
		return math.Hypot(q[1][0]-q[k][0], q[1][1]-q[k][1])
	}
	require.InDelta(t, leg(0), leg(2), 1e-3)
	require.InDelta(t, 112.1, leg(0), 0.05)

	for _, ease := range []string{`data-ease="104mm"`, `data-ease="60%"`, `data-ease="4 1/8 in"`} {
		r := found(t, unequal(t, ease), "fit", "bodice.svg", "--scrap", cloth)
		require.NotContains(t, r.stdout, "sleeve/cap", ease)
	}
	require.Contains(t, found(t, unequal(t, `data-ease="2mm"`), "fit", "bodice.svg", "--scrap", cloth).stdout, "sleeve/cap")
	for ease, cure := range map[string]string{"lots": "60mm", "-5mm": "not negative", "60": "no unit", "x%": "not a number", "NaN%": "not negative", "9000mm": "check its unit"} {
		r := eke(t, unequal(t, fmt.Sprintf("data-ease=%q", ease)), "fit", "bodice.svg", "--scrap", cloth)
		require.Equal(t, 2, r.code, ease)
		require.Contains(t, r.stderr, cure)
		require.Contains(t, r.stderr, "sleeve")
	}
	require.Contains(t, found(t, unequal(t, `data-eaze="104mm"`), "plan", "bodice.svg", "--scrap", cloth, "--time", "60s").stdout, "write data-ease")
}

// The samples are drawn so that they can be sewn.
func TestSamplesHaveNoWarnings(t *testing.T) {
	for _, name := range []string{"tshirt.svg", "blouse.svg", "cardigan.svg", "raglan-child.svg"} {
		r := found(t, t.TempDir(), "fit", sample(t, name), "--scrap", "a: 20 x 20 cm", "--units", "cm")
		require.NotContains(t, r.stdout, "warning", name)
	}
}
