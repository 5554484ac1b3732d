package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A pattern whose page says another unit than it was drawn in is doubted, one of
// a usual size is not.
func TestAPageThatSaysAnotherUnit(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for page, doubted := range map[string]bool{"40mm": true, "400mm": false, "4000mm": false, "400in": true} {
		write(t, dir, "bag.svg", strings.ReplaceAll(`<svg xmlns="http://www.w3.org/2000/svg" width="PAGE" height="PAGE" viewBox="0 0 400 400">
			<g id="bag"><path class="seam" d="M 10,10 H 310 V 210 H 10 Z"/><path class="grain" d="M 100,50 V 150"/></g></svg>`, "PAGE", page))
		r := eke(t, dir, "fit", "bag.svg", "--scrap", "linen: 23 x 31 cm")
		require.Equal(t, doubted, strings.Contains(strings.Join(strings.Fields(r.stdout+r.stderr), " "), "say another unit"), "%s: %s%s", page, r.stdout, r.stderr)
	}
}
