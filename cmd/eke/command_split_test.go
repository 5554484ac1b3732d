package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The front of the t-shirt is 516 mm wide and 640 mm long along its seam
// line, its centre at x = 30 on the sheet, its top at y = 40.
func TestSplitByHand(t *testing.T) {
	t.Parallel()
	const top, centre = 40.0, 30.0
	across := func(level float64) func(*testing.T, ring) {
		return func(t *testing.T, line ring) {
			for _, q := range line {
				require.InDelta(t, top+level, q[1], 0.01)
			}
		}
	}
	down := func(level float64) func(*testing.T, ring) {
		return func(t *testing.T, line ring) {
			for _, q := range line {
				require.InDelta(t, centre+level, q[0], 0.01)
			}
		}
	}
	for name, c := range map[string]struct {
		args  []string
		parts []string
		kinds []string
		first func(*testing.T, ring) // where the seam of the first line runs, which is sewn last
	}{
		"yoke":   {[]string{"--yoke", "255mm"}, []string{"front-upper", "front-lower"}, []string{"yoke"}, across(255)},
		"inches": {[]string{"--yoke", "10in"}, []string{"front-upper", "front-lower"}, []string{"yoke"}, across(254)},
		"centre": {[]string{"--centre"}, []string{"front-right", "front-left"}, []string{"centre"}, down(0)},
		"panel":  {[]string{"--panel", "60mm"}, []string{"front-right", "front-left"}, []string{"panel"}, down(60)},
		"panel on the left": {[]string{"--panel", "-60mm"}, []string{"front-right", "front-left"},
			[]string{"panel"}, down(-60)},
		"level": {[]string{"--level"}, nil, []string{"drawn line"}, across(255)},
		"two yokes": {[]string{"--yoke", "255mm", "--yoke", "40cm"}, []string{"front-upper", "front-middle", "front-lower"},
			[]string{"yoke", "yoke"}, across(255)},
		"a cross": {[]string{"--yoke", "255mm", "--centre"},
			[]string{"front-upper-right", "front-upper-left", "front-lower-right", "front-lower-left"},
			[]string{"centre", "centre", "yoke"}, across(255)},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			r := found(t, dir, append([]string{"split", sample(t, "tshirt.svg"), "--piece", "front", "-o", "out"}, c.args...)...)
			w := verified(t, filepath.Join(dir, "out"))
			require.Len(t, w.Options, 1)
			o := w.Options[0]
			var parts, kinds []string
			for _, p := range o.Parts {
				parts = append(parts, p.Name)
				require.Contains(t, tree(t, dir), filepath.Join("out", "option-1", p.Name+".svg"))
			}
			for _, s := range o.Piecing {
				kinds = append(kinds, s.Kind)
			}
			require.Equal(t, c.kinds, kinds)
			require.Len(t, parts, max(len(c.parts), 2))
			if c.parts != nil {
				require.ElementsMatch(t, c.parts, parts)
			}
			c.first(t, o.Piecing[len(o.Piecing)-1].Line)
			requireNarrow(t, r.stdout)
		})
	}
}

func TestSplitMovesASeam(t *testing.T) {
	dir := t.TempDir()
	found(t, dir, "split", sample(t, "tshirt.svg"), "--piece", "front", "--move", "shoulder=30mm", "-o", "out")
	w := verified(t, filepath.Join(dir, "out"))
	o := w.Options[0]
	require.Zero(t, o.Seams)
	require.Len(t, o.Moved, 1)
	require.InDelta(t, 30, o.Moved[0].By, 1e-9)
	// The armhole and the neck lean, so the new edges are not as long as the
	// old ones were, but still as long as each other.
	require.InDelta(t, o.Moved[0].FromLength, o.Moved[0].ToLength, 0.01)
	grown := map[string]float64{}
	for _, p := range w.Pieces {
		grown[p.Name] -= p.SeamLine.area()
	}
	for _, p := range o.Parts {
		grown[p.Name] += p.SeamLine.area()
	}
	// Two shoulders of 122.4 mm, each with a strip of 30 mm.
	strips := 2 * 122.4 * 30.0
	require.InDelta(t, -strips, grown["front"], strips/5)
	require.InDelta(t, -grown["front"], grown["back"], 1)
	require.Len(t, grown, 2)
}

// A seam that moved and seams that were added go together.
func TestSplitMovesAndCuts(t *testing.T) {
	dir := t.TempDir()
	found(t, dir, "split", sample(t, "tshirt.svg"), "--piece", "front", "--move", "shoulder=30mm", "--yoke", "255mm", "-o", "out")
	o := verified(t, filepath.Join(dir, "out")).Options[0]
	require.Equal(t, 1, o.Seams)
	require.Len(t, o.Moved, 1)
	require.Len(t, o.Parts, 3)
}

// Mirrored copies are split as mirror images, and their parts are called alike.
func TestSplitOfMirroredCopies(t *testing.T) {
	dir := t.TempDir()
	found(t, dir, "split", sample(t, "tshirt.svg"), "--piece", "sleeve", "--panel", "30mm", "-o", "out")
	o := verified(t, filepath.Join(dir, "out")).Options[0]
	require.Equal(t, 2, o.Seams)
	area := map[string]float64{}
	for _, p := range o.Parts {
		area[p.Name] = p.SeamLine.area()
	}
	require.InDelta(t, area["sleeve-left-front"], area["sleeve-right-front"], 1)
	require.InDelta(t, area["sleeve-left-back"], area["sleeve-right-back"], 1)
	require.Greater(t, math.Abs(area["sleeve-left-front"]-area["sleeve-left-back"]), 100.0)
}

// Every sample takes a split of every piece that is large enough.
func TestSplitOfOtherSamples(t *testing.T) {
	t.Parallel()
	for _, c := range [][]string{
		{"raglan-child.svg", "--piece", "sleeve", "--yoke", "250mm"},
		{"raglan-child.svg", "--piece", "front", "--centre"},
		{"blouse.svg", "--piece", "back", "--yoke", "150mm"},
		{"blouse.svg", "--piece", "back", "--centre"},
	} {
		t.Run(c[0]+" "+c[2]+" "+c[3], func(t *testing.T) {
			dir := t.TempDir()
			found(t, dir, append([]string{"split", sample(t, c[0]), "-o", "out"}, c[1:]...)...)
			require.NotZero(t, verified(t, filepath.Join(dir, "out")).Options[0].Seams)
		})
	}
}

func TestSplitFlags(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	split := func(args ...string) string {
		return found(t, dir, append([]string{"split", "flag.svg", "--piece", "flag", "--yoke", "100mm"}, args...)...).stdout
	}
	// 200 and 10 mm on either side; 100 and 10 mm at the top and at the yoke.
	require.Contains(t, split(), "flag-upper  12.0 × 22.0 cm")
	require.Contains(t, split("--allowance", "15mm"), "flag-upper  12.5 × 22.0 cm")
	require.Contains(t, split("--units", "cm"), "flag-upper  12.0 × 22.0 cm")
	require.Contains(t, split("--verbose"), "seams added")
	require.Empty(t, split("--quiet"))
	require.Regexp(t, regexp.MustCompile(`^{\n "format": "eke-plan/1",`), split("--json"))
	require.Equal(t, []string{"flag.svg"}, listed(t, dir))
	split("-o", "out")
	data, err := os.ReadFile(filepath.Join(dir, "out", "plan.json"))
	require.NoError(t, err)
	require.Equal(t, string(data), split("--json"))
}

func TestSplitRefuses(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		args  []string
		words []string
	}{
		"no piece":              {[]string{"--yoke", "255mm"}, []string{"--piece", "front, back, sleeve, neckband"}},
		"no such piece":         {[]string{"--piece", "collar", "--yoke", "255mm"}, []string{`"collar"`, "front, back, sleeve, neckband"}},
		"no line":               {[]string{"--piece", "front"}, []string{"--yoke 180mm", "--move shoulder=30mm"}},
		"no unit":               {[]string{"--piece", "front", "--yoke", "180"}, []string{`--yoke 180: "180" has no unit`, "180mm"}},
		"above the piece":       {[]string{"--piece", "front", "--yoke", "-5mm"}, []string{"does not cut front in two", "640 mm long"}},
		"below the piece":       {[]string{"--piece", "front", "--yoke", "9m"}, []string{"does not cut front in two", "640 mm long"}},
		"beside the piece":      {[]string{"--piece", "front", "--panel", "400mm"}, []string{"does not cut front in two", "516 mm wide"}},
		"through the neck":      {[]string{"--piece", "front", "--yoke", "30mm"}, []string{"does not cut front in two"}},
		"no level line":         {[]string{"--piece", "back", "--level"}, []string{"back has no level line"}},
		"no such edge":          {[]string{"--piece", "front", "--move", "lapel=30mm"}, []string{`no edge "lapel"`}},
		"an edge with no join":  {[]string{"--piece", "front", "--move", "hem=30mm"}, []string{`no edge "hem" that joins`}},
		"an edge that bends":    {[]string{"--piece", "front", "--move", "armhole=30mm"}, []string{"cannot be moved", "bend"}},
		"an edge of one piece":  {[]string{"--piece", "sleeve", "--move", "underarm-front=20mm"}, []string{"sewn to its own piece"}},
		"a move of nothing":     {[]string{"--piece", "front", "--move", "shoulder=0mm"}, []string{"3 mm to 1000 mm"}},
		"a move the wrong way":  {[]string{"--piece", "front", "--move", "shoulder=-30mm"}, []string{"3 mm to 1000 mm"}},
		"a move out of reach":   {[]string{"--piece", "front", "--move", "shoulder=2m"}, []string{"3 mm to 1000 mm"}},
		"a move with no length": {[]string{"--piece", "front", "--move", "shoulder"}, []string{"shoulder=30mm"}},
		"a move too far":        {[]string{"--piece", "front", "--move", "shoulder=400mm"}, []string{"cannot be moved"}},
		"an allowance too wide": {[]string{"--piece", "front", "--centre", "--allowance", "2m"}, []string{"--allowance", "100mm"}},
	} {
		t.Run(name, func(t *testing.T) {
			refused(t, t.TempDir(), append([]string{"split", sample(t, "tshirt.svg"), "-o", "out"}, c.args...), c.words...)
		})
	}
}

// What is cut already is not cut again, and no seam to it moves.
func TestSplitLeavesWhatIsCutAlready(t *testing.T) {
	dir := t.TempDir()
	shirt, err := os.ReadFile(sample(t, "tshirt.svg"))
	require.NoError(t, err)
	write(t, dir, "shirt.svg", strings.Replace(string(shirt), `inkscape:label="back" data-cut="1"`, `inkscape:label="back" data-cut="0"`, 1))
	refused(t, dir, []string{"split", "shirt.svg", "--piece", "back", "--centre", "-o", "out"}, `"back" is cut already`)
	refused(t, dir, []string{"split", "shirt.svg", "--piece", "front", "--move", "shoulder=30mm", "-o", "out"}, "back is cut already")
	found(t, dir, "split", "shirt.svg", "--piece", "front", "--centre", "-o", "out")
}

// A mark may stand at the point of a V, where square to neither side lies open air.
func TestNotchAtTheBottomOfAV(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "v.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="700mm" viewBox="0 0 500 700"><g id="front" data-allowance="10mm">
<path class="seam" d="M 0,0 H 150 L 200,150 L 250,0 H 400 V 600 H 0 Z"/><path class="grain" d="M 60,100 V 350"/><path class="notch" d="M 200,150 V 142"/></g></svg>`)
	found(t, dir, "split", "v.svg", "--piece", "front", "--yoke", "300mm", "-o", "out")
	verified(t, filepath.Join(dir, "out"))
}

// Who plans another pattern into the same folder is told what was there.
func TestAnotherPatternsPlanIsReplaced(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	write(t, dir, "banner.svg", flag)
	require.NotContains(t, found(t, dir, splitArgs("100mm")...).stdout, "in place of")
	require.NotContains(t, found(t, dir, splitArgs("150mm")...).stdout, "in place of")
	args := splitArgs("100mm")
	args[slices.Index(args, "flag.svg")] = "banner.svg"
	require.Contains(t, found(t, dir, args...).stdout, "written to out, in place of the plan for flag.svg that was there: open out/report.html")
}
