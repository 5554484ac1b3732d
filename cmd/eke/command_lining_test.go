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
	args := []string{"plan", sample(t, "cardigan.svg"), sample(t, "jumpers.svg"), sample(t, "satin.csv"), "--lining", "--options", "1", "--time", "60s", "-o", "out"}
	r := found(t, dir, args...)
	require.Contains(t, r.stdout, "\nThe lining\n")
	require.Contains(t, r.stdout, "written to out/lining: open out/lining/report.html")
	out, inner := filepath.Join(dir, "out"), filepath.Join(dir, "out", "lining")
	garment, lining := verified(t, out), verified(t, inner)
	require.Equal(t, 2, garment.Options[0].Seams, "as without a lining")
	require.Equal(t, 1, lining.Options[0].Seams)
	for _, s := range planIn(t, out).Scraps {
		require.Empty(t, s.Use)
	}
	for _, s := range planIn(t, inner).Scraps {
		require.Equal(t, "lining", s.Use)
	}
	require.Equal(t, "lining/plan.json", planIn(t, out).Lining)
	last := func(d *plan.Document) string { order := d.Options[0].SewingOrder; return order[len(order)-1] }
	require.Equal(t, liningStep, last(planIn(t, out)))
	require.Contains(t, last(planIn(t, inner)), "Put the lining into the garment")
	require.Equal(t, "cardigan-lining.svg", planIn(t, inner).Pattern)
	files := tree(t, dir)
	require.Contains(t, files, "out/lining/cardigan-lining.svg")
	require.Contains(t, files["out/report.html"], `<a href="lining/report.html">`)
	require.NotContains(t, files["out/lining/report.html"], `href="lining/report.html"`)
	found(t, dir, "sheets", "out/lining/option-1", "-q", "-o", "lining.pdf")

	// The lining it planned is the one that eke lining makes.
	found(t, dir, "lining", sample(t, "cardigan.svg"), "-o", "alone.svg", "-q")
	require.Equal(t, tree(t, dir)["alone.svg"], files["out/lining/cardigan-lining.svg"])

	// Again over it; and without the lining nothing of it is left.
	r = found(t, dir, append(args, "--json", "--hem-up", "30mm")...)
	require.True(t, json.Valid([]byte(r.stdout)))
	verified(t, inner)
	found(t, dir, "plan", sample(t, "cardigan.svg"), sample(t, "jumpers.svg"), sample(t, "satin.csv"), "--options", "1", "--time", "60s", "-o", "out")
	require.NoDirExists(t, inner)

	// No plan for the lining: the garment's is there, and what the lining lacks.
	write(t, dir, "bit.csv", "name,length_cm,width_cm,use\nsatin,20,20,lining\n")
	r = eke(t, dir, "plan", sample(t, "cardigan.svg"), sample(t, "jumpers.svg"), "bit.csv", "--lining", "--options", "1", "--time", "20s", "-o", "out")
	require.Equal(t, exitNothing, r.code, r.stderr)
	require.NotEmpty(t, verified(t, out).Options)
	require.Empty(t, planIn(t, inner).Options)
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

// Of options that cut other facings than the first it is said.
func TestOtherFacings(t *testing.T) {
	cuts := func(names ...string) plan.Option {
		var o plan.Option
		for _, name := range names {
			o.Parts = append(o.Parts, plan.Part{Piece: name, Copy: 1})
		}
		return o
	}
	d := &plan.Document{Pieces: []plan.Piece{{Name: "facing", Copy: 1, Optional: true}, {Name: "bag", Copy: 1, Optional: true}}, Options: []plan.Option{cuts("facing"), cuts("bag")}}
	d.Options[0].Rank, d.Options[1].Rank = 1, 2
	require.Equal(t, []string{"facing"}, uncutFacings(d, &d.Options[1], []string{"facing"}))
	notes := otherFacings(d, []string{"facing"}, nil)
	require.Len(t, notes, 1)
	require.Contains(t, notes[0], "option 2 of the garment does not cut facing")
	notes = otherFacings(d, []string{"facing"}, []string{"facing"})
	require.Len(t, notes, 1)
	require.Contains(t, notes[0], "option 1 of the garment cuts facing")
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
