package split_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is set in between other pieces is called by its name, and no sleeve; a sleeve is
// one by whatever names. A gusset goes in before the seam that its ends lie on.
// (Common practice, no source.)
func TestWhatIsSetInIsNoSleeve(t *testing.T) {
	body := func(gusset string) []string {
		return []string{
			oblong("voor", pair, 0, 200, 400, "top", to("arm", gusset+"/voor"), "zoom", to("midden", "voor/midden")),
			oblong("rug", pair, 500, 200, 400, "top", to("arm", gusset+"/rug"), "zoom", to("midden", "rug/midden")),
		}
	}
	sleeve := `<g id="arm" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,1000 h 800 v 500 h -800 Z"/><path class="grain" d="M 5,1005 v 10"/>
<path class="edge voor" d="M 0,1000 h 400"/><path class="edge rug" d="M 400,1000 h 400"/><path class="edge a" data-joins="arm/b" d="M 800,1000 v 500"/><path class="edge b" d="M 0,1500 v -500"/></g>`
	for name, c := range map[string]struct {
		groups []string
		want   string // a step starts so
		none   string // no step says that
	}{
		"a sleeve with no word of one": {append(body("arm"), sleeve),
			"Set in the sleeves while they lie flat: ", "Set in arm"},
		"the gusset of leggings": {[]string{
			oblong("leg", pair, 0, 300, 700, to("gusset-end", "gusset/long"), to("inseam-back", "leg/inseam-front"), "hem", "inseam-front"),
			oblong("gusset", "", 1000, 100, 300, "end", to("long", "leg/gusset-end"), "low", ""),
		}, "Set in gusset: gusset/long to leg/gusset-end", "leeve"},
		"a gusset under the arm": {[]string{
			oblong("front", pair, 0, 200, 400, "top", to("armhole", "gusset/a"), "hem", to("centre", "front/centre")),
			oblong("gusset", pair, 500, 400, 80, to("a", "front/armhole"), "", "low", ""),
		}, "Set in gusset: gusset/a to front/armhole", "leeve"},
		"the base of a bag": {[]string{
			oblong("side", `data-cut="2"`, 0, 300, 400, "top", to("edge", "base/along"), to("under", "base/long"), "fold"),
			oblong("base", "", 500, 400, 100, to("along", "side/edge"), to("x", "side/under"), to("long", "side/under"), to("y", "side/under")),
		}, "Set in base: base/along to side/edge", "leeve"},
		"nobody knows what": {[]string{
			oblong("one", "", 0, 300, 300, "a", to("b", "other/a"), "c", "d"),
			oblong("other", "", 500, 300, 300, "a", "b", "c", "d"),
		}, "Sew one/b to other/a", "leeve"},
	} {
		t.Run(name, func(t *testing.T) {
			order := orderOf(t, c.groups...)
			n := 0
			for _, step := range order {
				if strings.HasPrefix(step, c.want) {
					n++
				}
				require.NotContains(t, step, c.none)
			}
			require.Equal(t, 1, n, "%q", order)
		})
	}
}
