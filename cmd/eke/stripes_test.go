package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// stripedPile is rows of scraps for stripes of the shirt of sides.
func stripedPile() string {
	var rows []string
	for _, look := range []string{"navy", "cream"} {
		for k := range 6 {
			rows = append(rows, strings.Join([]string{look + " " + string(rune('a'+k)), look, "9", "25"}, ","))
		}
	}
	return clothFor(append(rows, "navy x,navy,9,14", "navy y,navy,9,14", "rust,rust,40,40")...)
}

// A shirt that would come from one scrap is cut in stripes that go on round it.
func TestStripesWish(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", stripedPile())
	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "Stripes Navy 6cm, cream 40 mm", "--max-seams", "0", "--options", "1", "--time", "20s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "out"))
	o := &planIn(t, filepath.Join(dir, "out")).Options[0]
	require.Equal(t, []string{"navy", "cream"}, o.Stripes.Looks)
	require.Equal(t, []float64{60, 40}, o.Stripes.DepthsMM)
	require.Equal(t, "stripes navy 60mm, cream 40mm", o.Wishes[0].Text)
	require.True(t, o.Wishes[0].Kept)
	require.Len(t, o.Stripes.Pieces, 2)
	require.Empty(t, o.Stripes.Breaks())
	require.Equal(t, "seams wished for", o.Cost[0].Name)
	require.Zero(t, o.Cost[0].Points)
	for _, c := range o.Cost[1:] {
		require.NotContains(t, c.Name, "looks", "stripes are patchwork that was asked for")
	}
	for _, m := range o.Stripes.Meets {
		require.Equal(t, "back/side front/side", m.Join)
		require.Equal(t, m.Lines, m.Meet)
	}
	for _, p := range o.Parts {
		require.Contains(t, []string{"navy", "cream"}, p.Look)
	}
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "they meet within 1 mm at back/side to front/side")
}

// Depths that are not given are chosen; stripes that cannot be cut say what is
// missing; looks that are not there are bad use.
func TestStripesWishOtherwise(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", stripedPile())
	write(t, dir, "few.csv", clothFor("a,navy,9,25", "b,cream,9,25", "c,cream,9,25"))
	for name, c := range map[string]struct {
		pile, wish string
		code       int
		says       string
	}{
		"depths chosen":  {"pile.csv", "stripes navy, cream", 0, "in turn"},
		"too little":     {"few.csv", "stripes navy 60mm, cream 40mm", 3, "navy: the stripes need"},
		"no such look":   {"pile.csv", "stripes navy 60mm, teal 40mm", 2, `names a look "teal", and no scrap has it`},
		"one look":       {"pile.csv", "stripes navy 60mm", 2, "is not understood"},
		"one depth":      {"pile.csv", "stripes navy 60mm, cream", 2, "is not understood"},
		"too shallow":    {"pile.csv", "stripes navy 5mm, cream 5mm", 2, "is not understood"},
		"no lengthwise":  {"pile.csv", "stripes navy, cream", 2, "needs seams of the kinds yoke and panel"},
		"carried as one": {"pile.csv", "stripes navy, cream", 2, "leave the other out"},
	} {
		t.Run(name, func(t *testing.T) {
			args := []string{"plan", "shirt.svg", c.pile, "--wish", c.wish, "--max-seams", "2", "--time", "10s"}
			switch name {
			case "no lengthwise":
				args = append(args, "--seams", "yoke")
			case "carried as one":
				args = append(args, "--wish", "carry front")
			}
			r := eke(t, dir, args...)
			require.Equal(t, c.code, r.code, r.stdout+r.stderr)
			require.Contains(t, strings.Join(strings.Fields(r.stdout+r.stderr), " "), c.says)
		})
	}
}

// Where a look runs out, the sequence breaks at the back, and the report says where.
func TestStripesBreakAtTheBack(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", clothFor("a,navy,9,25", "b,navy,9,25", "c,navy,9,25", "e,cream,9,25", "f,cream,9,25", "g,cream,9,25", "h,cream,9,25", "i,cream,9,25", "j,cream,9,25", "k,cream,9,25"))
	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "stripes navy 60mm, cream 60mm", "--options", "1", "--time", "20s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "out"))
	o := &planIn(t, filepath.Join(dir, "out")).Options[0]
	require.NotEmpty(t, o.Stripes.Breaks())
	for _, b := range o.Stripes.Breaks() {
		require.Contains(t, b, "of back is cream and not navy")
	}
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "breaks the sequence")
	require.True(t, slices.ContainsFunc(o.Cost, func(c plan.Term) bool { return c.Name == "the stripes break" && c.Points > 0 }))
	report, err := os.ReadFile(filepath.Join(dir, "out", "report.html"))
	require.NoError(t, err)
	require.Contains(t, string(report), "of back is cream and not navy", "the report says where")
}

// Whatever is done to stripes, the proof finds it.
func TestStripesThatAreNone(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", stripedPile())
	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "stripes navy 60mm, cream 40mm", "--options", "1", "--time", "20s")
	require.Equal(t, 0, r.code, r.stderr)
	inner := func(o *plan.Option) *plan.StripeBand { return &o.Stripes.Pieces[0].Bands[2] }
	for name, spoil := range map[string]func(d *plan.Document, o *plan.Option){
		"no stripes":             func(_ *plan.Document, o *plan.Option) { o.Stripes = nil },
		"other depths":           func(_ *plan.Document, o *plan.Option) { o.Stripes.DepthsMM[0] = 50 },
		"other looks":            func(_ *plan.Document, o *plan.Option) { o.Stripes.Looks[0] = "rust" },
		"looks turned round":     func(_ *plan.Document, o *plan.Option) { slices.Reverse(o.Stripes.Looks) },
		"a piece unknown":        func(_ *plan.Document, o *plan.Option) { o.Stripes.Pieces[0].Piece = "frock" },
		"a piece with no bands":  func(_ *plan.Document, o *plan.Option) { o.Stripes.Pieces[0].Bands = nil },
		"a band cut off":         func(_ *plan.Document, o *plan.Option) { o.Stripes.Pieces[1].Bands = o.Stripes.Pieces[1].Bands[1:] },
		"a line 2 mm lower":      func(_ *plan.Document, o *plan.Option) { inner(o).FromMM += 2 },
		"a band of another look": func(_ *plan.Document, o *plan.Option) { inner(o).Look = "rust" },
		"a break in front": func(_ *plan.Document, o *plan.Option) {
			inner(o).Look, inner(o).Wanted = "rust", inner(o).Look
		},
		"the leading piece":    func(_ *plan.Document, o *plan.Option) { o.Stripes.Lead = "sleeve" },
		"an upright said more": func(_ *plan.Document, o *plan.Option) { o.Stripes.Uprights++ },
		"more that meet":       func(_ *plan.Document, o *plan.Option) { o.Stripes.Meets[0].Meet++ },
		"a join that is none":  func(_ *plan.Document, o *plan.Option) { o.Stripes.Meets[0].Join = "back/hem front/hem" },
		"stripes moved up on one piece": func(_ *plan.Document, o *plan.Option) {
			for i := range o.Stripes.Pieces[1].Bands {
				o.Stripes.Pieces[1].Bands[i].Stripe++
			}
		},
		"a scrap of another look": func(d *plan.Document, o *plan.Option) {
			for i := range d.Scraps {
				if d.Scraps[i].Name == o.Parts[0].Scrap {
					d.Scraps[i].Look = "rust"
				}
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			d := planIn(t, filepath.Join(dir, "out"))
			require.Empty(t, check.Document(d))
			spoil(d, &d.Options[0])
			faults := check.Document(d)
			require.NotEmpty(t, faults)
			require.True(t, slices.ContainsFunc(faults, func(f check.Fault) bool { return f.Rule == check.Stripes }), "%v", faults)
		})
	}
}

// The samples' strips make a child's t-shirt and a cardigan, all stripes in sequence.
func TestStripesOfTheSamples(t *testing.T) {
	for name, c := range map[string]struct {
		scraps, wish string
		count        int
	}{
		"tshirt-child.svg":   {"stripes.csv", "stripes navy 60mm, cream 50mm", 25},
		"cardigan-child.svg": {"cardigan-strips.csv", "stripes burgundy 60mm, ecru 40mm", 24},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			r := eke(t, dir, "plan", sample(t, name), sample(t, c.scraps), "-o", "out", "--wish", c.wish, "--options", "1", "--time", "30s")
			require.Equal(t, 0, r.code, r.stdout+r.stderr)
			verified(t, filepath.Join(dir, "out"))
			d := planIn(t, filepath.Join(dir, "out"))
			require.Len(t, d.Scraps, c.count)
			o := &d.Options[0]
			require.Empty(t, o.Stripes.Breaks())
			for _, m := range o.Stripes.Meets {
				if m.Join == "back/side front/side" {
					require.Equal(t, m.Lines, m.Meet)
				}
			}
			for _, s := range o.PiecingSeams {
				if s.Piece == "band" {
					require.Equal(t, "join at the shoulder seam", s.Why)
				}
			}
		})
	}
}
