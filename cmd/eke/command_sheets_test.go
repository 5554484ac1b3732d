package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"eke/cmd/job"

	"eke/allowance"
	"eke/piece/curve"
	"eke/svg/draw"

	"github.com/stretchr/testify/require"
)

// page is the size in mm of a PDF's pages, which all are alike, and how many
// there are.
func page(t *testing.T, path string) (widthMM, heightMM float64, pages int) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "%PDF-", string(data[:5]))
	boxes := regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`).FindAllSubmatch(data, -1)
	require.NotEmpty(t, boxes)
	size := func(b []byte) float64 {
		points, err := strconv.ParseFloat(string(b), 64)
		require.NoError(t, err)
		return points / 72 * 25.4 // a point is 1/72 inch (ISO 32000-1, 8.3.2.3, from memory)
	}
	pages = len(regexp.MustCompile(`/Type /Page\b[^s]`).FindAll(data, -1))
	return size(boxes[0][1]), size(boxes[0][2]), pages
}

func TestSheets(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	plan := []string{"plan", "flag.svg", "--scrap", "linen 1: 22.5 x 17 cm", "--scrap", "linen 2: 22.5 x 17 cm", "-o", "out"}
	found(t, dir, plan...)

	// ISO 216 and ANSI/ASME Y14.1, in mm.
	sizes := map[string][2]float64{
		"a4": {210, 297}, "a3": {297, 420}, "a0": {841, 1189}, "letter": {215.9, 279.4}, "legal": {215.9, 355.6}, "tabloid": {279.4, 431.8},
	}
	for paper, size := range sizes {
		r := found(t, dir, "sheets", "out/option-1", "--paper", paper)
		path := filepath.Join("out", "option-1", "parts-"+paper+".pdf")
		require.Contains(t, r.stdout, path+": ")
		require.Contains(t, r.stdout, "print at 100 %")
		w, h, n := page(t, filepath.Join(dir, path))
		require.InDelta(t, size[0], min(w, h), 0.05, paper)
		require.InDelta(t, size[1], max(w, h), 0.05, paper)
		require.Contains(t, r.stdout, fmt.Sprintf("%d pages of %s, ", n, paper))
	}
	found(t, dir, "sheets", "out/option-1", "--paper", "914mm")
	w, h, _ := page(t, filepath.Join(dir, "out", "option-1", "parts-914mm.pdf"))
	require.True(t, max(w, h) > 913.9 && (w < 914.1 || h < 914.1), "%g by %g", w, h)

	// A part by its name or its file, and the layout by its flag or its file.
	found(t, dir, "sheets", "out/option-1", "flag-upper")
	byName, err := os.ReadFile(filepath.Join(dir, "out", "option-1", "flag-upper-a4.pdf"))
	require.NoError(t, err)
	found(t, dir, "sheets", "out/option-1/flag-upper.svg", "-o", "upper.pdf")
	byFile, err := os.ReadFile(filepath.Join(dir, "upper.pdf"))
	require.NoError(t, err)
	require.True(t, string(byName) == string(byFile))
	found(t, dir, "sheets", "out/option-1", "--layout", "-o", "layout.pdf")
	found(t, dir, "sheets", "out/option-1/layout.svg", "-o", "layout.pdf")
	found(t, dir, "sheets", "out/option-1/pieces.svg", "-o", "parts.pdf")
	require.Equal(t, []string{"flag.svg", "layout.pdf", "out", "parts.pdf", "upper.pdf"}, listed(t, dir))

	// From inside the option's folder, too.
	found(t, filepath.Join(dir, "out", "option-1"), "sheets", ".", "--paper", "a2")
	require.Contains(t, tree(t, dir), filepath.Join("out", "option-1", "parts-a2.pdf"))

	// A new plan replaces the sheets of the old one, and is not kept from it.
	found(t, dir, plan...)
	require.NotContains(t, tree(t, dir), filepath.Join("out", "option-1", "parts-a4.pdf"))
}

// Mirror images are printed once unless each is asked for, and a roll has no
// page but that of the parts.
func TestSheetsOfMirrorImages(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	found(t, dir, "plan", sample(t, "raglan-child.svg"), sample(t, "scraps.csv"), "-o", "out", "--options", "1", "--max-seams", "0")
	once := found(t, dir, "sheets", "out/option-1")
	_, _, fewer := page(t, filepath.Join(dir, "out", "option-1", "parts-a4.pdf"))
	found(t, dir, "sheets", "out/option-1", "--each")
	_, _, all := page(t, filepath.Join(dir, "out", "option-1", "each-a4.pdf"))
	require.Less(t, fewer, all)
	require.Contains(t, once.stdout, fmt.Sprintf("%d pages of a4, ", fewer))
	require.Contains(t, found(t, dir, "sheets", "out/option-1", "--paper", "914mm").stdout, ": 1 page of roll of 914mm")
	for _, args := range [][]string{{"out/option-1", "--each", "--layout"}, {"out/option-1", "back", "--each"}, {sample(t, "tshirt.svg"), "--each"}} {
		refused(t, dir, append([]string{"sheets"}, args...), "--each")
	}
}

func TestSheetsFlags(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	pages := func(args ...string) int {
		found(t, dir, append([]string{"sheets", sample(t, "tshirt.svg"), "-o", "out.pdf"}, args...)...)
		_, _, n := page(t, filepath.Join(dir, "out.pdf"))
		return n
	}
	plain := pages()
	require.Greater(t, plain, 10)
	require.Greater(t, pages("--margin", "30mm"), plain)
	require.Greater(t, pages("--overlap", "60mm"), plain)
	require.Less(t, pages("--paper", "a3"), plain)
	require.Empty(t, found(t, dir, "sheets", sample(t, "tshirt.svg"), "neckband", "-o", "out.pdf", "--quiet").stdout)
	require.Less(t, pages("neckband"), 6)
}

// A pattern's sheets go where one is.
func TestSheetsOfAPattern(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, name := range []string{"tshirt", "raglan-child", "blouse"} {
		r := found(t, dir, "sheets", sample(t, name+".svg"), "--paper", "letter")
		require.Contains(t, r.stdout, name+"-letter.pdf: ")
		requireNarrow(t, r.stdout)
	}
	require.Equal(t, []string{"blouse-letter.pdf", "raglan-child-letter.pdf", "tshirt-letter.pdf"}, listed(t, dir))
}

// The curves of a pattern are printed as curves, where the shears are to go
// as well as where it is sewn.
func TestSheetsOfAPatternKeepItsCurves(t *testing.T) {
	curved := func(p curve.Path) (n int) {
		for _, s := range p {
			if s.Curved {
				n++
			}
		}
		return n
	}
	for _, name := range []string{"tshirt", "raglan-child", "blouse", "cardigan"} {
		path := sample(t, name+".svg")
		pieces, err := job.Pattern(path)
		require.NoError(t, err)
		p, err := job.Pages{Paper: "a4"}.Open(path, nil)
		require.NoError(t, err)
		require.Len(t, p.Shapes, len(pieces))
		for i, whole := range pieces {
			// The cutting line as the search places it, its curves flattened.
			ring, err := allowance.CutLineWith(whole.Outline, allowance.Corners{Darts: whole.Darts})
			require.NoError(t, err)
			for _, l := range p.Shapes[i].Lines {
				if l.Stroke != draw.Cutting {
					continue
				}
				if curved(whole.Outline.Path()) > 0 {
					require.Positive(t, curved(l.Path), "%s of %s", whole.Name, name)
				}
				require.Less(t, len(l.Path), len(ring)+1, "%s of %s", whole.Name, name)
				for _, q := range ring {
					_, away := l.Path.Nearest(q)
					require.Less(t, away, 0.1, "%s of %s at %v", whole.Name, name, q)
				}
			}
		}
	}
}

// The split of a piece prints like a plan.
func TestSheetsOfASplit(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, splitArgs("100mm")...)
	found(t, dir, "sheets", "out/option-1")
	found(t, dir, "sheets", "out/option-1", "--layout")
	require.Contains(t, tree(t, dir), filepath.Join("out", "option-1", "layout-a4.pdf"))
}

// A plan.json may have been through other hands; what is not right is not
// printed.
func TestSheetsOfABrokenPlan(t *testing.T) {
	for name, c := range map[string]struct{ from, to, word string }{
		"not JSON":          {`{`, `<`, "cannot be read"},
		"another format":    {`eke-plan/1`, `eke-plan/9`, "eke-plan/9"},
		"another number":    {`"seams": 1`, `"seams": 2`, "not right"},
		"a moved cut line":  {`"cut_line": [`, `"cut_line": [[9,9],`, "not right"},
		"a part of no name": {`"name": "flag-upper"`, `"name": ""`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "flag.svg", flag)
			found(t, dir, splitArgs("100mm")...)
			path := filepath.Join(dir, "out", "plan.json")
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			at := regexp.MustCompile(regexp.QuoteMeta(c.from)).FindIndex(data)
			require.NotNil(t, at)
			write(t, dir, "out/plan.json", string(data[:at[0]])+c.to+string(data[at[1]:]))
			refused(t, dir, []string{"sheets", "out/option-1", "-o", "out.pdf"}, c.word)
		})
	}
}
