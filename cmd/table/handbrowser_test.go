package table

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"eke/svg/measure"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

// becomes waits until a script says yes.
func becomes(script string) chromedp.Action[chromedp.Void] {
	return chromedp.Poll[chromedp.Void](script, chromedp.WithPollingInterval(50*time.Millisecond), chromedp.WithPollingTimeout(20*time.Second))
}

// middle is where an element's middle is in the window, once it is in sight.
func middle(t *testing.T, tab context.Context, selector string) [2]float64 {
	t.Helper()
	return sees[[2]float64](t, tab, `(() => { const e = document.querySelector(`+quoted(selector)+`); e.scrollIntoView({ block: "center" });
		const r = e.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()`)
}

// drags goes with the mouse held down from one place to another, and lets go there.
func drags(from, to [2]float64) []chromedp.Action[chromedp.Void] {
	all := []chromedp.Action[chromedp.Void]{chromedp.MouseEvent(chromedp.MousePressed, from[0], from[1], chromedp.ButtonLeft, chromedp.ClickCount(1))}
	for i := 1.0; i <= 5; i++ {
		all = append(all, chromedp.MouseEvent(chromedp.MouseMoved, from[0]+(to[0]-from[0])*i/5, from[1]+(to[1]-from[1])*i/5, chromedp.ButtonLeft))
	}
	return append(all, chromedp.MouseEvent(chromedp.MouseReleased, to[0], to[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
}

// strokes is drags with a finger.
func strokes(from, to [2]float64) (all []chromedp.Action[chromedp.Void]) {
	touch := func(kind input.DispatchTouchEventType, at ...*input.TouchPoint) {
		all = append(all, chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: at})
			return err
		}))
	}
	touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: from[0], Y: from[1]})
	for i := 1.0; i <= 5; i++ {
		touch(input.DispatchTouchEventTypeTouchMove, &input.TouchPoint{X: from[0] + (to[0]-from[0])*i/5, Y: from[1] + (to[1]-from[1])*i/5})
	}
	touch(input.DispatchTouchEventTypeTouchEnd)
	return all
}

// By hand in a browser: a seam is added, dragged with the mouse, by keys and with a
// finger; parts are laid by keys and with the mouse; a second tab follows, a reload
// loses nothing, hostile names stay text, and the plan is taken away.
func TestByHandInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	first := browser(t)
	const hostile = `&lt;img src=x onerror=&quot;document.title='hit'&quot;&gt;`
	pattern := strings.Replace(flag, `id="flag"`, `data-label="flag"><title>`+hostile+`</title`, 1)
	scraps := "name,fabric,length_cm,width_cm\n\"<b onclick=\"\"document.title='hit'\"\">one</b>\",linen,26,24\ntwo,linen,20,24\n"
	made, _ := laidOut(t, 0, map[string]string{"p.svg": pattern, "s.csv": scraps}, "p.svg", "s.csv")
	const line = `document.querySelector("#hand-piece .hand-line")`
	at := func(tab context.Context) int {
		return sees[int](t, tab, `Number(`+line+`.getAttribute("aria-valuenow"))`)
	}
	isAt := func(mm int) string { return fmt.Sprintf(line+`?.getAttribute("aria-valuenow") === "%d"`, mm) }

	does(t, first, chromedp.Navigate(made.URL()), becomes(`!document.getElementById("hand-work").hidden`), chromedp.Click(`[data-way=straight]`),
		becomes(`document.activeElement.getAttribute("role") === "slider"`))
	require.Regexp(t, `^\d+ mm from the top; .* fits `, sees[string](t, first, line+`.getAttribute("aria-valuetext")`))
	second, shut := chromedp.NewContext(first)
	defer shut()
	require.NoError(t, chromedp.Do(second))
	does(t, second, chromedp.Navigate(made.URL()), becomes(line+` !== null`))

	// With the mouse, and by keys.
	was := at(first)
	from := middle(t, first, ".hand-head")
	does(t, first, drags(from, [2]float64{from[0], from[1] - 30})...)
	const settled = `fetch("/hand").then(async (r) => (await r.json()).copies[0].lines[0].at === Number(` + line + `.getAttribute("aria-valuenow")))`
	does(t, first, becomes(fmt.Sprintf(`Number(%s.getAttribute("aria-valuenow")) < %d`, line, was-5)), becomes(settled))
	was = at(first)
	does(t, first, chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.PageUp))
	does(t, first, becomes(isAt(was-8)), becomes(settled))
	does(t, second, becomes(isAt(was-8)))
	require.Equal(t, "slider", sees[string](t, first, `document.activeElement.getAttribute("role")`), "the keys stay where they were")

	// A part by keys: on a scrap that it fits, moved, and put back.
	laid := `document.activeElement.classList.contains("hand-laid")`
	does(t, first, becomes(`!document.getElementById("hand-cards").textContent.includes("looking")`), chromedp.Focus(`#hand-loose button`), chromedp.KeyEvent(kb.Enter), becomes(`document.activeElement.matches(".hand-chip.fits")`),
		chromedp.KeyEvent(kb.Enter), becomes(laid))
	require.Contains(t, sees[string](t, first, `document.activeElement.getAttribute("aria-label")`), "lies right")
	does(t, first, chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)), becomes(laid+` && document.activeElement.getAttribute("transform") === null`),
		chromedp.KeyEvent(kb.Escape), becomes(`document.activeElement.matches("#hand-loose button")`))
	// And with the mouse, from the piece to a scrap, where it would hang off.
	from, to := middle(t, first, "#hand-piece .hand-region"), [2]float64{}
	to = sees[[2]float64](t, first, `(() => { const r = document.querySelector("#hand-scraps svg").getBoundingClientRect(); return [r.left + r.width / 2, r.top + 6]; })()`)
	held := drags(from, to)
	does(t, first, held[:len(held)-1]...)
	does(t, first, becomes(`/hangs off by \d/.test(document.querySelector(".hand-word")?.textContent)`), held[len(held)-1],
		becomes(`/hangs off by \d/.test(document.querySelector("#hand-scraps figcaption").innerText)`), chromedp.Click(`#hand-undo`), becomes(`!document.querySelector(".hand-laid")`), chromedp.Click(`#hand-redo`),
		becomes(`document.querySelector(".hand-laid.amiss") !== null`), chromedp.Reload(), becomes(`document.querySelector(".hand-laid.amiss") !== null`))

	// On a phone: a finger drags the seam, and the page does not scroll.
	resized(t, first, 390, 800, chromedp.EmulateTouch)
	from = middle(t, first, ".hand-head")
	was = at(first)
	const top = `Math.round(document.getElementById("hand-piece").getBoundingClientRect().top)`
	stands := sees[int](t, first, top)
	does(t, first, strokes(from, [2]float64{from[0], from[1] + 40})...)
	does(t, first, becomes(fmt.Sprintf(`Number(%s.getAttribute("aria-valuenow")) > %d`, line, was+5)))
	require.InDelta(t, stands, sees[int](t, first, top), 10, "the page does not scroll")
	require.LessOrEqual(t, sees[int](t, first, `document.documentElement.scrollWidth - document.documentElement.clientWidth`), 0, "the page is wider than a phone")

	// The rest is planned with what lies on cloth as it is; then it is all laid by hand and
	// written.
	lays := func(k int) []chromedp.Action[chromedp.Void] {
		chip := fmt.Sprintf(`#hand-cards > li:nth-child(%d) .hand-chip.fits`, k)
		return []chromedp.Action[chromedp.Void]{becomes(`document.querySelector("` + chip + `") !== null`), chromedp.Evaluate[chromedp.Void](`document.querySelector("` + chip + `").click()`), becomes(laid)}
	}
	planned := `document.querySelector("[data-section=take]").innerText.includes("Option 1: 1 added seam")`
	does(t, first, chromedp.ResetViewport(), chromedp.Click(`#hand-clear`), becomes(line+` === null`), chromedp.Click(`[data-way=straight]`), becomes(line+` !== null`))
	does(t, first, lays(1)...)
	does(t, first, chromedp.SetValue(`#hand-finish [name=seconds]`, "1"), chromedp.Click(`#hand-finish button`), becomes(planned))
	does(t, first, lays(2)...)
	does(t, first, becomes(`!document.getElementById("hand-write").disabled`), chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-section=take]").replaceChildren()`),
		chromedp.Click(`#hand-write`), becomes(planned))
	does(t, second, becomes(planned+` && document.getElementById("hand-finish").hidden`))

	for _, tab := range []context.Context{first, second} {
		require.Equal(t, "The cutting table", sees[string](t, tab, `document.title`))
		require.Zero(t, sees[int](t, tab, `document.querySelectorAll("img, #hand b b").length`), "a hostile name stays text")
		require.Empty(t, sees[[]string](t, tab, `[...document.querySelectorAll("#hand :is(button, input, select, progress, [role=button], [role=slider], [role=group])")].filter((e) =>
			!(e.labels?.length || e.textContent.trim() && e.localName === "button" || e.getAttribute("aria-label") || e.getAttribute("aria-labelledby"))).map((e) => e.outerHTML.slice(0, 80))`), "each has a name that a screen reader says")
	}
}

// Where the table is set up in inches, seams and what is missing are said in inches.
func TestByHandInInches(t *testing.T) {
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	tab := browser(t)
	made, _ := laidOut(t, 0, map[string]string{"p.svg": flag, "s.csv": linen}, "p.svg", "s.csv")
	made.bench.units = measure.Inches
	const line = `document.querySelector("#hand-piece .hand-line")`
	does(t, tab, chromedp.Navigate(made.URL()), becomes(`!document.getElementById("hand-work").hidden`), chromedp.Click(`[data-way=straight]`),
		becomes(`document.activeElement.getAttribute("role") === "slider"`), chromedp.KeyEvent(kb.ArrowDown), becomes(`document.getElementById("hand-said").textContent.includes(" is at ")`))
	require.Regexp(t, `^\d+( \d+/\d+)? in from the top; `, sees[string](t, tab, line+`.getAttribute("aria-valuetext")`))
	require.Regexp(t, ` mm \(\d+( \d+/\d+)? in\)\.$`, sees[string](t, tab, `document.getElementById("hand-said").textContent`))
	require.NotRegexp(t, `\d mm`, sees[string](t, tab, `["hand-piece", "hand-lines", "hand-cards", "hand-keys", "hand-scraps"].map((id) => document.getElementById(id).textContent).join(" ")`))
	// A line that is gone while it is held comes back where it was, not where it was held.
	was := sees[string](t, tab, line+`.getAttribute("aria-valuenow")`)
	from := middle(t, tab, ".hand-head")
	held := drags(from, [2]float64{from[0], from[1] - 40})
	does(t, tab, held[:len(held)-1]...)
	does(t, tab, becomes(line+`.getAttribute("aria-valuenow") !== "`+was+`"`))
	code, said := visit(t, made).post("/hand/clear", strings.NewReader(""), "application/x-www-form-urlencoded", made.URL()[:strings.Index(made.URL(), "/?")])
	require.Equal(t, http.StatusOK, code, said)
	does(t, tab, becomes(line+` === null`), held[len(held)-1], chromedp.Click(`#hand-undo`), becomes(line+` !== null`))
	require.Equal(t, was, sees[string](t, tab, line+`.getAttribute("aria-valuenow")`))
	// What is missing is rounded up, and where a line may lie inward.
	require.Equal(t, []string{"11 3/8 in", "0 in", "1 in", "1/16 in", "15 in", "28.9 cm", "3 cm", "0.4 mm", "12 mm"}, sees[[]string](t, tab, `(async () => {
		const u = await import("/page/handunits.js"), said = [u.length(289), u.length(0.3), u.length(25.4), u.missing(0.4), u.missing(15 * 25.4)];
		u.unitIs("cm");
		said.push(u.length(289), u.figure(30) + " cm");
		u.unitIs("mm");
		return [...said, u.missing(0.4), u.missing(11.2)];
	})()`))
}

// Work by hand is for the page alone, as everything on the table.
func TestByHandOnlyTheOwnPageIsServed(t *testing.T) {
	t.Parallel()
	made, _ := laidOut(t, 0, map[string]string{"p.svg": flag, "s.csv": linen}, "p.svg", "s.csv")
	v := visit(t, made)
	version := v.hand("").Version
	for _, path := range []string{"line", "move", "remove", "shoulder", "place", "lift", "undo", "redo", "clear", "finish", "write"} {
		for _, origin := range []string{"", "null", "http://table.example", strings.Replace(v.base, "http", "https", 1)} {
			code, _ := v.post("/hand/"+path, strings.NewReader("part=flag&way=straight&at=140"), "application/x-www-form-urlencoded", origin)
			require.Equal(t, http.StatusForbidden, code, "%s from %q", path, origin)
		}
		r, err := http.NewRequest(http.MethodPost, v.base+"/hand/"+path, strings.NewReader("part=flag&way=straight&at=140"))
		require.NoError(t, err)
		r.Header.Set("Origin", v.base)
		answer, err := (&http.Client{}).Do(r)
		require.NoError(t, err)
		answer.Body.Close()
		require.Equal(t, http.StatusForbidden, answer.StatusCode, "%s without the token", path)
	}
	for _, path := range []string{"/hand", "/hand/try?line=l1&at=3"} {
		answer, err := http.Get(v.base + path)
		require.NoError(t, err)
		answer.Body.Close()
		require.Equal(t, http.StatusForbidden, answer.StatusCode, "%s without the token", path)
	}
	require.Equal(t, version, v.hand("").Version, "nothing was changed")
}
