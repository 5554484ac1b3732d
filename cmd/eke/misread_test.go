package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is almost a fact or a mark is noted by every command that reads it, with
// what was probably meant; and so is what was taken for granted.
func TestAlmostReadIsNoted(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="1000" data-name="Layer 1"><desc>whish: mix kinds</desc>
<g id="flag" data-fabrik="navy" data-cuts="2"><path class="seam" d="M 0,0 H 756 V 1058 H 0 Z"/><path class="gain" d="M 50,40 V 80"/><path class="grain" d="M 50,40 V 80"/></g></svg>`)
	write(t, dir, "pile.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
<g id="linen"><path class="outline" d="M0 0H400V400H0Z"/><path class="stain" d="M380 380H390V390H380Z"/></g></svg>`)
	read := []string{
		"note: flag.svg: the page's size is in px",
		`note: flag.svg: "whish" of svg on line 1 is not read; write wish: mix kinds`,
		`note: flag: "data-fabrik" of g "flag" is not read; write data-fabric`,
		`note: flag: "data-cuts" of g "flag" is not read; write data-cut`,
		`note: flag: path on line 2, "gain", is not read as a mark; name it grain if it is one`,
	}
	write(t, dir, "pile.csv", "name,length_cm,width_cm,napp,shelf,Colors,note 2,face (one/both)\ncotton,20,10,yes,3,red,old,both\n")
	scraps := []string{
		`note: pile.csv: the column "napp" is not read; name it nap`,
		`note: pile.csv: the column "colors" is not read; name it color`,
		`note: pile.csv: the column "note 2" is not read; name it note`,
		`note: pile.csv: the column "face (one/both)" is not read; name it face`,
		`note: linen: path on line 2, "stain", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`,
		"note: pile.svg: no grainline on linen: the grain is taken as vertical",
	}
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"plan", "flag.svg", "pile.svg", "pile.csv", "-o", "out"}, append(read, scraps...)},
		{[]string{"fit", "flag.svg", "pile.svg", "pile.csv"}, append(read, scraps...)},
		{[]string{"split", "flag.svg", "--piece", "flag", "--yoke", "100mm", "-o", "half"}, read},
		{[]string{"sheets", "flag.svg", "-o", "flag.pdf"}, read},
	} {
		said := oneRow(found(t, dir, c.args...).stdout)
		for _, w := range c.want {
			require.Equal(t, 1, strings.Count(said, w), "%s: %s\n%s", c.args, w, said)
		}
		require.NotContains(t, said, "data-name")
		require.NotContains(t, said, "shelf")
	}
	report, err := os.ReadFile(filepath.Join(dir, "out", "report.html"))
	require.NoError(t, err)
	require.Contains(t, string(report), "no grainline on linen")
}

// Of a flag that takes one value two are refused; those that gather are given
// as often as needed.
func TestFlagsGivenTwice(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	for _, args := range []string{
		"split flag.svg --piece flag --piece flag --centre",
		"split flag.svg --piece flag --centre -o a --output b",
		"plan flag.svg --scrap linen:1x1m --max-seams 1 --max-seams 1",
		"plan flag.svg --scrap linen:1x1m --time 5s --time 6s",
		"plan flag.svg --scrap linen:1x1m --gap 3mm --gap=4mm",
		"plan flag.svg --scrap linen:1x1m --seed 1 --seed 2",
		"plan flag.svg --scrap linen:1x1m --sort seams --sort length",
		"fit flag.svg --scrap linen:1x1m --units cm --units in",
		"fit flag.svg --scrap linen:1x1m --grain-tolerance 1deg --grain-tolerance 2deg",
		"sheets flag.svg --paper a4 --paper a3",
	} {
		refused(t, dir, strings.Fields(args), "it is given twice; give it once")
	}
	found(t, dir, strings.Fields("plan flag.svg --scrap linen:1x1m --scrap wool:1x1m --seams yoke --seams panel,corner -q -q")...)
	r := found(t, dir, strings.Fields("split flag.svg --piece flag --yoke 100mm --yoke 200mm --panel 10mm --panel -20mm")...)
	require.Contains(t, r.stdout, "flag")
}

func TestFlagsAlmostKnown(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	for args, meant := range map[string]string{
		"plan flag.svg --max-seam 3":        "--max-seams",
		"plan flag.svg --Max-Seams 3":       "--max-seams",
		"plan flag.svg --tolerance 3deg":    "--grain-tolerance",
		"plan flag.svg --out x":             "--output",
		"plan flag.svg --alowance=3mm":      "--allowance",
		"fit flag.svg --scraps linen:1x1m":  "--scrap",
		"split flag.svg --center":           "--centre",
		"split flag.svg --curved-yok 100mm": "--curved-yoke",
		"sheets flag.svg --papper a4":       "--paper",
	} {
		refused(t, dir, strings.Fields(args), "unknown flag: --", "did you mean "+meant+"?")
	}
	refused(t, dir, strings.Fields("plan flag.svg --colour red"), "unknown flag: --colour; see eke plan --help")
}
