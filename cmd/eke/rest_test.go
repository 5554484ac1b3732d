package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestRest(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	r := found(t, dir, "rest", sample(t, "scraps.csv"), "--also", sample(t, "small.svg"))
	requireNarrow(t, r.stdout)
	said := strings.Join(strings.Fields(r.stdout), " ")
	for _, row := range []string{"navy 0.64 m² 14.0 m 38 8.8 m 62.5 × 58.0 cm 58.0 cm", "rib 0.04 m² 0.7 m 7 – 9.0 × 44.0 cm 9.0 cm", "tape: bias tape 3.5 cm wide", "pocket-bag 2 of 2", "scrunchie 1 of 1", "patch 2 of 2", "binding 1 of 1"} {
		require.Contains(t, said, row)
	}
	requireNarrow(t, found(t, dir, "rest", sample(t, "scraps.svg"), "--units", "in", "--bias", "2in").stdout)

	// A pile that has room for some of them.
	r = found(t, dir, "rest", "--scrap", "navy: 52 x 12 cm", "--also", sample(t, "small.svg"), "--json")
	var answer restAnswer
	require.NoError(t, json.Unmarshal([]byte(r.stdout), &answer))
	require.Equal(t, 35.0, answer.WidthMM)
	require.Len(t, answer.Fabrics, 1)
	g := answer.Fabrics[0]
	require.Equal(t, []any{"navy", 520.0 * 120, g.Strips - 1, [2]float64{120, 520}, 120.0}, []any{g.Fabric, g.AreaMM2, g.Joins, g.RectangleMM, g.SquareMM})
	require.Less(t, g.TapeMM, g.AreaMM2/35)
	fits := map[string]int{}
	for _, p := range answer.Pieces {
		fits[p.Piece] = p.Fits
	}
	require.Equal(t, map[string]int{"pocket-bag": 0, "scrunchie": 1, "patch": 0, "binding": 0}, fits, "12 cm are less than a patch is long, and it goes along the grain")

	// A piece that no scrap may be cut for is told apart from one that finds no room.
	write(t, dir, "wool.svg", sides("", `data-fabric="wool or tweed"`))
	said = oneRow(found(t, dir, "rest", "--scrap", "navy: 52 x 52 cm", "--also", "wool.svg").stdout)
	require.Contains(t, said, "note: no scrap may be cut for front, whatever its size: asked for is wool or tweed, and there is navy")
	require.Contains(t, said, "front 0 of 1 back 1 of 1")
	require.NotContains(t, oneRow(found(t, dir, "rest", "--scrap", "tweed: 5 x 5 cm", "--also", "wool.svg").stdout), "no scrap may be cut")

	refused(t, dir, []string{"rest"}, "there are no scraps")
	refused(t, dir, []string{"rest", "--scrap", "navy: 52 x 12 cm", "--bias", "1mm"}, "--bias 1mm: give 10mm to 200mm")
	refused(t, dir, []string{"rest", "--scrap", "navy: 52 x 12 cm", "--also", "none.svg"}, "none.svg: there is no such file")
	refused(t, dir, []string{"rest", "--scrap", "navy: 52 x 12 cm", "--time", "0s"}, "--time 0s")
}

// The report of a plan says what the rest gives, and rest says the same of what
// the plan left.
func TestWhatThePlanLeavesStillGives(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, "plan", "-q", "flag.svg", "--scrap", "linen: 60 x 80 cm", "--scrap", "wool: 40 x 40 cm", "-o", "out", "--options", "1")
	d := planIn(t, dir+"/out")
	var answer restAnswer
	require.NoError(t, json.Unmarshal([]byte(found(t, dir, "rest", "out/option-1/left.svg", "--json").stdout), &answer))
	require.Len(t, answer.Fabrics, 2)
	for i, g := range answer.Fabrics {
		w := d.Options[0].Gives[i]
		require.Equal(t, []any{w.Fabric, w.Strips}, []any{g.Fabric, g.Strips})
		require.InDelta(t, w.TapeMM, g.TapeMM, 0.1)
		require.InDelta(t, w.RectangleMM[0]*w.RectangleMM[1], g.RectangleMM[0]*g.RectangleMM[1], 100)
		require.InDelta(t, w.SquareMM, g.SquareMM, 0.1)
	}
	require.Contains(t, tree(t, dir+"/out")["report.html"], "What the rest still gives")
}

// In inches the table has its longest words, and none of its lengths is broken in two.
func TestRestInInchesBreaksNoLength(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm\na,heavy wool coating,62.5,58\nb,\"linen, washed and dyed\",72.2,46.4\n")
	out := found(t, dir, "rest", "pile.csv", "--bias", "35mm", "--units", "in", "--time", "1s").stdout
	requireNarrow(t, out)
	require.Regexp(t, `\d+ \d+/16 × \d+ \d+/16 in  `, out)
	require.NotRegexp(t, `(?m)( \d+|/|×)$|^ *(\d|/|× |in$)`, strings.Split(out, "tape:")[0])
}
