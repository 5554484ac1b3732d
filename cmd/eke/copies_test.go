package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The three vest hems of the sample are one group with a count. Its band is
// 1398 mm long and a hem 526, so that three hems and two seams do.
// (Common practice, no source.)
func TestTheBandOfTheCardiganTakesThreeHems(t *testing.T) {
	dir := t.TempDir()
	found(t, dir, "plan", sample(t, "cardigan.svg"), sample(t, "jumpers.svg"), "--options", "1", "-o", "out")
	best := verified(t, filepath.Join(dir, "out")).Options[0]
	require.Equal(t, 2, best.Seams)
	for _, s := range best.Piecing {
		require.Equal(t, "band", s.Piece)
	}
}

// Trousers from a row of 14 equal scraps need as many seams as from 14 rows.
func TestARowWithACountPlansAsRowsDo(t *testing.T) {
	dir := t.TempDir()
	leg := func(name string, w int) string {
		return fmt.Sprintf(`<g id=%q data-cut="2"><path class="seam" d="M 0,0 H %d L %d,300 L %d,950 H 20 L 0,300 Z"/><path class="grain" d="M 60,40 V 800"/></g>`, name, w-60, w, w-40)
	}
	write(t, dir, "trousers.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+leg("front", 260)+leg("back", 320)+`</svg>`)
	const head = "name,length_cm,width_cm,count\n"
	write(t, dir, "counted.csv", head+"jeans,55,36,14\n")
	var rows strings.Builder
	for k := range 14 {
		fmt.Fprintf(&rows, "jeans no %d,%.3f,%.3f,1\n", k+1, 55+0.001*float64(k), 36+0.001*float64(k))
	}
	write(t, dir, "rows.csv", head+rows.String())
	for _, pile := range []string{"counted", "rows"} {
		found(t, dir, "plan", "trousers.svg", pile+".csv", "--options", "1", "-o", pile)
		// No scrap is as long as a leg, so each of the four is cut once.
		require.Equal(t, 4, verified(t, filepath.Join(dir, pile)).Options[0].Seams, pile)
	}
}

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
	plan := []string{"plan", "trousers.svg", "bits.csv", "--options", "1", "-o", "out", "--time", "8s"}
	found(t, dir, plan...)
	require.Equal(t, 9, verified(t, filepath.Join(dir, "out")).Options[0].Seams)

	r := eke(t, dir, append(plan, "--max-seams", "8")...)
	require.Equal(t, 3, r.code)
	require.Contains(t, r.stdout, "--max-seams 8 stands in the way: with 9 piecing seams")
	require.Contains(t, r.stdout, "give --max-seams 9")

	// Bits that are smaller in both directions take rows of parts.
	var bits strings.Builder
	bits.WriteString("name,length_cm,width_cm,count\n")
	for k := range 12 {
		fmt.Fprintf(&bits, "bit %d,%d,%d,6\n", k, 16+k, 28-k)
	}
	write(t, dir, "bits.csv", bits.String())
	found(t, dir, plan...)
	require.Greater(t, verified(t, filepath.Join(dir, "out")).Options[0].Seams, 20)
}
