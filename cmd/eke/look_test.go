package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A front and a back of 60 cm, and two sleeves of 39 cm.
const jumper = `<svg xmlns="http://www.w3.org/2000/svg" width="1600mm" height="1200mm" viewBox="0 0 1600 1200">
<g id="front"><path class="seam" d="M 0,0 H 400 V 600 H 0 Z"/><path class="grain" d="M 120,200 V 500"/></g>
<g id="back"><path class="seam" d="M 500,0 H 900 V 600 H 500 Z"/><path class="grain" d="M 620,200 V 500"/></g>
<g id="sleeve" data-cut="2"><path class="seam" d="M 1000,0 H 1390 V 390 H 1000 Z"/><path class="grain" d="M 1120,100 V 300"/></g>
</svg>`

const looksPile = `name,fabric,look,length_cm,width_cm
n1,navy jersey,navy,45,45
n2,navy jersey,navy,70,60
c1,cream jersey,white,45,45
c2,white rib,white,70,60
c3,ecru,white,45,45
g,grey,,80,70
`

func looked(t *testing.T, dir string, args ...string) map[string]string {
	t.Helper()
	found(t, dir, append([]string{"plan", "jumper.svg", "pile.csv", "-o", "out", "--time", "20s", "--options", "1"}, args...)...)
	looks := map[string]string{}
	for _, p := range verified(t, filepath.Join(dir, "out")).Options[0].Parts {
		looks[p.Name] = p.Look
	}
	return looks
}

// With no flag pairs are alike; wishes say what else is to be, and look, not
// fabric, is what counts.
func TestWishesForLooks(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jumper.svg", jumper)
	write(t, dir, "pile.csv", looksPile)

	l := looked(t, dir)
	require.Equal(t, l["sleeve-1"], l["sleeve-2"])

	l = looked(t, dir, "--wish", "sleeve like front")
	require.Equal(t, []string{"white", "white", "white"}, []string{l["sleeve-1"], l["sleeve-2"], l["front"]})

	l = looked(t, dir, "--wish", "front unlike back", "--wish", "grey only for sleeve")
	require.Equal(t, []string{"navy", "white"}, []string{min(l["front"], l["back"]), max(l["front"], l["back"])})

	l = looked(t, dir, "--wish", "Front upper navy, lower WHITE")
	require.Equal(t, []string{"navy", "white"}, []string{l["front-upper"], l["front-lower"]})

	l = looked(t, dir, "--wish", "prefer front unlike back", "--wish", "sleeve alike")
	require.NotEqual(t, l["front"], l["back"])
}

// Covers by rows of small scraps keep to wishes too.
func TestSmallScrapsKeepToWishes(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jumper.svg", jumper)
	pile := "name,fabric,length_cm,width_cm\n"
	for k := range 30 {
		pile += fmt.Sprintf("b%d,%s,%d,%d\n", k, []string{"cream", "Navy"}[k%2], 24+k%5, 22+k%7)
	}
	write(t, dir, "pile.csv", pile)
	looks := map[string]bool{}
	for part, look := range looked(t, dir, "--wish", "front alike") {
		if strings.HasPrefix(part, "front-") {
			looks[look] = true
		}
	}
	require.Len(t, looks, 1)

	for part, look := range looked(t, dir, "--wish", "front upper navy, lower cream") {
		switch {
		case strings.HasPrefix(part, "front-upper"):
			require.Equal(t, "Navy", look)
		case strings.HasPrefix(part, "front-lower"):
			require.Equal(t, "cream", look)
		}
	}
}

// A carried line has the looks that are wished for above and below it.
func TestACarriedLineOfWishedLooks(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jumper.svg", strings.NewReplacer(
		`d="M 120,200 V 500"/>`, `d="M 120,200 V 500"/><path class="edge side" data-joins="back/side" d="M 400,0 V 600"/>`,
		`d="M 620,200 V 500"/>`, `d="M 620,200 V 500"/><path class="edge side" data-joins="front/side" d="M 500,0 V 600"/>`,
	).Replace(jumper))
	write(t, dir, "pile.csv", strings.Replace(looksPile, "n1,navy jersey,navy,45,45\n", "n1,navy jersey,navy,45,45\nn3,navy jersey,navy,45,45\n", 1))
	l := looked(t, dir, "--wish", "carry front", "--wish", "front upper navy, lower white")
	for part, look := range map[string]string{"front-upper": "navy", "front-lower": "white", "back-upper": "navy", "back-lower": "white"} {
		require.Equal(t, look, l[part], part)
	}
}

// What cannot be kept says which wish it is, why, and what there is without it.
func TestWishesForLooksThatCannotBeKept(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jumper.svg", jumper)
	write(t, dir, "pile.csv", looksPile)
	r := eke(t, dir, "plan", "jumper.svg", "pile.csv", "--time", "6s", "--max-seams", "0", "--wish", "sleeve alike", "--wish", "front upper grey, lower navy", "--wish", "back like sleeve")
	require.Equal(t, 3, r.code, r.stdout+r.stderr)
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "no plan was found that keeps the wish")

	write(t, dir, "small.csv", "name,fabric,length_cm,width_cm\nn,navy,45,45\nc,cream,45,45\na,navy,63,43\nb,cream,63,43\n")
	r = eke(t, dir, "plan", "jumper.svg", "small.csv", "--time", "6s", "--max-seams", "0", "--wish", "sleeve like front")
	require.Equal(t, 3, r.code)
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), `no plan was found that keeps the wish "sleeve like front": sleeve and front need 0.60 m²`)
	require.Contains(t, r.stdout, "without it there is a plan with no piecing seam")
}

// A name that is not there, and words that are no wish.
func TestWishesForLooksThatAreRefused(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jumper.svg", jumper)
	write(t, dir, "pile.csv", looksPile)
	refused(t, dir, []string{"plan", "jumper.svg", "pile.csv", "--wish", "front upper grey, lower navy", "--wish", "front like sleeve"}, `"front like sleeve" and "front upper grey, lower navy" cannot both be kept`)
	for wish, words := range map[string][]string{
		"sleve alike":                  {`"sleve"`, `perhaps "sleeve" is meant`, "front, back, sleeve"},
		"front upper nvay, lower grey": {`"nvay"`, `perhaps "navy" is meant`, "navy, white, grey"},
		"prefer sleeve like hood":      {`"hood"`},
		"navy mostly for front":        {"is not understood", `"rib only for neckband, cuff"`},
	} {
		refused(t, dir, []string{"plan", "jumper.svg", "pile.csv", "--wish", wish}, words...)
	}
	block := "front upper navy, lower grey"
	refused(t, dir, []string{"plan", "jumper.svg", "pile.csv", "--cut", "front", "--wish", block}, "front is cut already")
	write(t, dir, "optional.svg", strings.Replace(jumper, `id="front"`, `id="front" data-optional="yes"`, 1))
	refused(t, dir, []string{"plan", "optional.svg", "pile.csv", "--wish", block}, "front is optional, and such a piece is cut whole")
}

// The line between two looks may run down a dart, taken in or not, and the wish is kept.
func TestALineBetweenLooksTakesInADart(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "jumper.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="700mm" viewBox="0 0 600 700">
<g id="front" data-fabric="jersey"><path class="seam" d="M 0,0 H 300 V 252 V 284 V 600 H 0 Z"/><path class="dart" d="M 300,252 L 120,268 L 300,284"/>
<path class="level" d="M 0,268 H 300"/><path class="grain" d="M 60,100 V 500"/></g></svg>`)
	write(t, dir, "pile.csv", "name,fabric,look,length_cm,width_cm\nn,jersey,navy,31,40\nc,jersey,cream,36,40\n")
	found(t, dir, "plan", "jumper.svg", "pile.csv", "-o", "out", "--time", "20s", "--options", "1", "--wish", "front upper navy, lower cream")
	o := planIn(t, filepath.Join(dir, "out")).Options[0]
	for _, p := range o.Parts {
		require.Equal(t, map[string]string{"front-upper": "navy", "front-lower": "cream"}[p.Name], p.Look, p.Name)
	}
}
