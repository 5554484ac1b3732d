package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The flag is 220 by 300 mm with its allowance. Of cloth that shrinks by 5 %
// that takes 231.6 by 315.8 mm.
func TestShrink(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	pile := func(cm string) {
		write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm,shrink\nsheet,linen,"+cm+",5%\nrag,wool,10,10,\n")
	}
	pile("31.5,23.1")
	r := eke(t, dir, "plan", "flag.svg", "pile.csv", "--max-seams", "0")
	require.Equal(t, 3, r.code)
	pile("31.7,23.2")
	r = found(t, dir, "plan", "flag.svg", "pile.csv", "-o", "out", "--options", "1")
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "note: not washed yet, and smaller once they are: sheet by 5 %; parts are placed on what there will be")
	verified(t, filepath.Join(dir, "out"))
	d := planIn(t, filepath.Join(dir, "out"))
	require.Equal(t, 5.0, d.Scraps[0].Shrink)
	require.InDelta(t, 0.95*232, d.Scraps[0].Outline[2][0], 1e-3)
	require.InDelta(t, 0.95*317, d.Scraps[0].Outline[2][1], 1e-3)
	require.Zero(t, d.Scraps[1].Shrink)
	files := tree(t, filepath.Join(dir, "out"))
	require.Contains(t, files["report.html"], "<b>washed</b>: 5 % smaller than before")
	require.Contains(t, files[filepath.FromSlash("option-1/layout.svg")], "washed: 5 % smaller than before")

	// What is left of it is told as it was measured, with the fact: so the next
	// plan shrinks it as this one did.
	pile("80,60")
	found(t, dir, "plan", "flag.svg", "pile.csv", "-o", "out", "--options", "1")
	left := pileIn(t, filepath.Join(dir, "out", "option-1", "left.svg"))
	require.Equal(t, "sheet", left[0].Name)
	require.Equal(t, 5.0, left[0].Shrink)
	require.InDelta(t, 800*600-220*300/(0.95*0.95), left[0].AreaMM2(), 0.5)
	found(t, dir, "plan", "flag.svg", "out/option-1/left.svg", "-o", "next", "--options", "1")
	first, second := planIn(t, filepath.Join(dir, "out")), planIn(t, filepath.Join(dir, "next"))
	washed := second.Scraps[0]
	area := 0.0
	for i, a := range washed.Outline {
		b := washed.Outline[(i+1)%len(washed.Outline)]
		area += (a[0]*b[1] - b[0]*a[1]) / 2
	}
	require.InDelta(t, first.Options[0].Left[0].AreaMM2, area, 0.5)

	// A fabric's shrinkage by a flag, where the scraps do not say.
	found(t, dir, "plan", "flag.svg", "pile.csv", "-o", "out", "--options", "1", "--shrink", "linen: 10%", "--shrink", "Wool: 2,5 %")
	d = planIn(t, filepath.Join(dir, "out"))
	require.Equal(t, []float64{5, 2.5}, []float64{d.Scraps[0].Shrink, d.Scraps[1].Shrink})
	var rows []any
	r = eke(t, dir, "fit", "flag.svg", "--scrap", "linen: 23 x 31 cm", "--shrink", "linen: 5%", "--json")
	require.NoError(t, json.Unmarshal([]byte(r.stdout), &rows), r.stderr)
	require.Len(t, rows, 1)
	require.Equal(t, false, rows[0].(map[string]any)["fits"])

	pile("80,60")
	for flag, says := range map[string]string{
		"silk: 5%":   `no scrap is of the fabric "silk"; there are linen`,
		"linen 5%":   "it has no fabric and colon before the percentage",
		"linen: 5":   "it is not in percent",
		"linen: -5%": "it is less than nothing",
		"linen: 99%": "it is more than 30 %",
		"linen: x%":  `"x" is not a number`,
		"linen:":     "it is not in percent",
	} {
		refused(t, dir, []string{"plan", "flag.svg", "pile.csv", "--shrink", flag}, "--shrink", says)
	}
	write(t, dir, "pile.csv", "name,length_cm,width_cm,shrink\nsheet,80,60,much\n")
	refused(t, dir, []string{"plan", "flag.svg", "pile.csv"}, "pile.csv: row 2: shrink much: it is not in percent; write it with %, such as 5%")
	write(t, dir, "pile.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g id="sheet" data-shrink="31%"><path class="outline" d="M 0,0 H 900 V 900 H 0 Z"/><path class="grain" d="M 50,40 V 80"/></g></svg>`)
	refused(t, dir, []string{"plan", "flag.svg", "pile.svg"}, "pile.svg", "sheet", "shrink: 31%: it is more than 30 %")
}
