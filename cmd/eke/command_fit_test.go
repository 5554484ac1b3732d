package main

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestFitOfTheSamples(t *testing.T) {
	r := found(t, t.TempDir(), "fit", sample(t, "tshirt.svg"), sample(t, "scraps.csv"))
	requireNarrow(t, r.stdout)
	// samples/README.md works these out: the front is 46.5 mm too long for the
	// longest navy, give or take how its corners are cut off.
	require.Regexp(t, `(?m)^piece     scrap         fits               short along  short across$`, r.stdout)
	require.Regexp(t, `(?m)^front     dress front   no                 46\.\d mm      –$`, r.stdout)
	require.Regexp(t, `(?m)^          tunic back    not of its fabric$`, r.stdout)
	require.Regexp(t, `(?m)^          tunic sleeve  yes$`, r.stdout)
	require.Regexp(t, `(?m)^          cuff rib      yes$`, r.stdout)
}

func TestFitFlags(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	// 220 by 300 mm are needed.
	for unit, shown := range map[string]string{
		"mm": "30.0 mm      5.0 mm", "cm": "3.0 cm       0.5 cm", "in": "1 3/16 in    1/4 in",
	} {
		r := found(t, dir, "fit", "flag.svg", "--scrap", "linen: 21.5 x 27 cm", "--units", unit)
		require.Regexp(t, `(?s)^piece  size to cut, length × width
flag   (30\.0 × 22\.0 cm|11 13/16 × 8 11/16 in)
length is along the grain, width across it

piece  scrap  fits  short along  short across
flag   linen  no    `+shown+`
$`, r.stdout)
	}
	r := found(t, dir, "fit", "flag.svg", "--scrap", "linen: 21.5 x 27 cm", "--scrap", "wool: 1 x 1 m", "--json")
	var rows []map[string]any
	require.NoError(t, json.Unmarshal([]byte(r.stdout), &rows))
	require.Len(t, rows, 2)
	require.Equal(t, false, rows[0]["fits"])
	require.InDelta(t, 30, rows[0]["along_mm"], 0.1)
	require.InDelta(t, 5, rows[0]["across_mm"], 0.1)
	require.InDelta(t, 300, rows[0]["length_mm"], 0.1)
	require.InDelta(t, 220, rows[0]["width_mm"], 0.1)
	require.Equal(t, true, rows[1]["fits"])
	require.Equal(t, true, rows[1]["allowed"])
}

// Wishes that a plan refuses are refused here, too.
func TestFitChecksWishes(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	for w, said := range map[string]string{
		"carry flga":        `eke: the wish "carry flga": there is no piece "flga"; the pieces are flag`,
		"prefer carry flga": `there is no piece "flga"`,
		"match stripes":     "no scrap says how its stripes run",
	} {
		refused(t, dir, []string{"fit", "flag.svg", "--scrap", "linen: 50 x 50 cm", "--wish", w}, said)
	}
}
