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
	t.Parallel()
	out, _ := planned(t, "cardigan.svg jumpers.svg --options 1")
	best := verified(t, out).Options[0]
	require.Equal(t, 2, best.Seams)
	for _, s := range best.Piecing {
		require.Equal(t, "band", s.Piece)
	}
}

// Trousers from a row of 14 equal scraps need as many seams as from 14 rows.
func TestARowWithACountPlansAsRowsDo(t *testing.T) {
	t.Parallel()
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
