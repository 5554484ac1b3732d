package table

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"eke/piece/race"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// walkWatch takes down what the keys come to. Walk.want is what they are to come to:
// each control that is seen and not disabled, of radio buttons one, and on the board
// every line and arrow of the grain.
const walkWatch = `
window.walk = { went: [], unnamed: [], unseen: [] };
const tells = (e) => e.localName + (e.id ? "#" + e.id : "") + (e.name ? "[" + e.name + "]" : "") + " " + (e.getAttribute("aria-label") || e.textContent || e.value || "").trim().replace(/\s+/g, " ").slice(0, 60);
const numbers = new Map();
const number = (e) => { if (!numbers.has(e)) numbers.set(e, numbers.size + " " + tells(e)); return numbers.get(e); };
const named = (e) => e.getAttribute("aria-label") || e.getAttribute("aria-labelledby") || e.labels?.length || /^(a|button|summary|h2)$/.test(e.localName) && e.textContent.trim();
document.addEventListener("focusin", ({ target: e }) => {
  walk.went.push(number(e));
  if (!named(e)) walk.unnamed.push(tells(e));
  const s = getComputedStyle(e), r = e.getBoundingClientRect();
  const line = e.matches(".draw-line, .draw-turn") && parseFloat(s.strokeWidth) >= 5 && s.stroke === getComputedStyle(document.querySelector(".draw-dot-rim")).stroke;
  if (!line && (s.outlineStyle === "none" || parseFloat(s.outlineWidth) < 1) || r.bottom < 0 || r.top > innerHeight || r.width + r.height === 0) walk.unseen.push(tells(e));
});
walk.want = [...document.querySelectorAll("a[href], button, input, select, summary, [tabindex]")].filter((e) => e.checkVisibility({ visibilityProperty: true }) && !e.disabled && !e.closest("fieldset:disabled") &&
  (e.tabIndex >= 0 || e.matches(".draw-line, .draw-turn")) && e.type !== "hidden" && (e.type !== "radio" || e === document.querySelector("[name=" + e.name + "]"))).map(number).sort();
walk.want.length`

// media asks the page for a liking.
func media(t *testing.T, tab context.Context, name, value string) {
	t.Helper()
	_, err := chromedp.Call(tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: name, Value: value}}})
	require.NoError(t, err)
}

// Tab comes to each control of the whole page once, and back out again; each has a name
// and shows that the keys are on it. Nothing moves for whoever asks for less motion.
func TestTheWholePageByTab(t *testing.T) {
	if race.On {
		t.Skip("slow under the race detector; TestByHandInABrowser has the server and a page side by side there")
	}
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	tab := browser(t)
	made, _ := laidOut(t, 0, map[string]string{"flag.svg": flag, "cloth.svg": shirtCloth, "s.csv": linen}, "flag.svg", "cloth.svg", "s.csv")
	v := visit(t, made)
	v.plans()
	does(t, tab, chromedp.EmulateViewport(1280, 900), chromedp.Navigate(made.URL()), shows("Take away"), opened("cloth.svg"), holds(`!document.getElementById("hand-work").hidden`),
		chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-piece]").click()`), holds(`document.querySelector("[data-section=wish] fieldset")`),
		chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach((d) => { d.open = true; })`))
	// The scrap that is chosen makes buttons and fields usable.
	clicks(t, tab, [2]float64{350, 70})
	does(t, tab, says("square"))
	n := sees[int](t, tab, walkWatch)
	does(t, tab, chromedp.Focus(".skip"), chromedp.KeyEvent(strings.Repeat("\t", n-1)))
	require.Greater(t, n, 60)
	require.Equal(t, sees[[]string](t, tab, `walk.want`), sees[[]string](t, tab, `[...walk.went].sort()`))
	require.Empty(t, sees[[]string](t, tab, `walk.unnamed`))
	require.Empty(t, sees[[]string](t, tab, `walk.unseen`))
	does(t, tab, chromedp.KeyEvent(strings.Repeat("\t", n-1), chromedp.KeyModifiers(chromedp.ModifierShift)))
	require.True(t, sees[bool](t, tab, `walk.went.lastIndexOf(walk.went[0]) > 0`), "the keys come back to where they began")

	const wide = `[...document.querySelectorAll("html, html *")].filter((e) => document.documentElement.scrollWidth > innerWidth && e.scrollWidth > innerWidth).filter((e) => ![...e.children].some((c) => c.scrollWidth > innerWidth)).map((e) => e.outerHTML.slice(0, 160))`
	const moving = `[...document.querySelectorAll("*")].filter((e) => { const s = getComputedStyle(e); return parseFloat(s.transitionDuration) > 0 || s.animationName !== "none" || s.scrollBehavior === "smooth"; }).length`
	media(t, tab, "prefers-reduced-motion", "no-preference")
	require.NotZero(t, sees[int](t, tab, moving))
	media(t, tab, "prefers-reduced-motion", "reduce")
	require.Zero(t, sees[int](t, tab, moving))
	for _, w := range []int64{1280, 390} {
		resized(t, tab, w, 900)
		require.Empty(t, sees[[]string](t, tab, wide), fmt.Sprint(w))
	}
}
