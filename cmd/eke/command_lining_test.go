package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/cmd/job"

	"eke/allowance"
	"eke/allowance/lining"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// The pattern that eke lining writes is a pattern like any other: it is read,
// planned from whatever cloth there is, and proved.
func TestLiningIsAPattern(t *testing.T) {
	t.Parallel()
	for name, cloth := range map[string]string{"cardigan": "700 x 2200 mm", "tshirt": "75 x 240 cm", "raglan-child": "60 x 160 cm", "blouse": "65 x 160 cm"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			r := found(t, dir, "lining", sample(t, name+".svg"), "-o", "lining.svg")
			require.Contains(t, r.stdout, "written to lining.svg")
			first := tree(t, dir)["lining.svg"]
			found(t, dir, "lining", sample(t, name+".svg"), "-o", "lining.svg", "-q")
			require.Equal(t, first, tree(t, dir)["lining.svg"], "and again over it")
			pieces, err := job.Pattern(filepath.Join(dir, "lining.svg"))
			require.NoError(t, err)
			for _, w := range allowance.Walk(pieces) {
				require.Less(t, math.Abs(w.DifferenceMM()), 0.1, "%v %v", w.A, w.B)
			}
			found(t, dir, "plan", "lining.svg", "--scrap", "satin: "+cloth, "-o", "out", "--options", "1", "--time", "60s")
			d := verified(t, filepath.Join(dir, "out"))
			require.Zero(t, d.Options[0].Seams)
			found(t, dir, "sheets", "lining.svg", "-q", "-o", "lining.pdf")
		})
	}
}

// One command plans the garment and its lining, each from its own cloth.
func TestLinedPlan(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	r := found(t, dir, "plan", sample(t, "cardigan.svg"), sample(t, "jumpers.svg"), sample(t, "satin.csv"), "--lining", "--options", "1", "--time", "60s", "-o", "out")
	require.Contains(t, r.stdout, "\nThe lining\n")
	require.Contains(t, r.stdout, "written to out/lining: open out/lining/report.html")
	out, inner := filepath.Join(dir, "out"), filepath.Join(dir, "out", "lining")
	garment, lined := verified(t, out), verified(t, inner)
	require.Equal(t, 2, garment.Options[0].Seams, "as without a lining")
	require.Equal(t, 1, lined.Options[0].Seams)
	for _, s := range planIn(t, out).Scraps {
		require.Empty(t, s.Use)
	}
	for _, s := range planIn(t, inner).Scraps {
		require.Equal(t, "lining", s.Use)
	}
	require.Equal(t, "lining/plan.json", planIn(t, out).Lining)
	require.Equal(t, liningStep("lining/plan.json"), lastStep(planIn(t, out)))
	require.Contains(t, lastStep(planIn(t, inner)), "Put the lining into the garment")
	require.Equal(t, "cardigan-lining.svg", planIn(t, inner).Pattern)
	files := tree(t, dir)
	require.Contains(t, files, "out/lining/cardigan-lining.svg")
	require.Contains(t, files["out/report.html"], `<a href="lining/report.html">`)
	require.NotContains(t, files["out/lining/report.html"], `href="lining/report.html"`)
	found(t, dir, "sheets", "out/lining/option-1", "-q", "-o", "lining.pdf")

	// The lining it planned is the one that eke lining makes.
	found(t, dir, "lining", sample(t, "cardigan.svg"), "-o", "alone.svg", "-q")
	require.Equal(t, tree(t, dir)["alone.svg"], files["out/lining/cardigan-lining.svg"])
}

func lastStep(d *plan.Document) string {
	order := d.Options[0].SewingOrder
	return order[len(order)-1]
}

// A lined plan over another; without the lining nothing of it is left; and where
// there is none for the lining, the garment's is there, and what the lining lacks.
func TestLinedPlanOverAnother(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "faced.svg", faced)
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,70,90,lining\n")
	write(t, dir, "bit.csv", "name,length_cm,width_cm,use\nsatin,20,20,lining\n")
	write(t, dir, "linen.csv", "name,length_cm,width_cm,fabric\none,34,24,linen\ntwo,34,24,linen\nstrip,34,8,linen\n")
	out, inner := filepath.Join(dir, "out"), filepath.Join(dir, "out", "lining")
	args := []string{"plan", "faced.svg", "linen.csv", "--max-seams", "0", "--options", "1", "--time", "6s", "-o", "out"}
	for _, more := range [][]string{{"satin.csv", "--lining"}, {"satin.csv", "--lining", "--json", "--hem-up", "30mm"}} {
		r := found(t, dir, append(args, more...)...)
		require.Equal(t, len(more) > 2, json.Valid([]byte(r.stdout)))
		verified(t, inner)
	}
	found(t, dir, append(args, "satin.csv")...)
	require.NoDirExists(t, inner)

	r := eke(t, dir, append(args, "bit.csv", "--lining")...)
	require.Equal(t, exitNothing, r.code, r.stderr)
	require.NotEmpty(t, verified(t, out).Options)
	require.Empty(t, planIn(t, inner).Options)
	require.NotContains(t, lastStep(planIn(t, out)), "Sew the lining", "it has no order")
	require.Equal(t, "lining/plan.json", planIn(t, out).Lining, "which says what it lacks")
}

// Going on from the plan of a lined garment, and on from that, the lining's is where it
// was; going on from the lining's, what was said of its pattern is said again.
func TestGoOnFromALinedPlan(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "faced.svg", faced)
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,70,90,lining\n")
	write(t, dir, "linen.csv", "name,length_cm,width_cm,fabric\none,34,24,linen\ntwo,34,24,linen\nstrip,34,8,linen\nspare,34,24,linen\n")
	plan := func(args ...string) {
		found(t, dir, append([]string{"plan", "--max-seams", "0", "--options", "1", "--time", "10s"}, args...)...)
	}
	plan("faced.svg", "linen.csv", "satin.csv", "--lining", "-o", "out")
	garment := planIn(t, filepath.Join(dir, "out"))
	part := partNamed(t, garment, "back").Name
	for _, c := range []struct{ after, out string }{{"out", "sub/on"}, {"sub/on", "sub/further"}} {
		plan("faced.svg", "linen.csv", "--after", c.after+"/option-1", "--cut", part, "-o", c.out)
		require.Equal(t, "../../out/lining/plan.json", planIn(t, filepath.Join(dir, c.out)).Lining)
		require.Equal(t, liningStep("../../out/lining/plan.json"), lastStep(planIn(t, filepath.Join(dir, c.out))))
		require.Contains(t, tree(t, filepath.Join(dir, c.out))["report.html"], `href="../../out/lining/report.html"`)
		verified(t, filepath.Join(dir, c.out))
	}

	made := planIn(t, filepath.Join(dir, "out", "lining"))
	require.NotEmpty(t, made.OfLining)
	plan("out/lining/faced-lining.svg", "satin.csv", "--after", "out/lining/option-1", "--cut", made.Options[0].Parts[0].Name, "-o", "inner")
	on := planIn(t, filepath.Join(dir, "inner"))
	require.Equal(t, made.OfLining, on.OfLining)
	require.Subset(t, on.Notes, made.OfLining)
	require.Contains(t, on.Notes, "front: its lining starts at the inner edge of facing, an edge named facing")
}

// faced is a front with a facing that is optional, and a back.
const faced = `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="500mm" viewBox="0 0 1000 500">
<g id="front"><path class="seam" d="M 0,0 H 200 V 300 H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge opening" data-joins="facing/opening" d="M 0,300 V 0"/><path class="edge side" data-joins="back/side" d="M 200,0 V 300"/></g>
<g id="facing" data-optional="yes"><path class="seam" d="M 300,0 H 350 V 300 H 300 Z"/><path class="grain" d="M 325,40 V 80"/><path class="edge opening" data-joins="front/opening" d="M 300,300 V 0"/></g>
<g id="back"><path class="seam" d="M 400,0 H 600 V 300 H 400 Z"/><path class="grain" d="M 450,40 V 80"/><path class="edge side" data-joins="front/side" d="M 400,300 V 0"/></g>
</svg>`

// A lining ends at a facing where there is one, and at the garment's edge where no
// cloth was found for it.
func TestLiningOfWhatIsCut(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "faced.svg", faced)
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,70,90,lining\n")
	for name, c := range map[string]struct {
		scraps  []string
		widthMM float64 // of the front's lining, between its seams
		note    string
	}{
		"cut":     {[]string{"one, linen: 24 x 34 cm", "two, linen: 24 x 34 cm", "strip, linen: 8 x 34 cm"}, 156, "front: its lining starts at the inner edge of facing"},
		"not cut": {[]string{"one, linen: 24 x 34 cm", "two, linen: 24 x 34 cm", "strip, linen: 5 x 34 cm"}, 206, "facing is not cut, so the lining goes to the garment's own edge there and is sewn to it: front/opening"},
	} {
		args := []string{"plan", "faced.svg", "satin.csv", "--lining", "--max-seams", "0", "--options", "1", "-o", name}
		for _, s := range c.scraps {
			args = append(args, "--scrap", s)
		}
		r := found(t, dir, args...)
		require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), c.note)
		require.Contains(t, strings.Join(planIn(t, filepath.Join(dir, name, "lining")).Notes, "\n"), c.note)
		verified(t, filepath.Join(dir, name, "lining"))
		pieces, err := job.Pattern(filepath.Join(dir, name, "lining", "faced-lining.svg"))
		require.NoError(t, err)
		box := pieces[0].Outline.Ring().Bound()
		require.InDelta(t, c.widthMM, box.Max[0]-box.Min[0], 0.1, name)
	}
}

// Where only some copies of a facing are cut, the lining goes to the garment's edge and
// says for which of them it is to be cut back.
func TestLiningOfAFacingOfWhichOneIsCut(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "faced.svg", strings.NewReplacer(`id="front"`, `id="front" data-cut="2" data-mirrored="yes"`, `id="facing"`, `id="facing" data-cut="2" data-mirrored="yes"`).Replace(faced))
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,70,120,lining\n")
	found(t, dir, "plan", "faced.svg", "satin.csv", "--lining", "--max-seams", "0", "--options", "1", "-o", "out",
		"--scrap", "one, linen: 24 x 34 cm", "--scrap", "two, linen: 24 x 34 cm", "--scrap", "three, linen: 24 x 34 cm", "--scrap", "strip, linen: 8 x 34 cm")
	garment := planIn(t, filepath.Join(dir, "out"))
	cut, not := facingCopies(garment, &garment.Options[0], "facing")
	require.Len(t, cut, 1)
	require.Len(t, not, 1)
	notes := planIn(t, filepath.Join(dir, "out", "lining")).Notes
	require.Contains(t, notes, not[0]+" is not cut, so the lining goes to the garment's own edge there and is sewn to it: front/opening")
	require.Contains(t, notes, cut[0]+" is cut: cut its width off the lining on the side that it is sewn to, less two allowances, and sew the lining to it there")
	require.NotContains(t, strings.Join(notes, "\n"), "facing is not cut")
}

// An optional facing that the lining cannot be drawn to stands in the way of no plan:
// where it finds no room nothing is to be said of it, and where it is cut the lining
// goes to the garment's edge.
func TestLiningPastAFacingDrawnOffTheEdge(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	off := func(facts string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="500mm" viewBox="0 0 1000 500">
<g id="front"><path class="seam" d="M 0,0 H 200 V 330 L 0,300 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge centre" data-joins="facing/centre" d="M 0,300 V 0"/><path class="edge side" data-joins="back/side" d="M 200,0 V 330"/><path class="edge hem" d="M 200,330 L 0,300"/></g>
<g id="facing" ` + facts + `><path class="seam" d="M 300,0 H 400 V 309 L 300,300 Z"/><path class="grain" d="M 350,40 V 80"/><path class="edge centre" data-joins="front/centre" d="M 300,300 V 0"/></g>
<g id="back"><path class="seam" d="M 500,0 H 700 V 300 L 500,330 Z"/><path class="grain" d="M 550,40 V 80"/><path class="edge side" data-joins="front/side" d="M 500,330 V 0"/><path class="edge hem" d="M 700,300 L 500,330"/></g>
</svg>`
	}
	write(t, dir, "must.svg", off(""))
	write(t, dir, "nice.svg", off(`data-optional="yes"`))
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,70,90,lining\n")
	args := func(pattern, strip, out string) []string {
		return []string{"plan", pattern, "satin.csv", "--lining", "--max-seams", "0", "--options", "1", "-o", out,
			"--scrap", "one, linen: 24 x 38 cm", "--scrap", "two, linen: 24 x 38 cm", "--scrap", "strip, linen: " + strip}
	}
	const mend, notDrawn = "draw the ends of its facing onto its own edges", "the lining cannot be drawn to the inner edge of facing, so the lining goes to the garment's own edge there"
	refused(t, dir, args("must.svg", "13 x 36 cm", "bad"), mend)
	for out, c := range map[string]struct {
		strip         string
		said, notSaid []string
	}{
		"no room": {"5 x 36 cm", []string{"facing is not cut, so the lining goes"}, []string{mend, "cut its width off"}},
		"cut":     {"13 x 36 cm", []string{mend, notDrawn, "facing is cut: cut its width off the lining"}, []string{"facing is not cut"}},
	} {
		found(t, dir, args("nice.svg", c.strip, out)...)
		notes := strings.Join(planIn(t, filepath.Join(dir, out, "lining")).Notes, "\n")
		for _, w := range c.said {
			require.Contains(t, notes, w, out)
		}
		for _, w := range c.notSaid {
			require.NotContains(t, notes, w, out)
		}
	}
}

// Where a lining cannot be drawn to the garment's edge it starts at the facing, and
// nothing else is advised for the option that it was made for.
func TestLiningThatCannotPassAFacing(t *testing.T) {
	dir := t.TempDir()
	// The opening is shorter than a lining is at the hem.
	write(t, dir, "low.svg", strings.NewReplacer(
		`d="M 0,0 H 200 V 300 H 0 Z"/>`, `d="M 0,285 L 60,0 H 200 V 300 H 0 Z"/><path class="edge hem" d="M 200,300 H 0"/>`,
		`data-joins="facing/opening" d="M 0,300 V 0"`, `data-joins="facing/opening" d="M 0,300 V 285"`,
		`d="M 300,0 H 350 V 300 H 300 Z"`, `d="M 300,285 L 360,0 H 400 V 300 H 300 Z"`,
		`data-joins="front/opening" d="M 300,300 V 0"`, `data-joins="front/opening" d="M 300,300 V 285"`,
		`d="M 400,0 H 600 V 300 H 400 Z"/>`, `d="M 400,0 H 600 V 300 H 400 Z"/><path class="edge hem" d="M 600,300 H 400"/>`).Replace(faced))
	pieces, err := job.Pattern(filepath.Join(dir, "low.svg"))
	require.NoError(t, err)
	larger := defaultLining()
	m := &liningMaker{pieces, "low.svg", "low-lining.svg", larger.options()}
	first, undrawn, err := m.firstLining()
	require.NoError(t, err)
	require.NoError(t, undrawn)
	d := &plan.Document{Pieces: []plan.Piece{{Name: "facing", Copy: 1, Optional: true}}, Options: []plan.Option{{Rank: 1}}}
	l, err := m.liningFor(d, first, undrawn)
	require.NoError(t, err)
	notes := strings.Join(l.Notes, "\n")
	require.Contains(t, notes, "option 1 of the garment has no cloth for facing, and the lining starts at the inner edge there all the same, for it cannot be drawn to the garment's edge: --hem-up 20 mm: ")
	require.NotContains(t, notes, "make the lining with eke lining")
}

// Of options that cut other copies of facings than the first it is said, and nothing of
// the first.
func TestOtherFacings(t *testing.T) {
	facing := func(copies ...int) (o plan.Option) {
		for _, c := range copies {
			o.Parts = append(o.Parts, plan.Part{Piece: "facing", Copy: c})
		}
		return o
	}
	d := &plan.Document{Pieces: []plan.Piece{{Name: "facing", Copy: 1, Side: "right", Optional: true}, {Name: "facing", Copy: 2, Side: "left", Optional: true}, {Name: "bag", Copy: 1, Optional: true}}}
	passed := []lining.Passed{{Facing: "facing"}}
	for name, c := range map[string]struct {
		first, second plan.Option
		passed        []lining.Passed
		says          string // of the second; empty for nothing
	}{
		"both, both":                       {facing(1, 2), facing(1, 2), nil, ""},
		"both, none":                       {facing(1, 2), facing(), nil, "does not cut facing (right) and facing (left), and this lining starts at its inner edge: for that option take facing, and the joins to it, out of the pattern, and make the lining with eke lining"},
		"both, one":                        {facing(1, 2), facing(1), nil, "does not cut facing (left), and this lining starts at its inner edge: for that option take facing, and the joins to it, out of the pattern, and make the lining with eke lining; then cut the width of the facing off it where it is sewn to facing (right), less two allowances"},
		"none, none":                       {facing(), facing(), passed, ""},
		"none, both":                       {facing(), facing(1, 2), passed, "cuts facing (right) and facing (left), and this lining goes to the garment's own edge there: for that option cut the width of the facing off it where it is sewn to facing (right) and facing (left), less two allowances"},
		"one, the same":                    {facing(1), facing(1), passed, ""},
		"one, the other":                   {facing(1), facing(2), passed, "cuts facing (left) and not facing (right), and this lining goes to the garment's own edge there: for that option cut the width of the facing off it where it is sewn to facing (left), less two allowances, and nowhere else"},
		"one, none":                        {facing(1), facing(), passed, "does not cut facing: for that option cut nothing off this lining for it"},
		"could not be passed, none either": {facing(), facing(), nil, ""},
		"could not be passed, both":        {facing(), facing(1, 2), nil, ""},
	} {
		d.Options = []plan.Option{c.first, c.second}
		d.Options[0].Rank, d.Options[1].Rank = 1, 2
		notes := otherFacings(d, []string{"facing"}, c.passed)
		if c.says == "" {
			require.Empty(t, notes, name)
			continue
		}
		require.Equal(t, []string{"option 2 of the garment " + c.says}, notes, name)
	}
}

func TestBadLining(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	cardigan := sample(t, "cardigan.svg")
	write(t, dir, "flag.svg", flag)
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "notes.svg", "<svg><!-- mine --></svg>")
	write(t, dir, "satin.csv", "name,length_cm,width_cm,use\nsatin,62,47,lining\n")
	write(t, dir, "linen.csv", "name,length_cm,width_cm\nlinen,62,47\n")
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder.svg"), 0o755))
	for name, c := range map[string]struct {
		args  string
		words []string
	}{
		"nothing":               {"lining", []string{"write eke lining PATTERN -o FILE"}},
		"two":                   {"lining shirt.svg flag.svg", []string{"flag.svg", "one too many"}},
		"no joins":              {"lining flag.svg -o l.svg", []string{"flag.svg", "no two edges", "joins: back/side"}},
		"negative":              {"lining shirt.svg --ease=-3mm -o l.svg", []string{"--ease"}},
		"absurd":                {"lining shirt.svg --ease 40cm -o l.svg", []string{"--ease 400mm: give 0mm to 30mm"}},
		"no unit":               {"lining shirt.svg --ease 6 -o l.svg", []string{"--ease", "unit"}},
		"a hair of a pleat":     {"lining shirt.svg --pleat 1mm -o l.svg", []string{"--pleat 1mm: give 0mm for none, or 5mm to 100mm"}},
		"more hem than garment": {"lining CARDIGAN --hem-up 45cm -o l.svg", []string{"--hem-up 450 mm", "is only", "give less"}},
		"no pattern":            {"lining satin.csv -o l.svg", []string{"satin.csv"}},
		"not there":             {"lining gone.svg -o l.svg", []string{"gone.svg", "no such file"}},
		"not an SVG":            {"lining shirt.svg -o l.pdf", []string{"l.pdf", "ends in .svg"}},
		"a folder":              {"lining shirt.svg -o folder.svg", []string{"folder.svg", "is a folder"}},
		"over the garment":      {"lining shirt.svg -o shirt.svg", []string{"shirt.svg", "the garment's own pattern"}},
		"over something else":   {"lining shirt.svg -o notes.svg", []string{"notes.svg", "eke did not write it"}},
		"into nowhere":          {"lining shirt.svg -o no/such/l.svg", []string{"no/such/l.svg"}},
		"no cloth for it":       {"plan shirt.svg linen.csv --lining -o out", []string{"no scrap says use: lining"}},
		"none but for it":       {"plan shirt.svg satin.csv --lining -o out", []string{"every scrap says use: lining"}},
		"no lining, but ease":   {"plan shirt.svg linen.csv --ease 5mm -o out", []string{"--ease", "give --lining too"}},
		"nowhere for its plan":  {"plan shirt.svg linen.csv satin.csv --lining --json", []string{"--lining --json: give -o DIR too"}},
		"plan of no joins":      {"plan flag.svg linen.csv satin.csv --lining -o out", []string{"flag.svg", "no two edges"}},
		"too much ease":         {"plan shirt.svg linen.csv satin.csv --lining --ease 31mm -o out", []string{"--ease 31mm: give 0mm to 30mm"}},
	} {
		t.Run(name, func(t *testing.T) {
			refused(t, dir, strings.Fields(strings.ReplaceAll(c.args, "CARDIGAN", cardigan)), c.words...)
		})
	}
}
