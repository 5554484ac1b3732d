package main

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A curved yoke may be the only kind of seam; a note says where it is tried.
func TestCurvedYokesAlone(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, kind := range []string{"curved yoke", "Curved Yoke"} {
		r := found(t, dir, "plan", sample(t, "tshirt.svg"), sample(t, "scraps.csv"), "--seams", kind, "--max-seams", "1", "-o", "out")
		require.Contains(t, oneRow(r.stdout), `give --seams "`+kind+`,yoke"`)
		options := verified(t, filepath.Join(dir, "out")).Options
		require.NotEmpty(t, options)
		for _, s := range options[0].Piecing {
			require.Equal(t, "curved yoke", s.Kind)
		}
	}
	write(t, dir, "flag.svg", flag)
	r := eke(t, dir, "plan", "flag.svg", "--scrap", "linen 1: 22.5 x 17 cm", "--scrap", "linen 2: 22.5 x 17 cm", "--seams", "curved yoke", "--max-seams", "1")
	require.Equal(t, exitNothing, r.code)
	require.Contains(t, oneRow(r.stdout), "near an underarm")
}

// oneRow is text with its line breaks taken out.
func oneRow(s string) string { return strings.Join(strings.Fields(s), " ") }
