package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// skirtWith is a skirt of two panels that are lined, with what its waist is joined to and
// the waistbands that are drawn beside it.
func skirtWith(frontJoins, backJoins, more string) string {
	panel := func(name, other, joins string, y int) string {
		return fmt.Sprintf(`<g id="%s" data-lining="yes" data-allowance="10mm"><path class="seam" d="M 0,%d h 200 v 400 h -200 Z"/><path class="grain" d="M 5,%d v 20"/>`+
			`<path class="edge %s d="M 0,%d h 200"/><path class="edge side" data-joins="%s/side" d="M 200,%d v 400"/><path class="edge hem" d="M 200,%d h -200"/><path class="fold" d="M 0,%d v -400"/></g>`,
			name, y, y+10, joins, y, other, y, y+400, y+400)
	}
	return `<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">` +
		panel("front", "back", frontJoins, 0) + panel("back", "front", backJoins, 500) + more + `</svg>`
}

// bandOf is a waistband that is drawn on the fold: half as wide as it is long.
func bandOf(name, end, bottom string, y, wide int) string {
	return fmt.Sprintf(`<g id="%s"><path class="seam" d="M 0,%d h %d v 60 h %d Z"/><path class="grain" d="M 5,%d v 20"/><path class="edge end" %s d="M %d,%d v 60"/><path class="edge %s d="M %d,%d h %d"/><path class="fold" d="M 0,%d v -60"/></g>`,
		name, y, wide, -wide, y+10, end, wide, y, bottom, wide, y+60, -wide, y+60)
}

// A lining goes in last, or before the waistband or casing that takes it in.
func TestWhereALiningGoesIn(t *testing.T) {
	t.Parallel()
	joined := func(band string) string { return fmt.Sprintf(`waist" data-joins="%s/bottom"`, band) }
	one := func(name string) string {
		return skirtWith(joined(name), joined(name), bandOf(name, "", `bottom" data-joins="front/waist, back/waist"`, 1000, 400))
	}
	for name, c := range map[string]struct{ pattern, before string }{
		"last":               {skirtWith(`waist"`, `waist"`, ""), ""},
		"before a waistband": {one("waistband"), "Sew waistband on: "},
		"a front waistband":  {one("front waistband"), "Sew front waistband on: "},
		"a waist band":       {one("waist band"), "Sew waist band on: "},
		"two waistbands": {skirtWith(joined("front waistband"), joined("back waistband"),
			bandOf("front waistband", `data-joins="back waistband/end"`, `bottom" data-joins="front/waist"`, 1000, 200)+
				bandOf("back waistband", `data-joins="front waistband/end"`, `bottom" data-joins="back/waist"`, 1200, 200)), "Sew back waistband and front waistband on: "},
		"a waistband by its name":      {skirtWith(`waist"`, `waist"`, bandOf("waistband", "", `waist"`, 1000, 380)), "Sew waistband on, to "},
		"a waist band by its name":     {skirtWith(`waist"`, `waist"`, bandOf("waist band", "", `waist"`, 1000, 380)), "Sew waist band on, to "},
		"a waist that is turned in":    {skirtWith(`waist" data-allowance="35mm"`, `waist" data-allowance="35mm"`, ""), "Turn in and sew down front/waist"},
		"a casing":                     {skirtWith(`casing" data-allowance="35mm"`, `casing" data-allowance="35mm"`, ""), "Turn in and sew down front/casing"},
		"last, after a waist's facing": {skirtWith(joined("waist facing"), joined("waist facing"), bandOf("waist facing", "", `bottom" data-joins="front/waist, back/waist"`, 1000, 400)), ""},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			write(t, dir, "skirt.svg", c.pattern)
			write(t, dir, "cloth.csv", "name,length_cm,width_cm,use\nwool,300,200,\nsatin,300,200,lining\n")
			found(t, dir, "plan", "skirt.svg", "cloth.csv", "--lining", "--options", "1", "--time", "10s", "-o", "out")
			order := planIn(t, filepath.Join(dir, "out")).Options[0].SewingOrder
			at := slices.Index(order, liningStep("lining/plan.json"))
			require.NotEqual(t, -1, at)
			if c.before == "" {
				require.Equal(t, len(order)-1, at, order)
				return
			}
			require.Less(t, at+1, len(order), order)
			require.True(t, strings.HasPrefix(order[at+1], c.before), order)
		})
	}
}
