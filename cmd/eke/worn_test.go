package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"eke/svg/draw"

	"github.com/stretchr/testify/require"
)

// Copies and parts are named as worn, in plan.json, in the files and in the
// report, and go by these names on the command line.
func TestNamesAsWorn(t *testing.T) {
	dir := t.TempDir()
	r := found(t, dir, "split", sample(t, "cardigan.svg"), "--piece", "front", "--panel", "120mm", "--yoke", "30cm", "-v", "-o", "out")
	files := tree(t, filepath.Join(dir, "out"))
	want := []string{
		"front-left-upper-inner", "front-left-upper-outer", "front-left-lower-inner", "front-left-lower-outer",
		"front-right-upper-inner", "front-right-upper-outer", "front-right-lower-inner", "front-right-lower-outer",
	}
	var d struct {
		Pieces []struct {
			Name, Side string
			Copy       int
		}
		Options []struct {
			Parts []struct{ Name, Piece string }
			Seams []struct{ Name string } `json:"piecing_seams"`
			Order []string                `json:"sewing_order"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(files["plan.json"]), &d))
	require.Equal(t, "left", d.Pieces[0].Side)
	require.Equal(t, "right", d.Pieces[1].Side)
	require.Equal(t, 2, d.Pieces[1].Copy)
	var names []string
	for _, p := range d.Options[0].Parts {
		names = append(names, p.Name)
		require.Contains(t, files, filepath.Join("option-1", p.Name+".svg"))
		require.Contains(t, r.stdout, p.Name)
		require.Contains(t, files["report.html"], p.Name)
	}
	require.ElementsMatch(t, want, names)
	require.Contains(t, files["report.html"], "front (left)")
	for i, s := range d.Options[0].Seams {
		require.Equal(t, string(rune('A'+i)), s.Name)
		require.True(t, strings.HasPrefix(d.Options[0].Order[i], "Sew "+s.Name+", "), d.Options[0].Order[i])
	}
	found(t, dir, "sheets", "out/option-1/front-left-upper-inner.svg", "-o", "one.pdf")
	found(t, dir, "sheets", "out/option-1", "front-right-lower-outer", "-o", "two.pdf")
}

// The fact says what names do not.
func TestSideFact(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-cut="2" data-mirrored="yes" data-side="left"`))
	r := found(t, dir, "plan", "flag.svg", "--scrap", "linen: 100 x 100 cm", "-v", "-o", "out")
	require.Less(t, strings.Index(r.stdout, "flag-left"), strings.Index(r.stdout, "flag-right"))
	require.FileExists(t, filepath.Join(dir, "out", "option-1", "flag-left.svg"))
	write(t, dir, "flag.svg", shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-side="leftish"`))
	refused(t, dir, []string{"plan", "flag.svg", "--scrap", "linen: 100 x 100 cm"}, "flag.svg", "leftish", "side: left")
}

// Every mark of a notch on a part, and on all parts together, starts on the
// cutting line, and its snip ends well short of the seam line.
func TestMarksCanBeSnipped(t *testing.T) {
	dir := t.TempDir()
	found(t, dir, "split", sample(t, "blouse.svg"), "--piece", "back", "--yoke", "12cm", "-o", "out")
	line := regexp.MustCompile(`<path d="([^"]*)" class="([a-z]+)[ "]`)
	files, err := filepath.Glob(filepath.Join(dir, "out", "option-1", "back-*.svg"))
	require.NoError(t, err)
	require.Len(t, files, 2)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		drawn := map[string][]string{}
		for _, m := range line.FindAllStringSubmatch(string(text), -1) {
			drawn[m[2]] = append(drawn[m[2]], m[1])
		}
		require.Len(t, drawn["outer"], 1)
		require.Len(t, drawn["seam"], 1)
		require.NotEmpty(t, drawn["snip"], file)
		cut, err := draw.ParsePath(drawn["outer"][0])
		require.NoError(t, err)
		seam, err := draw.ParsePath(drawn["seam"][0])
		require.NoError(t, err)
		for _, d := range drawn["snip"] {
			mark, err := draw.ParsePath(d)
			require.NoError(t, err)
			_, off := cut.Nearest(mark.Start())
			require.Less(t, off, 0.05)
			_, deep := seam.Nearest(mark.Start())
			_, left := seam.Nearest(mark.End())
			require.Greater(t, mark.Length(), 2.0)
			require.Less(t, mark.Length(), deep/2)
			require.Greater(t, left, deep/2)
		}
	}
}
