package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A sleeve has no centre seam, for the garment's centre is elsewhere, nor can the seam
// that closes it be moved.
func TestSeamDownASleeve(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "sleeve.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="600mm" viewBox="0 0 900 600">
<g id="sleeve" data-cut="2"><path class="seam" d="M 0,100 Q 150,-60 300,100 L 260,500 H 40 Z"/><path class="grain" d="M 150,120 V 300"/>
<path class="edge" id="sleeve-cap" data-joins="body/body-armhole" d="M 0,100 Q 150,-60 300,100"/>
<path class="edge" id="sleeve-under" data-joins="sleeve/sleeve-under2" d="M 300,100 L 260,500"/><path class="edge" id="sleeve-under2" d="M 40,500 L 0,100"/></g>
<g id="body" data-cut="2"><path class="seam" d="M 400,100 Q 550,-60 700,100 V 500 H 400 Z"/><path class="grain" d="M 550,120 V 300"/>
<path class="edge" id="body-armhole" d="M 400,100 Q 550,-60 700,100"/></g></svg>`)
	r := found(t, dir, "split", "sleeve.svg", "--piece", "sleeve", "--centre", "-o", "out")
	require.Contains(t, r.stdout, "lengthwise seam")
	require.NotContains(t, r.stdout, "centre seam")

	bad := eke(t, dir, "split", "sleeve.svg", "--piece", "sleeve", "--move", "hem=20mm", "-o", "out")
	require.Equal(t, exitUse, bad.code)
	require.Contains(t, bad.stderr, `sleeve has no edge "hem" that joins another piece; those that do are sleeve-cap`)
	require.NotContains(t, bad.stderr, "sleeve-under")
}
