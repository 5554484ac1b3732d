//go:build linux

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Trousers from twenty scraps of 42 x 45 cm: each of the four legs is a metre long
// and so comes in three parts, and the waistband in two. No limit on seams stands
// in the way of that unless it is asked for.
func TestTrousersFromSmallScraps(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "trousers.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1600mm" height="1200mm" viewBox="0 0 1600 1200">
<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 40,0 L 240,0 L 260,280 L 250,1000 L 20,1000 L 0,280 Z"/><path class="grain" d="M 120,200 V 800"/></g>
<g id="back" data-cut="2" data-mirrored="yes"><path class="seam" d="M 480,0 L 680,0 L 700,300 L 680,1000 L 420,1000 L 380,300 Z"/><path class="grain" d="M 520,200 V 800"/></g>
<g id="waistband"><path class="seam" d="M 800,0 H 1560 V 80 H 800 Z"/><path class="grain" d="M 900,40 H 1400"/></g>
</svg>`)
	write(t, dir, "bits.csv", "name,length_cm,width_cm,count\nbit,45,42,20\n")
	plan := []string{"plan", "trousers.svg", "bits.csv", "--options", "1", "-o", "out", "--time"}
	soon := func(seams string) int { // a plan with so many seams is enough
		s := start(t, dir, append(plan, "10m")...)
		s.until(t, "best so far: "+seams+" seams")
		require.NoError(t, s.Process.Signal(os.Interrupt))
		s.ends(t)
		require.Zero(t, s.ProcessState.ExitCode())
		return verified(t, filepath.Join(dir, "out")).Options[0].Seams
	}
	require.Equal(t, 9, soon("9"))

	r := eke(t, dir, append(plan, "8s", "--max-seams", "8")...)
	require.Equal(t, 3, r.code)
	require.Contains(t, r.stdout, "--max-seams 8 stands in the way: there is a plan with 9 piecing seams")
	require.Contains(t, r.stdout, "give --max-seams 9")

	// Bits that are smaller in both directions take rows of parts.
	var bits strings.Builder
	bits.WriteString("name,length_cm,width_cm,count\n")
	for k := range 12 {
		fmt.Fprintf(&bits, "bit %d,%d,%d,6\n", k, 16+k, 28-k)
	}
	write(t, dir, "bits.csv", bits.String())
	require.Greater(t, soon("[2-9][0-9]"), 20)
}
