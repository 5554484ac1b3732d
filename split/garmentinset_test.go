package split_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"eke/split"
	"eke/svg"

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
		"all four edges of a gusset in a kimono sleeve": {[]string{
			oblong("front", "", 0, 200, 400, to("shoulder", "back/shoulder"), to("under-sleeve", "back/under-sleeve"), to("gusset-sleeve", "gusset/c"), to("gusset-body", "gusset/d")),
			oblong("back", "", 500, 200, 400, "shoulder", to("gusset-sleeve", "gusset/a"), "under-sleeve", to("gusset-body", "gusset/b")),
			oblong("gusset", "", 1000, 80, 80, "a", "b", "c", "d"),
		}, "Set in gusset: ", "hem to hem"},
		"under a kimono sleeve": {[]string{
			oblong("front", "", 0, 200, 400, to("shoulder", "back/shoulder"), "neck", to("under-sleeve", "back/under-sleeve"), "hem"),
			oblong("back", "", 500, 200, 400, "shoulder", "neck", "under-sleeve", "hem"),
		}, "Sew the shoulder seam: front/shoulder to back/shoulder.", "houlder seams"},
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

// A sleeve goes in flat before side and underarm are closed in one go where its cap is
// drawn as one edge too, whatever its names.
func TestACapInOneEdgeGoesInFlat(t *testing.T) {
	body := func(name, other string, y int) string {
		return fmt.Sprintf(`<g id=%q><path class="seam" d="M 0,%d h 200 v 150 h 60 v 300 h -260 Z"/><path class="grain" d="M 5,%d v 10"/><path class="fold" d="M 0,%d v 450"/>`+
			`<path class="edge shoulder" data-joins="%s/shoulder" d="M 80,%d h 120"/><path class="edge armhole" data-joins="sleeve/cap" d="M 200,%d v 150 h 60"/><path class="edge side" data-joins="%s/side" d="M 260,%d v 300"/></g>`,
			name, y, y+5, y, other, y, y, other, y+150)
	}
	sleeve := func(right, left string) string {
		return `<g id="sleeve" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,1200 h 420 l -50,300 h -320 Z"/><path class="grain" d="M 210,1210 v 10"/>` +
			`<path class="edge cap" data-joins="back/armhole, front/armhole" d="M 0,1200 h 420"/>` +
			fmt.Sprintf(`<path class="edge %s" data-joins="sleeve/%s" d="M 420,1200 l -50,300"/><path class="edge %s" data-joins="sleeve/%s" d="M 0,1200 l 50,300"/></g>`, right, left, left, right)
	}
	for closing, names := range map[string][2]string{"Sew side and underarm, each in one go": {"underarm-front", "underarm-back"}, "Sew in one go": {"inseam-1", "inseam-2"}} {
		starts(t, orderOf(t, body("front", "back", 0), body("back", "front", 600), sleeve(names[0], names[1])),
			"Go on",
			"Sew the shoulder seams: front/shoulder to back/shoulder.",
			"Set in the sleeves while they lie flat: sleeve/cap to front/armhole + back/armhole.",
			fmt.Sprintf("%s from hem to hem: front/side to back/side and sleeve/%s to sleeve/%s.", closing, names[0], names[1]))
	}
}

// The side seams of tiers run through from the top of the one to the hem of the other: only
// one of their ends is a hem.
func TestTiersAreSewnFromEndToEnd(t *testing.T) {
	order := strings.Join(orderOf(t,
		oblong("tier-one", `data-cut="2"`, 0, 500, 220, "top", to("side", "tier-one/side"), to("bottom", "tier-two/top"), "fold"),
		oblong("tier-two", `data-cut="2"`, 400, 500, 260, to("top", "tier-one/bottom"), to("side", "tier-two/side"), "hem", "fold")), "\n")
	require.Contains(t, order, "in one go from end to end: ")
	require.NotContains(t, order, "hem to hem")
}

// A wall that a base is set in is a ring before, whether the base is round or has corners.
func TestAWallIsClosedBeforeItsBaseIsSetIn(t *testing.T) {
	wall := oblong("wall", "", 0, 400, 200, "top", to("end", "wall/end"), to("bottom", "base/rim"), to("end", "wall/end"))
	round := `<g id="base"><path class="seam" d="M 800,500 a 63.66,63.66 0 0 1 -127.32,0 a 63.66,63.66 0 0 1 127.32,0 Z"/><path class="grain" d="M 740,470 v 60"/>` +
		`<path class="edge rim" data-joins="wall/bottom" d="M 800,500 a 63.66,63.66 0 0 1 -127.32,0 a 63.66,63.66 0 0 1 127.32,0"/></g>`
	square := oblong("base", "", 600, 100, 100, to("rim", "wall/bottom"), to("rim", "wall/bottom"), to("rim", "wall/bottom"), to("rim", "wall/bottom"))
	for _, base := range []string{round, square} {
		order := orderOf(t, wall, base)
		end := slices.IndexFunc(order, func(s string) bool { return strings.Contains(s, "wall/end to wall/end") })
		set := slices.IndexFunc(order, func(s string) bool { return strings.Contains(s, "base/rim") })
		require.GreaterOrEqual(t, end, 0)
		require.Greater(t, set, end, "%s", strings.Join(order, "\n"))
	}
}

// A gusset between two copies of one drawing goes with each long side round one of them: they
// are no layers that it is sewn between, and stay open where nothing joins them.
func TestAStripBetweenTwoCopies(t *testing.T) {
	bag := func(facts string) []string {
		return []string{
			oblong("body", facts, 0, 190, 400, "top", to("side", "gusset/side, gusset/side-2"), to("bottom", "gusset/bottom, gusset/bottom-2"), "fold"),
			`<g id="gusset"><path class="seam" d="M 0,600 h 590 v 120 h -590 Z"/><path class="grain" d="M 100,660 h 400"/><path class="fold" d="M 0,720 v -120"/>` +
				`<path class="edge bottom" data-joins="body/bottom" d="M 0,600 h 190"/><path class="edge side" data-joins="body/side" d="M 190,600 h 400"/><path class="edge end" d="M 590,600 v 120"/>` +
				`<path class="edge side-2" data-joins="body/side" d="M 590,720 h -400"/><path class="edge bottom-2" data-joins="body/bottom" d="M 190,720 h -190"/></g>`,
		}
	}
	order := strings.Join(orderOf(t, bag(`data-cut="2"`)...), "\n")
	require.Contains(t, order, "Set in gusset: gusset/bottom to body-2/bottom and gusset/bottom-2 to body-1/bottom.")
	require.Contains(t, order, "body-2/side to gusset/side and body-1/side to gusset/side-2.")
	for _, none := range []string{"layer", "between", "body/top"} {
		require.NotContains(t, order, none)
	}
	drawn, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">`+strings.Join(bag(`data-cut="2"`), "")+`</svg>`), "p.svg")
	require.NoError(t, err)
	copies := split.Copies(drawn)
	_, d := proved(t, cutting(copies, "gusset", byHand(t, split.Yoke{}, below(200))), copies)
	marked := levels(&d.Options[0], "body")
	require.Len(t, marked, 2)
	require.InDelta(t, -marked[0].At[0], marked[1].At[0], 1e-6, "the copies face each other")
	require.InDelta(t, marked[0].At[1], marked[1].At[1], 1e-6)
	require.Contains(t, strings.Join(d.Options[0].SewingOrder, "\n"), "the mark A on body 1 and body 2")

	// Four copies, or what goes to another piece too, are not told.
	require.NotContains(t, strings.Join(orderOf(t, bag(`data-cut="4"`)...), "\n"), "body-1/")
	base := oblong("base", "", 900, 190, 120, to("front", "body/bottom"), "", "", "fold")
	require.NotContains(t, strings.Join(orderOf(t, append(bag(`data-cut="2"`), base)...), "\n"), "body-1/")
}
