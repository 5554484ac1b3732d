package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// blockPile is strips of two looks that three blocks of 70 mm go on, and a patch
// that nothing of one look can do without.
func blockPile(navy, cream int) string {
	var rows []string
	for k := range navy {
		rows = append(rows, fmt.Sprintf("navy %d,navy,10,30", k))
	}
	for k := range cream {
		rows = append(rows, fmt.Sprintf("cream %d,cream,10,30", k))
	}
	return clothFor(rows...)
}

// Blocks for which there is no cloth at all are no fault of eke's.
func TestBlocksOfNoCloth(t *testing.T) {
	t.Parallel()
	r := eke(t, t.TempDir(), "plan", sample(t, "raglan-child.svg"), "--scrap", "sheet: 60 x 60 cm", "--wish", "blocks 150mm", "--time", "2s")
	require.Equal(t, 3, r.code, r.stderr)
	require.Contains(t, strings.Join(strings.Fields(r.stdout+r.stderr), " "), "and there are 0.00 m²")
}

// A shirt is cut in a grid of blocks, no two of one look side by side, and whatever
// is done to them the proof finds it.
func TestBlocksWish(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", blockPile(5, 5))
	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "Blocks 7 cm", "--max-seams", "0", "--options", "1", "--time", "20s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "out"))
	o := &planIn(t, filepath.Join(dir, "out")).Options[0]
	require.Equal(t, plan.Wish{Text: "blocks 70mm", Kept: true, How: "24 blocks of 70 mm, each from one scrap; level lines meet within 1 mm at back/side to front/side; no two of one look lie side by side"}, o.Wishes[0])
	require.Zero(t, o.Blocks.Larger)
	require.Zero(t, o.Intrusion, "%v", o.Cost)
	require.Equal(t, "seams wished for", o.Cost[0].Name)
	require.Len(t, o.Parts, 24)
	require.Nil(t, o.Stripes)

	piece := func(o *plan.Option) *plan.BlockedPiece { return &o.Blocks.Pieces[0] }
	for name, spoil := range map[string]func(d *plan.Document, o *plan.Option){
		"no blocks":             func(_ *plan.Document, o *plan.Option) { o.Blocks = nil },
		"another size":          func(_ *plan.Document, o *plan.Option) { o.Blocks.SizeMM = 60 },
		"another wish":          func(_ *plan.Document, o *plan.Option) { o.Wishes[0].Text = "blocks 80mm" },
		"a preferred wish":      func(_ *plan.Document, o *plan.Option) { o.Wishes[0].Text = "prefer blocks 80mm" },
		"a piece unknown":       func(_ *plan.Document, o *plan.Option) { piece(o).Piece = "frock" },
		"the leading piece":     func(_ *plan.Document, o *plan.Option) { o.Blocks.Lead = "sleeve" },
		"no rows":               func(_ *plan.Document, o *plan.Option) { piece(o).Bands = nil },
		"a row moved":           func(_ *plan.Document, o *plan.Option) { piece(o).Bands[1].FromMM += 2 },
		"a level line left out": func(_ *plan.Document, o *plan.Option) { piece(o).LevelsMM = piece(o).LevelsMM[1:] },
		"a line that is none":   func(_ *plan.Document, o *plan.Option) { piece(o).LevelsMM[1] += 3 },
		"no upright lines":      func(_ *plan.Document, o *plan.Option) { piece(o).UprightsMM = nil },
		"an upright line moved": func(_ *plan.Document, o *plan.Option) { piece(o).UprightsMM[0] += 3 },
		"another centre":        func(_ *plan.Document, o *plan.Option) { piece(o).CentreMM += 5 },
		"a larger block":        func(_ *plan.Document, o *plan.Option) { o.Blocks.Larger++ },
		"more that meet":        func(_ *plan.Document, o *plan.Option) { o.Blocks.Meets[0].Meet++ },
		"blocks alike": func(_ *plan.Document, o *plan.Option) {
			o.Blocks.Alike = append(o.Blocks.Alike, plan.AlikeBlocks{Parts: [2]string{o.Parts[0].Name, o.Parts[1].Name}, Copies: [2]int{1, 1}})
		},
		"looks that are alike": func(d *plan.Document, _ *plan.Option) {
			for i := range d.Scraps {
				d.Scraps[i].Look = "navy"
			}
		},
	} {
		d := planIn(t, filepath.Join(dir, "out"))
		require.Empty(t, check.Document(d))
		spoil(d, &d.Options[0])
		faults := check.Document(d)
		require.True(t, slices.ContainsFunc(faults, func(f check.Fault) bool { return f.Rule == check.Blocks }), "%s: %v", name, faults)
	}
}

// Where a look runs out, blocks of another lie side by side at the back and not in
// front; where cloth runs out, what is missing is said; a preference is no must; a
// size that is none is not understood.
func TestBlocksWishOtherwise(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "shirt.svg", sides(""))
	write(t, dir, "pile.csv", blockPile(3, 7))
	write(t, dir, "few.csv", blockPile(2, 2))
	write(t, dir, "whole.csv", clothFor("a,navy,31,23", "b,navy,31,23"))

	r := eke(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--wish", "blocks 70mm", "--options", "1", "--time", "20s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "out"))
	o := &planIn(t, filepath.Join(dir, "out")).Options[0]
	require.NotEmpty(t, o.Blocks.Alike)
	for _, a := range o.Blocks.Alike {
		require.Contains(t, strings.Join(a.Parts[:], " "), "back-", "%v", o.Blocks.Alike)
	}
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "side by side in one look, which could not be helped: ")

	r = eke(t, dir, "plan", "shirt.svg", "few.csv", "--wish", "blocks 70mm", "--max-seams", "1", "--time", "10s")
	require.Equal(t, 3, r.code, r.stdout+r.stderr)
	require.Contains(t, strings.Join(strings.Fields(r.stdout+r.stderr), " "), `"blocks 70mm": the blocks need`)

	r = eke(t, dir, "plan", "shirt.svg", "whole.csv", "--wish", "prefer blocks 70mm", "-o", "whole", "--time", "10s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "whole"))
	d := planIn(t, filepath.Join(dir, "whole"))
	require.False(t, d.Options[0].Wishes[0].Kept)
	require.True(t, slices.ContainsFunc(d.Options[0].Cost, func(c plan.Term) bool { return c.Name == "a preferred wish" }))
	require.Contains(t, strings.Join(d.Notes, " "), `"blocks 70mm" is preferred, and the plans here are without it: the blocks need`)

	r = eke(t, dir, "plan", "shirt.svg", "pile.csv", "whole.csv", "--wish", "prefer blocks 70mm", "--options", "3", "-o", "both", "--time", "10s")
	require.Equal(t, 0, r.code, r.stdout+r.stderr)
	verified(t, filepath.Join(dir, "both"))
	d = planIn(t, filepath.Join(dir, "both"))
	kept := func(o plan.Option) bool { return o.Wishes[0].Kept }
	require.True(t, slices.ContainsFunc(d.Options, kept))
	require.Equal(t, "prefer blocks 70mm", d.Options[0].Wishes[0].Text)

	r = eke(t, dir, "plan", "shirt.svg", "pile.csv", "--wish", "blocks 5mm")
	require.Equal(t, 2, r.code, r.stdout+r.stderr)
	require.Contains(t, r.stderr, "is not understood")
}
