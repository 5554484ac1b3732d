package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestScaleSheet(t *testing.T) {
	dir := t.TempDir()
	for paper, size := range map[string][2]float64{"a4": {210, 297}, "letter": {215.9, 279.4}} {
		r := found(t, dir, "sheets", "--scale-sheet", "--paper", paper)
		require.Contains(t, r.stdout, "print at 100 %")
		w, h, n := page(t, filepath.Join(dir, "scale-sheet-"+paper+".pdf"))
		require.Equal(t, 1, n)
		require.InDelta(t, size[0], w, 0.05)
		require.InDelta(t, size[1], h, 0.05)
	}
	found(t, dir, "sheets", "--scale-sheet", "-o", "mine.pdf")
	require.Equal(t, []string{"mine.pdf", "scale-sheet-a4.pdf", "scale-sheet-letter.pdf"}, listed(t, dir))
	refused(t, dir, []string{"sheets", "--scale-sheet", "--paper", "a3"}, "a4 or letter")
	refused(t, dir, []string{"sheets", "--scale-sheet", "x.svg"}, "by itself")
	refused(t, dir, []string{"sheets", "--scale-sheet", "--each"}, "by itself")
	refused(t, dir, []string{"sheets", "--scale-sheet", "-o", "sheet.svg"}, ".pdf")
}
