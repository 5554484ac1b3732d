package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"eke/cmd/job"

	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// clothFor is a pile whose rows are name, fabric, length and width in cm.
func clothFor(rows ...string) string {
	return "name,fabric,length_cm,width_cm\n" + strings.Join(rows, "\n") + "\n"
}

// The cross seam of the front goes on into the back, one look above and one
// below, though both pieces could be cut whole. Case does not tell looks apart.
func TestCarryWish(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", clothFor("a,navy,18,23", "b,Navy,18,23", "c,cream,18,23", "d,Cream,18,23", "e,rust,31,23", "f,rust,31,23"))
	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "Carry front", "--max-seams", "0", "--time", "10s")
	require.Equal(t, 0, r.code, r.stderr)
	verified(t, filepath.Join(dir, "out"))
	d := planIn(t, filepath.Join(dir, "out"))
	o := &d.Options[0]
	require.Len(t, o.Carried, 1)
	require.Equal(t, []string{"A", "B"}, o.Carried[0].Seams)
	require.Less(t, o.Carried[0].OffMM, 0.05)
	require.Equal(t, "carry front", o.Wishes[0].Text)
	require.True(t, o.Wishes[0].Kept)
	require.Contains(t, r.stdout, "A and B are one line")
	require.Contains(t, strings.Join(o.SewingOrder, " "), "A meets B (front/side to back/side)")
	report, err := os.ReadFile(filepath.Join(dir, "out", job.ReportFile))
	require.NoError(t, err)
	require.Contains(t, string(report), "A and B are one line")
	for _, p := range o.Parts {
		for _, n := range p.Notches {
			require.Empty(t, n.Level, "a seam that goes on needs no mark of where it ends")
		}
	}
}

// A line ends at an opening that has a facing: that is a layer behind it, cut whole, or
// left out where it is optional and finds no room.
func TestCarryPastAFacing(t *testing.T) {
	t.Parallel()
	jacket := func(facts string) string {
		return `<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm" viewBox="0 0 900 400" fill="none" stroke="black">
<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 20,20 H 120 V 320 H 20 Z"/><path class="grain" d="M 70,40 V 300"/>
<path class="edge side" data-joins="back/side" d="M 120,20 V 320"/><path class="edge centre-front" data-joins="front-facing/centre-front" d="M 20,20 V 320"/></g>
<g id="back"><path class="seam" d="M 220,20 H 320 V 320 H 220 Z"/><path class="grain" d="M 270,40 V 300"/>
<path class="edge side" data-joins="front/side" d="M 320,20 V 320"/><path class="fold" d="M 220,20 V 320"/></g>
<g id="front-facing" data-cut="2" data-mirrored="yes" ` + facts + `><path class="seam" d="M 420,20 H 460 V 320 H 420 Z"/><path class="grain" d="M 440,40 V 300"/>
<path class="edge centre-front" data-joins="front/centre-front" d="M 420,20 V 320"/></g>
</svg>`
	}
	const body, facings = "a,navy,22,60", "c,rust,36,16"
	for name, c := range map[string]struct {
		facts   string
		rows    []string
		facings int // parts of them
	}{
		"a facing that is cut":   {"", []string{body, "b,cream,22,60", facings}, 2},
		"an optional one":        {`data-optional="yes"`, []string{body, "b,cream,22,60", facings}, 2},
		"one that finds no room": {`data-optional="yes"`, []string{body, "b,cream,22,60"}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			write(t, dir, "jacket.svg", jacket(c.facts))
			write(t, dir, "pile.csv", clothFor(c.rows...))
			r := eke(t, dir, "plan", "jacket.svg", "pile.csv", "-o", "out", "--wish", "carry front", "--max-seams", "0", "--options", "1", "--time", "20s")
			require.Equal(t, 0, r.code, r.stderr)
			if c.facings > 0 {
				verified(t, filepath.Join(dir, "out"))
			}
			o := &planIn(t, filepath.Join(dir, "out")).Options[0]
			require.Len(t, o.Carried, 1)
			require.Equal(t, []string{"front-facing"}, o.Carried[0].Past)
			parts := 0
			for _, p := range o.Parts {
				if p.Piece == "front-facing" {
					parts++
				}
			}
			require.Equal(t, c.facings, parts)
			require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "it goes past front-facing, which lies behind it")
			if c.facings > 0 {
				refused(t, dir, []string{"plan", "jacket.svg", "pile.csv", "--wish", "carry front to front-facing"}, "front-facing")
			}
			d := planIn(t, filepath.Join(dir, "out"))
			for complains, past := range map[string][]string{
				"past back, which is no facing":                                {"front-facing", "back"},
				"past back, and crosses it":                                    {"front-facing", "back"},
				"past hood-facing, and ends on no edge that is sewn to it":     {"front-facing", "hood-facing"},
				"ends at front-facing, and the line is not said to go past it": nil,
			} {
				d.Options[0].Carried[0].Past = past
				require.True(t, slices.ContainsFunc(check.Document(d), func(f check.Fault) bool { return strings.Contains(f.Detail, complains) }), complains)
			}
		})
	}
}

// A line that goes on into a band goes past the facing behind the same edge, and says so.
func TestCarryIntoABandAndPastAFacing(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jacket.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="400mm" viewBox="0 0 900 400" fill="none" stroke="black">
<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 20,20 H 120 V 320 H 20 Z"/><path class="grain" d="M 70,40 V 300"/>
<path class="edge side" data-joins="back/side" d="M 120,20 V 320"/><path class="edge centre-front" data-joins="band/long, front-facing/centre-front" d="M 20,20 V 320"/></g>
<g id="back"><path class="seam" d="M 220,20 H 320 V 320 H 220 Z"/><path class="grain" d="M 270,40 V 300"/>
<path class="edge side" data-joins="front/side" d="M 320,20 V 320"/><path class="fold" d="M 220,20 V 320"/></g>
<g id="band" data-cut="2" data-mirrored="yes"><path class="seam" d="M 520,20 H 560 V 320 H 520 Z"/><path class="grain" d="M 540,40 V 300"/>
<path class="edge long" data-joins="front/centre-front" d="M 560,20 V 320"/></g>
<g id="front-facing" data-cut="2" data-mirrored="yes"><path class="seam" d="M 420,20 H 460 V 320 H 420 Z"/><path class="grain" d="M 440,40 V 300"/>
<path class="edge centre-front" data-joins="front/centre-front" d="M 420,20 V 320"/></g>
</svg>`)
	write(t, dir, "pile.csv", clothFor("a,navy,24,80", "b,cream,24,80", "c,rust,36,16"))
	found(t, dir, "plan", "jacket.svg", "pile.csv", "-o", "out", "--wish", "carry front", "--max-seams", "0", "--options", "1", "--time", "20s")
	verified(t, filepath.Join(dir, "out"))
	o := &planIn(t, filepath.Join(dir, "out")).Options[0]
	require.Len(t, o.Carried, 1)
	require.Equal(t, []string{"front-facing"}, o.Carried[0].Past)
	on := map[string]int{}
	for _, s := range o.PiecingSeams {
		on[s.Piece]++
	}
	require.Equal(t, map[string]int{"front": 2, "back": 1, "band": 2}, on)
}

// A wish that cannot be kept says why, and what there is without it; one that
// cannot be meant is bad use.
func TestCarryWishNotKept(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	bare := strings.ReplaceAll(sides(""), "data-joins", "data-fitted")
	write(t, dir, "bare.svg", bare)
	write(t, dir, "pile.csv", clothFor("a,navy,31,23", "b,cream,31,23"))
	for name, c := range map[string]struct {
		pattern, wish string
		code          int
		says          string
	}{
		"no cloth":          {"shirt.svg", "carry front", 3, "without it there is a plan with no piecing seam"},
		"no such piece":     {"shirt.svg", "carry frock", 2, `there is no piece "frock"`},
		"no joins":          {"bare.svg", "carry front", 2, "front has no edge that names the edge it is sewn to"},
		"not understood":    {"shirt.svg", "carry", 2, `"carry" is not understood`},
		"to no other piece": {"shirt.svg", "carry front to front", 2, "as far as front itself"},
	} {
		t.Run(name, func(t *testing.T) {
			r := eke(t, dir, "plan", c.pattern, "pile.csv", "--wish", c.wish, "--max-seams", "1", "--time", "10s")
			require.Equal(t, c.code, r.code, r.stdout+r.stderr)
			require.Contains(t, strings.Join(strings.Fields(r.stdout+r.stderr), " "), c.says)
		})
	}
}

// Whatever is done to a carried line, the proof finds it.
func TestCarriedLineThatIsNone(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", clothFor("a,navy,18,23", "b,navy,18,23", "c,cream,18,23", "d,cream,18,23"))
	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "carry front", "--options", "1", "--time", "10s")
	require.Equal(t, 0, r.code, r.stderr)
	for name, spoil := range map[string]func(d *plan.Document, o *plan.Option){
		"a seam 2 mm lower": func(_ *plan.Document, o *plan.Option) {
			for i := range o.PiecingSeams[1].Line {
				o.PiecingSeams[1].Line[i][1] += 2
			}
		},
		"a piece left out":         func(_ *plan.Document, o *plan.Option) { o.Carried[0].Seams = o.Carried[0].Seams[:1] },
		"the leading piece":        func(_ *plan.Document, o *plan.Option) { o.Carried[0].Seams = o.Carried[0].Seams[1:] },
		"no seams":                 func(_ *plan.Document, o *plan.Option) { o.Carried[0].Seams = nil },
		"a seam that is not there": func(_ *plan.Document, o *plan.Option) { o.Carried[0].Seams[0] = "Z" },
		"a seam twice":             func(_ *plan.Document, o *plan.Option) { o.Carried[0].Seams[1] = "A" },
		"another look above": func(d *plan.Document, o *plan.Option) {
			for i := range d.Scraps {
				if d.Scraps[i].Name == o.Parts[0].Scrap {
					d.Scraps[i].Look = "rust"
				}
			}
		},
		"above and below mixed up": func(_ *plan.Document, o *plan.Option) {
			c := &o.Carried[0]
			c.Above, c.Below = "cream", "navy"
			if c.Above == lookOfPart(o, "front-upper") {
				c.Above, c.Below = c.Below, c.Above
			}
		},
		"ends said to meet worse": func(_ *plan.Document, o *plan.Option) { o.Carried[0].OffMM = 0.5 },
		"a turn left unsaid":      func(_ *plan.Document, o *plan.Option) { o.Carried[0].TurnDeg = 20 },
		"as far as what it is not": func(_ *plan.Document, o *plan.Option) {
			o.Carried[0].To = "sleeve"
		},
		"a wish that nothing keeps": func(_ *plan.Document, o *plan.Option) { o.Carried = nil },
		"pieces not joined": func(d *plan.Document, _ *plan.Option) {
			for i := range d.Pieces {
				for k := range d.Pieces[i].Edges {
					d.Pieces[i].Edges[k].Joins = nil
				}
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			d := planIn(t, filepath.Join(dir, "out"))
			require.Empty(t, check.Option(d, 0))
			spoil(d, &d.Options[0])
			var rules []check.Rule
			for _, f := range check.Option(d, 0) {
				rules = append(rules, f.Rule)
			}
			require.Contains(t, rules, check.CarriedLine)
		})
	}
}

func lookOfPart(o *plan.Option, name string) string {
	for _, p := range o.Parts {
		if p.Name == name {
			return map[string]string{"a": "navy", "b": "navy", "c": "cream", "d": "cream"}[p.Scrap]
		}
	}
	return ""
}

// The sample's curve runs on smoothly from the front into the back, one colour
// above it and one below.
func TestCarriedCurveOfTheSample(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	r := eke(t, dir, "plan", sample(t, "tshirt-child.svg"), sample(t, "jerseys.csv"), "-o", "out", "--wish", "carry front", "--seams", "curved yoke", "--options", "1", "--time", "30s")
	require.Equal(t, 0, r.code, r.stderr)
	verified(t, filepath.Join(dir, "out"))
	o := &planIn(t, filepath.Join(dir, "out")).Options[0]
	require.Len(t, o.PiecingSeams, 2)
	require.Len(t, o.Carried, 1)
	c := o.Carried[0]
	require.ElementsMatch(t, []string{"cream", "navy"}, []string{c.Above, c.Below})
	require.Less(t, c.TurnDeg, 0.5)
	for _, s := range o.PiecingSeams {
		require.Equal(t, "curved yoke", s.Kind)
		require.Equal(t, "curved yoke seam", s.Called)
	}
}

// twoFronts are a left and a right front of their own names, and the back between them.
const twoFronts = `<g id="left-front" data-side="left"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge side" data-joins="back/side" d="M 200,0 V 280"/></g>
<g id="right-front" data-side="right"><path class="seam" d="M 300,0 H 500 V 280 H 300 Z"/><path class="grain" d="M 350,40 V 80"/><path class="edge side" data-joins="back/side" d="M 300,0 V 280"/></g>
<g id="back"><path class="seam" d="M 600,0 H 640 V 280 H 600 Z"/><path class="grain" d="M 620,40 V 80"/><path class="fold" d="M 600,0 V 280"/><path class="edge side" d="M 640,0 V 280" data-joins="left-front/side, right-front/side"/></g>`

// Two edges of a name may each be sewn to one of several: both sides of a hood to the
// strip between them, and the sides of a back to a left and a right front of their own
// names. The line goes on from one through the middle to the other.
func TestCarryToEachItsOwn(t *testing.T) {
	t.Parallel()
	for lead, pieces := range map[string]string{
		"hood-side": `<g id="hood-side" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge crown" data-joins="middle/right" d="M 200,0 V 280"/></g>
<g id="middle"><path class="seam" d="M 300,0 H 380 V 280 H 300 Z"/><path class="grain" d="M 350,40 V 80"/><path class="edge right" d="M 380,0 V 280" data-joins="hood-side/crown"/><path class="edge left" d="M 300,0 V 280" data-joins="hood-side/crown"/></g>`,
		"left-front": twoFronts,
	} {
		dir := t.TempDir()
		write(t, dir, "pattern.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+pieces+`</svg>`)
		write(t, dir, "pile.csv", clothFor("a,navy,21,50", "b,navy,21,12", "c,cream,13,50", "d,cream,13,12"))
		r := eke(t, dir, "plan", "pattern.svg", "pile.csv", "-o", "out", "--wish", "carry "+lead, "--time", "10s")
		require.Equal(t, 0, r.code, r.stderr)
		verified(t, filepath.Join(dir, "out"))
		o := &planIn(t, filepath.Join(dir, "out")).Options[0]
		require.Len(t, o.Carried, 1)
		require.Len(t, o.Carried[0].Seams, 3)
		require.Less(t, o.Carried[0].OffMM, 0.05)
	}
}

// The lines of stripes and of blocks meet at both of its sides, too.
func TestStripesToEachItsOwn(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "pattern.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+twoFronts+`</svg>`)
	write(t, dir, "pile.csv", clothFor("a,navy,60,50", "b,cream,60,50"))
	for _, w := range []string{"stripes navy 80mm, cream 60mm", "stripes navy 140mm, cream 140mm", "blocks 150mm"} {
		r := eke(t, dir, "plan", "pattern.svg", "pile.csv", "--wish", w, "--time", "10s")
		require.Equal(t, 0, r.code, r.stderr)
		require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "kept")
	}
}
