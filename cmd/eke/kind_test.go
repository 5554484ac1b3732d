package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// sides is a front and a back, 220 by 300 mm each with allowance, sewn
// together at the side.
func sides(desc string, facts ...string) string {
	fact := func(i int) string {
		if i < len(facts) {
			return facts[i]
		}
		return ""
	}
	return `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><desc>` + desc + `</desc>
<g id="front" ` + fact(0) + `><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge side" data-joins="back/side" d="M 200,0 V 280"/></g>
<g id="back" ` + fact(1) + `><path class="seam" d="M 300,0 H 500 V 280 H 300 Z"/><path class="grain" d="M 350,40 V 80"/><path class="edge side" d="M 300,0 V 280"/></g>
</svg>`
}

func pile(rows ...string) string {
	return "name,length_cm,width_cm,kind\n" + strings.Join(rows, "\n") + "\n"
}

func kindsOf(d *plan.Document, o *plan.Option) map[string]string {
	out := map[string]string{}
	for _, p := range o.Parts {
		for _, s := range d.Scraps {
			if s.Name == p.Scrap && s.Copy == p.ScrapCopy {
				out[p.Name] = s.Kind
			}
		}
	}
	return out
}

// Knit and woven are kept apart in a piece and across a join, a seam more if
// need be, unless the maker or the pattern wishes that they mix.
func TestKnitAndWoven(t *testing.T) {
	t.Parallel()
	mixed := pile("a,31,23,knit", "b,31,23,woven", "c,17,23,knit", "d,17,23,knit")
	for name, c := range map[string]struct {
		desc  string
		facts []string
		pile  string
		args  []string
		seams int // fewer than nothing for no plan
		note  string
		how   string
	}{
		"kept apart":              {pile: mixed, seams: 1},
		"a wish":                  {pile: mixed, args: []string{"--wish", "Mix kinds"}, how: "knit and woven meet between back and front"},
		"a wish of the pattern's": {pile: mixed, desc: "a shirt\nwish: mix kinds\n", how: "knit and woven meet between back and front"},
		"no other way":            {pile: pile("a,31,23,knit", "b,31,23,woven"), seams: -1, note: `sewn together, and so all from knit or all from woven cloth: front, back`},
		"one not known":           {pile: pile("a,31,23,knit", "b,31,23,"), note: "nothing says whether b is knit or woven"},
		"none known":              {pile: pile("a,31,23,", "b,31,23,")},
		"a piece to be woven":     {pile: pile("a,31,23,knit", "b,31,23,woven", "c,31,23,knit", "d,31,23,woven"), facts: []string{`data-kind="Woven"`}},
		"to be what there is not": {pile: pile("a,31,23,knit", "b,31,23,knit"), facts: []string{`data-kind="woven"`}, seams: -1},
		"to be both":              {pile: mixed, facts: []string{`data-kind="woven"`, `data-kind="knit"`}, seams: -1, note: "front is to be woven and back, which it is sewn to, knit"},
		"to be both, wished so":   {pile: mixed, facts: []string{`data-kind="woven"`, `data-kind="knit"`}, args: []string{"--wish", "mix kinds"}, how: "knit and woven meet between back and front"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, dir, "shirt.svg", sides(c.desc, c.facts...))
			write(t, dir, "pile.csv", c.pile)
			r := eke(t, dir, append([]string{"plan", "shirt.svg", "pile.csv", "-o", "out", "--time", "60s", "--max-seams", "2"}, c.args...)...)
			verified(t, filepath.Join(dir, "out"))
			d := planIn(t, filepath.Join(dir, "out"))
			notes := strings.Join(d.Notes, "\n")
			if c.note != "" {
				require.Equal(t, 1, strings.Count(notes, c.note), notes)
			} else {
				require.NotContains(t, notes, "woven")
			}
			if c.seams < 0 {
				require.Equal(t, exitNothing, r.code, r.stderr)
				require.Empty(t, d.Options)
				return
			}
			require.Equal(t, 0, r.code, r.stderr)
			require.Equal(t, c.seams, d.Options[0].Seams)
			if c.how != "" {
				require.Equal(t, []plan.Wish{{Text: "mix kinds", Kept: true, How: c.how}}, d.Options[0].Wishes)
				require.Contains(t, oneRow(r.stdout), "wish: mix kinds: kept: "+c.how)
				return
			}
			for k := range d.Options {
				seen := map[string]bool{}
				for _, kind := range kindsOf(d, &d.Options[k]) {
					seen[kind] = true
				}
				require.False(t, seen["knit"] && seen["woven"])
			}
		})
	}
}

// A seam is not moved over between knit and woven either.
func TestMovedSeamsOfKinds(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	for other, c := range map[string]struct {
		wish []string
		code int
	}{
		"knit": {nil, 0}, "": {nil, 0}, "woven": {nil, exitNothing}, "Woven": {[]string{"--wish", "mix kinds"}, 0},
	} {
		write(t, dir, "pile.csv", pile("a,31,23.6,knit", "b,31,20.6,"+other))
		r := eke(t, dir, append([]string{"plan", "shirt.svg", "pile.csv", "--max-seams", "0", "-o", "out"}, c.wish...)...)
		require.Equal(t, c.code, r.code, "%s: %s", other, r.stderr)
		if verified(t, filepath.Join(dir, "out")); c.code == 0 {
			require.Len(t, planIn(t, filepath.Join(dir, "out")).Options[0].MovedSeams, 1)
			report, err := os.ReadFile(filepath.Join(dir, "out", "report.html"))
			require.NoError(t, err)
			require.Equal(t, c.wish != nil, strings.Contains(string(report), "<h3>Wishes</h3>"))
		}
	}
}

// What eke fit says of kinds, and refuses of wishes.
func TestFitOfKinds(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides("", `data-kind="knit"`))
	write(t, dir, "pile.csv", pile("a,31,23,woven", "b,31,23,knit", "c,31,23,"))
	r := found(t, dir, "fit", "shirt.svg", "pile.csv")
	require.Regexp(t, `(?m)^front  a      not of its kind$`, r.stdout)
	require.Regexp(t, `(?m)^       b      yes$`, r.stdout)
	require.Regexp(t, `(?m)^       c      yes$`, r.stdout)
	require.Contains(t, oneRow(r.stdout), "note: nothing says whether c is knit or woven")
	require.Contains(t, oneRow(r.stdout), "note: sewn together, and so all from knit or all from woven cloth: front, back")
	require.NotContains(t, found(t, dir, "fit", "shirt.svg", "pile.csv", "--wish", "mix kinds").stdout, "sewn together")
	for _, command := range []string{"fit", "plan"} {
		refused(t, dir, []string{command, "shirt.svg", "pile.csv", "--wish", "mix all"}, "--wish", `"mix all" is not understood`, `"mix kinds"`)
	}
	write(t, dir, "wishful.svg", sides("wish: mix all"))
	refused(t, dir, []string{"plan", "wishful.svg", "pile.csv"}, "wishful.svg", `"mix all" is not understood`)
	write(t, dir, "odd.svg", sides("", `data-kind="stretchy"`))
	refused(t, dir, []string{"plan", "odd.svg", "pile.csv"}, "odd.svg", `"front"`, "kind: stretchy", "write kind: knit or kind: woven")
}

// A scrap of the command line is of its fabric, or of what its name says; and
// one that no piece may be cut from is named.
func TestFabricOfFlagScraps(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides("", `data-fabric="rib"`, `data-fabric="navy, Cream"`))
	for scrap, words := range map[string][2]string{
		"navy rib: 42 x 60 cm":     {"yes", "yes"},
		"navy 2: 42 x 60 cm":       {"not of its fabric", "yes"},
		"end, RIB: 42 x 60 cm":     {"yes", "not of its fabric"},
		"rib, cream: 42 x 60 cm":   {"not of its fabric", "yes"},
		"ribbon: 42 x 60 cm":       {"not of its fabric", "not of its fabric"},
		"cream, linen: 42 x 60 cm": {"not of its fabric", "not of its fabric"},
	} {
		r := found(t, dir, "fit", "shirt.svg", "--scrap", scrap)
		name, _, _ := strings.Cut(scrap, ":")
		name, _, _ = strings.Cut(name, ",")
		require.Regexp(t, `(?m)^front  `+name+` +`+words[0]+`$`, r.stdout, scrap)
		require.Regexp(t, `(?m)^back   `+name+` +`+words[1]+`$`, r.stdout, scrap)
		require.Equal(t, words[0] == words[1] && words[0] != "yes", strings.Contains(oneRow(r.stdout), "no piece may be cut from "+name), scrap)
	}
	r := found(t, dir, "fit", "shirt.svg", "--scrap", "rib end: 42 x 60 cm", "--scrap", "sheet, linen: 2 x 2 m", "--scrap", "wool 1: 1 x 1 m")
	require.Contains(t, oneRow(r.stdout), "note: no piece may be cut from sheet (fabric linen), wool 1 (fabric wool): the pieces ask for rib, navy or Cream")
	r = found(t, dir, "plan", "shirt.svg", "--scrap", "navy rib 1: 24 x 31 cm", "--scrap", "navy rib 2: 24 x 16 cm", "--scrap", "navy rib 3: 24 x 18 cm", "--scrap", "sheet, linen: 2 x 2 m", "-o", "out", "--max-seams", "1", "--options", "1")
	require.Contains(t, oneRow(r.stdout), "note: no piece may be cut from sheet (fabric linen)")
	require.Equal(t, 1, verified(t, filepath.Join(dir, "out")).Options[0].Seams, "the sheet would have saved it")
	r = eke(t, dir, "fit", "shirt.svg", "--scrap", "sheet, linen: 2 x 2 m", "--json")
	require.Equal(t, 0, r.code)
	require.Contains(t, r.stderr, "no piece may be cut from sheet")
	require.True(t, json.Valid([]byte(r.stdout)))
}
