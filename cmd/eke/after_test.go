package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"eke/cmd/job"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/wish"

	"github.com/stretchr/testify/require"
)

// partNamed is the part of that name of a plan's first option, as plan.json has it.
func partNamed(t testing.TB, d *plan.Document, name string) plan.Part {
	t.Helper()
	k := slices.IndexFunc(d.Options[0].Parts, func(p plan.Part) bool { return p.Name == name })
	require.GreaterOrEqual(t, k, 0, name)
	return d.Options[0].Parts[k]
}

// A t-shirt of which the back and the lower front are cut and a sleeve is spoilt,
// and then gone on from once more: what is cut is as it was to the last digit in
// the file, nothing lies on what is gone, and the report, the drawings and what is
// left say so.
func TestGoOnFromAPlan(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	shirt, cloth := sample(t, "tshirt.svg"), sample(t, "scraps.csv")
	args := func(more ...string) []string {
		return append([]string{"plan", shirt, cloth, "--time", "2m", "--options", "1", "-q"}, more...)
	}
	found(t, dir, args("--seams", "yoke", "-o", "out")...)
	read := func(out string) *plan.Document {
		d, err := job.ReadPlan(filepath.Join(dir, out, job.PlanFile))
		require.NoError(t, err)
		return d
	}
	first := read("out")
	second := args("--after", "out/option-1", "--cut", "back, front-lower", "--spoilt", "sleeve-left", "--saved", "sleeve-left: 10 x 12 cm", "-o", "out2")
	found(t, dir, second...)
	d := read("out2")
	require.Empty(t, check.Document(d))
	require.Empty(t, check.After(first, 0, d, 0))
	for _, name := range []string{"back", "front-lower"} {
		was, now := partNamed(t, first, name), partNamed(t, d, name)
		require.True(t, now.IsCut)
		now.IsCut, now.Notches, was.Notches = false, nil, nil // it may get marks for new seams
		a, err := json.Marshal(was)
		require.NoError(t, err)
		b, err := json.Marshal(now)
		require.NoError(t, err)
		require.Equal(t, string(a), string(b))
	}
	o := d.Options[0]
	require.Equal(t, partNamed(t, first, "sleeve-left").Placement, o.Spoilt[0].Placement)
	require.Equal(t, "saved of sleeve-left", d.Scraps[len(d.Scraps)-1].Name)
	require.Equal(t, "out/option-1", d.After)
	require.True(t, strings.HasPrefix(o.Changes[0], "sleeve-left is spoilt: its cloth is gone from tunic sleeve"), "%q", o.Changes)

	report, err := os.ReadFile(filepath.Join(dir, "out2", job.ReportFile))
	require.NoError(t, err)
	require.Contains(t, string(report), "What changes")
	require.Contains(t, string(report), "Sleeve-left is spoilt")
	require.Contains(t, string(report), "<b>cut already</b>")
	layout, err := os.ReadFile(filepath.Join(dir, "out2", "option-1", job.LayoutFile))
	require.NoError(t, err)
	require.Contains(t, string(layout), "laid-hatch")
	pieces, err := os.ReadFile(filepath.Join(dir, "out2", "option-1", job.PiecesFile))
	require.NoError(t, err)
	require.Contains(t, string(pieces), "front-upper")
	require.NotContains(t, string(pieces), "<title>back</title>")
	require.Contains(t, found(t, dir, "sheets", "out2/option-1", "--layout", "--paper", "914mm").stdout, "layout-914mm.pdf")

	// What is left is the pile less parts and the spoilt sleeve, with what was saved.
	of := func(bit string) string {
		name, _, _ := strings.Cut(bit, ", ")
		return name
	}
	left, gone := byScrap(pileIn(t, filepath.Join(dir, "out2", "option-1", "left.svg")), of), taken(d, &o, of)
	lost := taken(&plan.Document{}, &plan.Option{Parts: o.Spoilt}, of)
	pile := byScrap(csvPile(t, cloth), of)
	pile["saved of sleeve-left"] = 120 * 100
	for name, whole := range pile {
		require.InDelta(t, whole, left[name]+gone[name]+lost[name], 5, name)
	}

	// On from there: more is cut, nothing is spoilt, and nothing changes.
	table := found(t, dir, "plan", shirt, cloth, "--time", "2m", "--options", "1", "--after", "out2/option-1", "--cut", "neckband", "-o", "out3").stdout
	require.Contains(t, table, "changed: nothing: every part that is not cut yet lies where it lay")
	require.Regexp(t, `neckband +cuff rib +cut already`, table)
	third := read("out3")
	require.Empty(t, check.After(d, 0, third, 0))
	require.Equal(t, d.Options[0].Spoilt, third.Options[0].Spoilt)
	require.Equal(t, d.Scraps, third.Scraps)

	// Bad use, a line each.
	for name, c := range map[string]struct {
		args  []string
		words []string
	}{
		"no such part":      {[]string{"--after", "out/option-1", "--cut", "front"}, []string{"--cut front", "front-upper, front-lower, back, sleeve-right, sleeve-left, neckband"}},
		"cut and spoilt":    {[]string{"--after", "out/option-1", "--cut", "back", "--spoilt", "back"}, []string{"back is said to be cut and to be spoilt"}},
		"spoilt alone":      {[]string{"--spoilt", "back"}, []string{"--spoilt is of parts of a plan", "--after"}},
		"saved alone":       {[]string{"--saved", "back: 2 x 3 cm"}, []string{"--saved is of parts of a plan"}},
		"saved, not spoilt": {[]string{"--after", "out/option-1", "--saved", "back: 2 x 3 cm"}, []string{"--saved back", "not said to be spoilt"}},
		"saved too much":    {[]string{"--after", "out/option-1", "--spoilt", "back", "--saved", "back: 2 x 3 m"}, []string{"--saved back", "does not lie within the part"}},
		"saved, no size":    {[]string{"--after", "out/option-1", "--spoilt", "back", "--saved", "back"}, []string{"--saved", "front-upper: 20 x 30 cm"}},
		"no folder":         {[]string{"--after", "nowhere/option-1"}, []string{"--after nowhere/option-1", "no such folder"}},
		"all of a plan":     {[]string{"--after", "out"}, []string{"--after out", "out/option-1"}},
		"no plan's folder":  {[]string{"--after", "out/option-1/.."}, []string{"--after"}},
		"another gap":       {[]string{"--after", "out/option-1", "--gap", "1mm"}, []string{"--after --gap"}},
		"seams cut already": {[]string{"--after", "out/option-1", "--cut", "front-lower", "--max-seams", "0"}, []string{"--max-seams 0", "1 piecing seam already"}},
		"a carried line":    {[]string{"--after", "out/option-1", "--wish", "carry front"}, []string{"--after", "carry front"}},
	} {
		t.Run(name, func(t *testing.T) {
			refused(t, dir, append([]string{"plan", shirt, cloth, "-o", "bad"}, c.args...), c.words...)
		})
	}
	refused(t, dir, []string{"plan", sample(t, "tshirt-child.svg"), cloth, "--after", "out/option-1", "-o", "bad"}, "the pattern is not the one", "front")
	refused(t, dir, []string{"plan", shirt, sample(t, "scraps.svg"), "--after", "out/option-1", "-o", "bad"}, "the scraps are not those", "is gone")
	refused(t, dir, []string{"plan", shirt, cloth, "--after", "out/option-1", "-o", "out"}, "-o out would replace the plan that you cut by")
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "broken", "option-1"), 0o755))
	whole, err := os.ReadFile(filepath.Join(dir, "out", job.PlanFile))
	require.NoError(t, err)
	write(t, filepath.Join(dir, "broken"), job.PlanFile, string(whole[:len(whole)/2]))
	refused(t, dir, []string{"plan", shirt, cloth, "--after", "broken/option-1", "-o", "bad"}, "broken", "plan.json", "unexpected end")
}

// Where what is spoilt finds no room, eke says what it lacks and exits 3.
func TestNoRoomForWhatIsSpoilt(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flag.svg", flag)
	found(t, dir, "plan", "flag.svg", "--scrap", "linen: 30 x 40 cm", "-o", "out")
	d, err := job.ReadPlan(filepath.Join(dir, "out", job.PlanFile))
	require.NoError(t, err)
	var names []string
	for _, p := range d.Options[0].Parts {
		names = append(names, p.Name)
	}
	r := eke(t, dir, "plan", "flag.svg", "--scrap", "linen: 30 x 40 cm", "--after", "out/option-1", "--spoilt", strings.Join(names, ","), "--time", "2s", "-o", "none")
	require.Equal(t, 3, r.code, "%s%s", r.stdout, r.stderr)
	require.Contains(t, r.stdout, "no plan was found")
}

// Where what is spoilt finds no room, eke says what cloth to look for; with that in the
// pile the same command goes on, and all else lies where it lay. From that plan it goes on
// as from any.
func TestClothForWhatIsSpoilt(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "flags.svg", strings.Replace(flag, "<g ", `<g data-cut="2" data-fabric="linen" `, 1))
	const pile = "name,fabric,length_cm,width_cm\none,linen,31,23\nother,linen,31,23\n"
	write(t, dir, "pile.csv", pile)
	found(t, dir, "plan", "flags.svg", "pile.csv", "-o", "out")
	old, err := job.ReadPlan(filepath.Join(dir, "out", job.PlanFile))
	require.NoError(t, err)
	require.Zero(t, old.Options[0].Seams)
	gone, stays := old.Options[0].Parts[0], old.Options[0].Parts[1]
	again := []string{"plan", "flags.svg", "pile.csv", "--after", "out/option-1", "--spoilt", gone.Name, "--options", "1", "-o", "on"}
	r := eke(t, dir, append(again, "--time", "30s")...)
	require.Equal(t, 3, r.code, "%s%s", r.stdout, r.stderr)
	short, err := job.ReadPlan(filepath.Join(dir, "on", job.PlanFile))
	require.NoError(t, err)
	require.Len(t, short.WouldDo, 1)
	want := short.WouldDo[0].Cloth[0]
	require.Equal(t, "linen", want.Fabric)
	require.Zero(t, short.WouldDo[0].Seams)
	box := func(p plan.Part) (wide, long float64) {
		lo, hi := p.CutLine[0], p.CutLine[0]
		for _, q := range p.CutLine {
			lo, hi = plan.Point{min(lo[0], q[0]), min(lo[1], q[1])}, plan.Point{max(hi[0], q[0]), max(hi[1], q[1])}
		}
		return hi[0] - lo[0], hi[1] - lo[1]
	}
	wide, long := box(gone)
	require.InDelta(t, wide*long, want.WidthMM*want.LengthMM, 0.1*wide*long)
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "with the cloth to look for there is a plan in which all that is not spoilt is cut as it lies in the plan that you go on from; add that cloth to the scraps and give the same command again")

	write(t, dir, "pile.csv", fmt.Sprintf("%sbought,linen,%g,%g\n", pile, want.LengthMM/10, want.WidthMM/10))
	found(t, dir, again...)
	d, err := job.ReadPlan(filepath.Join(dir, "on", job.PlanFile))
	require.NoError(t, err)
	require.Equal(t, "bought", partNamed(t, d, gone.Name).Scrap)
	require.Equal(t, stays.Placement, partNamed(t, d, stays.Name).Placement)
	found(t, dir, "plan", "flags.svg", "pile.csv", "--after", "on/option-1", "--cut", gone.Name, "-o", "further")
}

// A wish of the plan that is gone on from holds on. Where it stands in the way it is
// named, with what plan there is without it, and as points it is no must.
func TestInheritedWishInTheWay(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "legs.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="400mm" viewBox="0 0 400 400">
<g id="leg" data-cut="2"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/></g></svg>`)
	args := func(more ...string) []string {
		return append([]string{"plan", "legs.svg", "--scrap", "two, linen: 46 x 32 cm", "--scrap", "one, rag: 24 x 32 cm", "--max-seams", "0", "--time", "4s"}, more...)
	}
	found(t, dir, args("--wish", "leg alike", "-o", "out")...)
	on := args("--after", "out/option-1", "--cut", "leg-1", "--spoilt", "leg-2")
	r := eke(t, dir, append(on, "-o", "none")...)
	require.Equal(t, exitNothing, r.code, "%s%s", r.stdout, r.stderr)
	said := strings.Join(strings.Fields(r.stdout), " ")
	require.Contains(t, said, `no plan was found that keeps the wish "leg alike": leg-1 is cut already, and all copies of leg have to be from one look and split alike`)
	require.Contains(t, said, `without it there is a plan with no piecing seam: give --wish "prefer leg alike", and it is no must`)
	require.Equal(t, 0, planIn(t, filepath.Join(dir, "none")).Unkept[0].Without.Seams)
	require.Contains(t, tree(t, filepath.Join(dir, "none"))["report.html"], "prefer leg alike")

	found(t, dir, append(on, "--wish", "prefer leg alike", "-o", "on")...)
	d := planIn(t, filepath.Join(dir, "on"))
	require.Equal(t, []plan.Wish{{Text: "prefer leg alike", How: "leg is cut from linen and rag"}}, d.Options[0].Wishes)
	require.Empty(t, check.After(planIn(t, filepath.Join(dir, "out")), 0, d, 0))

	// As points in the plan that is gone on from, and a must now.
	found(t, dir, args("--wish", "prefer leg alike", "-o", "out")...)
	r = eke(t, dir, append(on, "--wish", "leg alike", "-o", "must")...)
	require.Equal(t, exitNothing, r.code, "%s%s", r.stdout, r.stderr)
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), `no plan was found that keeps the wish "leg alike"`)
}

// What a maker wishes now is what counts, as a must or as points, whichever it was in
// the plan that is gone on from.
func TestWishesMadeAgain(t *testing.T) {
	for name, c := range map[string]struct{ was, now, want []string }{
		"holds on":               {[]string{"front alike"}, nil, []string{"front alike"}},
		"points hold on":         {[]string{"prefer front alike"}, nil, []string{"prefer front alike"}},
		"a must made points":     {[]string{"front alike"}, []string{"prefer front alike"}, []string{"prefer front alike"}},
		"points made a must":     {[]string{"prefer front alike"}, []string{"front alike"}, []string{"front alike"}},
		"a must again":           {[]string{"front alike"}, []string{"Front  alike"}, []string{"front alike"}},
		"points again":           {[]string{"prefer front alike"}, []string{"prefer front alike"}, []string{"prefer front alike"}},
		"both now":               {nil, []string{"front alike", "prefer front alike"}, []string{"front alike", "prefer front alike"}},
		"both were":              {[]string{"front alike", "prefer front alike"}, nil, []string{"front alike", "prefer front alike"}},
		"beside another":         {[]string{"prefer front alike", "back alike"}, []string{"front alike"}, []string{"front alike", "back alike"}},
		"settled before cutting": {[]string{"carry front"}, nil, []string{"carry front"}},
	} {
		var was plan.Option
		for _, w := range c.was {
			was.Wishes = append(was.Wishes, plan.Wish{Text: w})
		}
		var now []wish.Wish
		for _, w := range c.now {
			one, err := wish.Parse(w)
			require.NoError(t, err, name)
			now = append(now, one)
		}
		all, err := wishesOn(&was, now)
		require.NoError(t, err, name)
		var got []string
		for _, w := range all {
			got = append(got, w.String())
		}
		require.Equal(t, c.want, got, name)
	}
}

// There are no plans with fewer seams than none.
func TestFewestAfter(t *testing.T) {
	t.Parallel()
	fewest, why := fewestAfter([]plan.Option{{Seams: 1}, {Seams: 0}})
	require.True(t, fewest)
	require.Equal(t, "no seam is added", why)
	fewest, why = fewestAfter([]plan.Option{{Seams: 1}, {Seams: 2}})
	require.False(t, fewest)
	require.Contains(t, why, "what is cut stays as it is")
}
