package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Of plans with as many seams and points the one that pieces the back comes first,
// whichever piece is drawn first (common practice, no source).
func TestSeamsAtTheBackComeFirst(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	frontFirst := sides("")
	lines := strings.Split(frontFirst, "\n")
	lines[1], lines[2] = lines[2], lines[1]
	backFirst := strings.Join(lines, "\n")
	require.Less(t, strings.Index(frontFirst, `id="front"`), strings.Index(frontFirst, `id="back"`))
	require.Less(t, strings.Index(backFirst, `id="back"`), strings.Index(backFirst, `id="front"`))
	write(t, dir, "pile.csv", clothFor("long,tweed,31,23", "short,tweed,17,23", "short 2,tweed,17,23"))
	for _, drawn := range []string{frontFirst, backFirst} {
		write(t, dir, "shirt.svg", drawn)
		found(t, dir, "plan", "shirt.svg", "pile.csv", "-o", "out", "--options", "2", "--seams", "yoke", "--time", "20s")
		d := planIn(t, filepath.Join(dir, "out"))
		require.Len(t, d.Options, 2)
		require.InDelta(t, d.Options[0].Intrusion, d.Options[1].Intrusion, 1e-9)
		require.Equal(t, []string{"back", "front"}, []string{d.Options[0].PiecingSeams[0].Piece, d.Options[1].PiecingSeams[0].Piece})
	}
}
