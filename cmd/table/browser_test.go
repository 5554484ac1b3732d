package table

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"eke/piece/photo/staged"
	"eke/piece/race"
	"eke/svg/viewer"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// shared is the one browser without a window of all tests. It ends with them.
var shared struct {
	once sync.Once
	tabs context.Context // its first tab, beside which others are opened
	err  error
	end  []func()
}

func TestMain(m *testing.M) {
	code := m.Run()
	for _, end := range shared.end {
		end()
	}
	os.Exit(code)
}

// browser is a tab of its own in the browser.
func browser(t *testing.T) context.Context {
	t.Helper()
	program := viewer.Program(t)
	shared.once.Do(func() {
		dir, err := os.MkdirTemp("", "eke-browser-")
		if err != nil {
			shared.err = err
			return
		}
		flags := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox,
			chromedp.DisableGPU, chromedp.Flag("disable-quic", true), chromedp.UserDataDir(dir), chromedp.WindowSize(1280, 900))
		whole, end := chromedp.NewExecAllocator(context.Background(), flags...)
		tabs, shut := chromedp.NewContext(whole)
		shared.tabs, shared.err = tabs, chromedp.Do(tabs)
		shared.end = []func(){shut, end, func() { _ = os.RemoveAll(dir) }}
	})
	require.NoError(t, shared.err)
	tab, shut := chromedp.NewContext(shared.tabs)
	t.Cleanup(shut)
	require.NoError(t, chromedp.Do(tab)) // it lives as long as its context
	return tab
}

// patience is how long a page may take on a busy machine.
const patience = time.Minute

// does does what a maker does in a tab, and gives up at some time.
func does(t *testing.T, tab context.Context, what ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	ctx, stop := context.WithTimeout(tab, patience)
	defer stop()
	for i, one := range what {
		require.NoError(t, chromedp.Do(ctx, one), "step %d", i)
	}
}

// sees is what a script makes of a page.
func sees[T any](t *testing.T, tab context.Context, script string) T {
	t.Helper()
	ctx, stop := context.WithTimeout(tab, patience)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	require.NoError(t, err)
	return v
}

// resized gives a window another size, and waits until the page is laid out in it: what
// listens to the window's size is told in the first frame, and the second shows what it did.
func resized(t *testing.T, tab context.Context, w, h int64, more ...chromedp.EmulateViewportOption) {
	t.Helper()
	does(t, tab, chromedp.EmulateViewport(w, h, more...), becomes(fmt.Sprintf(`innerWidth === %d`, w)))
	require.True(t, sees[bool](t, tab, `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`))
}

// shows waits until some text is seen on the page.
func shows(text string) chromedp.Action[chromedp.Void] {
	return chromedp.Poll[chromedp.Void](`document.body.innerText.includes(`+quoted(text)+`)`, chromedp.WithPollingInterval(100*time.Millisecond), chromedp.WithPollingTimeout(30*time.Second))
}

func quoted(s string) string { return "`" + strings.ReplaceAll(s, "`", "\\`") + "`" }

// The whole way in a browser: a photograph is dropped, and a pattern with a hostile
// name; it is planned in a second tab, which is loaded anew in the midst of it, with the
// first looking on; and the pages are a PDF.
func TestFromAPhotographToThePages(t *testing.T) {
	if race.On {
		t.Skip("slow under the race detector; TestByHandInABrowser has the server and a page side by side there")
	}
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	first := browser(t)
	made, dir := laidOut(t, 0, nil, "")
	var shot bytes.Buffer
	require.NoError(t, jpeg.Encode(&shot, staged.Random(8, 1000).Picture(), &jpeg.Options{Quality: 90}))
	photo, pattern := filepath.Join(t.TempDir(), "pile.jpg"), filepath.Join(t.TempDir(), "flag.svg")
	require.NoError(t, os.WriteFile(photo, shot.Bytes(), 0o644))
	text := strings.Replace(flag, `id="flag"`, `data-label="flag"><title>&lt;img src=x onerror=&quot;document.title='hit'&quot;></title`, 1)
	require.NoError(t, os.WriteFile(pattern, []byte(strings.ReplaceAll(text, "H 200 V 280", "H 25 V 30")), 0o644))

	does(t, first, chromedp.Navigate(made.URL()), shows("Bring a pattern"),
		chromedp.SetUploadFiles(`[data-as=pattern] input`, []string{pattern}), shows("cut 1"),
		chromedp.SetUploadFiles(`[data-as=scraps] input`, []string{photo}), shows("pile-scraps.svg"))
	second, shut := chromedp.NewContext(first)
	defer shut()
	require.NoError(t, chromedp.Do(second)) // the tab lives as long as this context
	does(t, second, chromedp.Navigate(made.URL()), shows("pile-scraps.svg"))
	// By the keys alone, from the first field on.
	does(t, second, chromedp.Focus(`[name=seconds]`), chromedp.SetValue(`[name=seconds]`, "30"),
		chromedp.SendKeys(`form[data-post=plan] button`, "\r"), chromedp.Reload(), shows("Take away"))
	does(t, first, shows("Take away"))
	require.Contains(t, sees[string](t, second, `document.querySelector("[data-section=take]").innerText`), "Option 1: no added seam")
	require.Equal(t, "The cutting table", sees[string](t, second, `document.title`))
	require.Zero(t, sees[int](t, second, `document.querySelectorAll("img").length`), "a hostile name stays text")
	// Where the search was, a link leads to what it found.
	does(t, second, shows("further down, under"), chromedp.Click(`[data-section=plan] a`), becomes(`(() => { const y = document.getElementById("h-take").getBoundingClientRect().top; return y > -5 && y < innerHeight; })()`))
	// Every control has a name that a screen reader says.
	require.Empty(t, sees[[]string](t, second, `[...document.querySelectorAll("button, input:not([type=hidden]), select, progress, svg[role=img]")].filter((e) =>
		!(e.labels?.length || e.textContent.trim() && e.localName === "button" || e.getAttribute("aria-label") || e.getAttribute("aria-labelledby"))).map((e) => e.outerHTML.slice(0, 80))`))
	require.Equal(t, "200 %PDF-", sees[string](t, second, `fetch("/pages?option=1&what=parts&paper=a4").then(async (r) => r.status + " " + (await r.text()).slice(0, 5))`))
	resized(t, second, 390, 800)
	require.LessOrEqual(t, sees[int](t, second, `document.documentElement.scrollWidth - document.documentElement.clientWidth`), 0, "the page is wider than a phone")
	require.FileExists(t, filepath.Join(dir, "out", "report.html"))
	drawsOverThePhotograph(t, first, made, dir)
}
