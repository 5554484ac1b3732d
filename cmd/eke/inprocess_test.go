//go:build linux

package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// The commands run in this process, with a terminal for their progress. The
// binary that other tests run is built without the race detector; here it sees
// what the commands do side by side.
func TestCommandsInOneProcess(t *testing.T) {
	dir := t.TempDir()
	pattern, out := write(t, dir, "flag.svg", flag), filepath.Join(dir, "out")
	for _, args := range [][]string{
		{"fit", pattern, "--scrap", "linen: 24 x 20 cm"},
		{"plan", pattern, "--scrap", "linen: 24 x 20 cm", "--scrap", "navy: 24 x 20 cm", "-o", out},
		{"sheets", filepath.Join(out, "option-1")},
		{"split", pattern, "--piece", "flag", "--yoke", "100mm", "-o", filepath.Join(dir, "halves")},
	} {
		terminal, end := openTerminal(t)
		var stdout bytes.Buffer
		require.Equal(t, exitPlan, run(args, &stdout, end), "%v", args)
		require.NotEmpty(t, stdout.String())
		require.NoError(t, end.Close())
		require.NoError(t, terminal.Close())
	}
	verified(t, out)
	require.FileExists(t, filepath.Join(out, "option-1", "parts-a4.pdf"))
}
