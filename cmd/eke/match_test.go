package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// The striped jersey of the samples is cut so that its stripes meet, with a yoke,
// and what is left still knows where they run.
func TestMatchStripesWish(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	r := eke(t, dir, "plan", sample(t, "tshirt-child.svg"), sample(t, "breton.csv"), "-o", "out", "--wish", "match stripes", "--options", "1", "--time", "60s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "out"))
	d := planIn(t, filepath.Join(dir, "out"))
	o := &d.Options[0]
	require.Equal(t, 1, o.Seams)
	require.True(t, o.Wishes[0].Kept)
	require.Equal(t, []string{"A"}, o.StripeMatch.Through)
	require.Len(t, o.StripeMatch.Seams, 8, "two sides, two underarms and four halves of armholes")
	for _, s := range o.StripeMatch.Seams {
		require.True(t, s.Meet, s.Name())
	}
	require.Equal(t, []float64{30, 12}, []float64{d.Scraps[0].StripeMM, d.Scraps[0].FirstMM})
	said := strings.Join(strings.Fields(r.stdout), " ")
	require.Contains(t, said, "stripes meet at front/side to back/side within 0.0 mm all along")
	require.Contains(t, said, "they run on through A within 0.0 mm")
	files := tree(t, filepath.Join(dir, "out"))
	require.Contains(t, files["report.html"], "stripes meet at front/side to back/side within 0.0 mm all along")
	require.Contains(t, files["option-1/layout.svg"], `class="stripe"`)
	require.Contains(t, files["option-1/left.svg"], `data-stripe_mm="30"`)

	// The sides again by hand: each part's stripes by its placement and its scrap, whose
	// grain runs down the page.
	first := math.NaN()
	for _, p := range o.Parts {
		if p.Piece != "front" && p.Piece != "back" {
			continue
		}
		for _, s := range d.Scraps {
			if s.Name != p.Scrap {
				continue
			}
			require.InDelta(t, 1, math.Abs(p.Placement[3]), 1e-9)
			y := (s.FirstMM - p.Placement[5]) / p.Placement[3]
			if math.IsNaN(first) {
				first = y
			}
			require.InDelta(t, 0, math.Remainder(y-first, 30), 0.01, "%s: front and back are drawn level", p.Name)
		}
	}
	again := eke(t, dir, "plan", sample(t, "small.svg"), "out/option-1/left.svg", "--time", "1s", "--options", "1")
	require.NotContains(t, again.stderr, "stripe")
}

// A piece that asks for plain cloth, or is kept off the striped by a wish, stands in no
// stripe's way.
func TestMatchStripesBesidePlain(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		striped, plain string // facts of what is sewn together
		wishes         []string
	}{
		"by its fabric": {`data-fabric="sailor"`, `data-fabric="blue"`, nil},
		"by a wish":     {"", "", []string{"--wish", "sailor only for front, back"}},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			shirt := sides("", c.striped, c.striped)
			shirt = strings.Replace(shirt, `<path class="edge side" d="M 300,0 V 280"/>`, `<path class="edge side" d="M 300,0 V 280"/><path class="edge other" d="M 500,0 V 280"/>`, 1)
			shirt = strings.Replace(shirt, "</svg>", `<g id="gusset" `+c.plain+`><path class="seam" d="M 600,0 H 700 V 280 H 600 Z"/><path class="grain" d="M 650,50 V 90"/><path class="edge end" data-joins="back/other" d="M 600,280 V 0"/></g></svg>`, 1)
			write(t, dir, "shirt.svg", shirt)
			write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm,count,stripe_cm,first_cm\nback,sailor,40,30,2,2,1\nsheet,blue,40,30,1,,\n")
			plan := append([]string{"plan", "shirt.svg", "pile.csv", "--options", "1", "--max-seams", "0", "-o", "out"}, c.wishes...)
			r := found(t, dir, append(plan, "--wish", "match stripes")...)
			require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "stripes meet at")
			verified(t, filepath.Join(dir, "out"))
			for _, w := range planIn(t, filepath.Join(dir, "out")).Options[0].Wishes {
				require.True(t, w.Kept, w.Text)
			}
			refused(t, dir, append(plan, "--wish", "match stripes at gusset/end"), "what the pieces may be cut from has no stripes")
		})
	}
}

// Everywhere, and at edges of what would be left out too: then those meet as well. What
// is left out all the same is named, with an edge to wish for.
func TestMatchStripesAtEdgesToo(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	shirt := strings.Replace(sides(""), `<path class="edge side" d="M 300,0 V 280"/>`, `<path class="edge side" d="M 300,0 V 280"/><path class="edge end" d="M 500,0 V 280"/>`, 1)
	trim := func(id string, x int, joins string) string {
		return fmt.Sprintf(`<g id=%q><path class="seam" d="M %[2]d,0 h 60 v 280 h -60 Z"/><path class="grain" d="M %[3]d,50 V 90"/><path class="edge long" %[4]s d="M %[2]d,280 V 0"/></g>`, id, x, x+30, joins)
	}
	write(t, dir, "shirt.svg", strings.Replace(shirt, "</svg>", trim("placket", 600, `data-joins="back/end"`)+trim("belt", 700, "")+"</svg>", 1))
	write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm,count,stripe_cm,first_cm\nback,sailor,40,30,2,2,1\nfront,sailor,41,20,1,2,0.3\n")
	told := func(wishes ...string) []plan.Wish {
		args := []string{"plan", "shirt.svg", "pile.csv", "--options", "1", "--max-seams", "0", "-o", "out"}
		for _, w := range wishes {
			args = append(args, "--wish", w)
		}
		found(t, dir, args...)
		verified(t, filepath.Join(dir, "out"))
		return planIn(t, filepath.Join(dir, "out")).Options[0].Wishes
	}
	const side, long = "stripes meet at front/side to back/side within 0.0 mm all along", "back/end to placket/long within 0.0 mm all along"
	all := told("match stripes")[0]
	require.Equal(t, side+`; left out, though of striped cloth: placket and belt (to match an edge too, wish for it as well, as in "match stripes at placket/long")`, all.How)
	got := told("match stripes", "match stripes at placket/long")
	require.Equal(t, []bool{true, true}, []bool{got[0].Kept, got[1].Kept})
	require.Equal(t, side+"; "+long+"; left out, though of striped cloth: belt", got[0].How)
	require.Equal(t, "stripes meet at "+long, got[1].How)
	got = told("match stripes at side", "match stripes at placket/long")
	require.Equal(t, side, got[0].How)
	require.Equal(t, "stripes meet at "+long, got[1].How)
	refused(t, dir, []string{"plan", "shirt.svg", "pile.csv", "--wish", "match stripes", "--wish", "match stripes at hem"}, `"match stripes at hem": there is no seam there`)

	d := planIn(t, filepath.Join(dir, "out"))
	seams := d.Options[0].StripeMatch.Seams
	d.Options[0].StripeMatch.Seams = slices.DeleteFunc(slices.Clone(seams), func(s plan.StripeSeam) bool { return strings.Contains(s.Name(), "placket") })
	require.ErrorContains(t, check.Document(d)[0], `"match stripes at placket/long" is said to be kept, and stripes meet at no seam`)
}

// Stripes that cannot meet say what is missing; a wish that makes no sense is bad use.
func TestMatchStripesOtherwise(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "plain.csv", "name,length_cm,width_cm\na,40,60\n")
	write(t, dir, "one.csv", "name,length_cm,width_cm,stripe_cm,first_cm\na,40,25,4,1\nb,40,25,,\n")
	write(t, dir, "odd.csv", "name,length_cm,width_cm,stripe_cm,first_cm\na,40,25,4\n")
	for name, c := range map[string]struct {
		pile, wish string
		code       int
		says       string
	}{
		"no stripes":        {"plain.csv", "match stripes", 2, "no scrap says how its stripes run; give stripe_cm and first_cm"},
		"no such edge":      {"one.csv", "match stripes at armhole", 2, "there is no seam there at which stripes could meet"},
		"not understood":    {"one.csv", "match stripes on side", 2, "is not understood"},
		"too little":        {"one.csv", "Match  stripes at side", 3, "without it there is a plan"},
		"a fact is missing": {"odd.csv", "match stripes", 2, "odd.csv: row 2: its first_cm is missing"},
	} {
		t.Run(name, func(t *testing.T) {
			r := eke(t, dir, "plan", "shirt.svg", c.pile, "--wish", c.wish, "--time", "3s")
			require.Equal(t, c.code, r.code, r.stdout+r.stderr)
			require.Contains(t, strings.Join(strings.Fields(r.stdout+r.stderr), " "), c.says)
		})
	}
}
