package table

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"eke/cmd/job"
	"eke/piece"
	"eke/piece/plane"
	"eke/piece/race"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// shirtCloth is a file of scraps that another program drew: a round scrap, with a
// number that has many digits, a hole of its own and a bite out of its rim, and a
// square.
const shirtCloth = `<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="400mm" viewBox="0 0 500 400">
<g id="round" data-fabric="linen" data-shrink="4%" data-note="&lt;b&gt;soft&lt;/b&gt;"><path class="outline" d="M 100,20.123456789 C 160,20 200,60 200,120 C 200,180 160,220 100,220 C 40,220 10,180 10,120 C 10,60 40,20 100,20.123456789 Z"/>
<circle class="hole" cx="100" cy="120" r="12"/><rect class="flaw" x="190" y="100" width="30" height="30"/><path class="grain" d="M 100,60 L 100,180"/></g>
<g id="square"><path class="outline" d="M 300,20 H 400 V 120 H 300 Z"/></g></svg>`

// drawn is one file of scraps as it is now.
func drawn(t *testing.T, dir, name string) []piece.DrawnScrap {
	t.Helper()
	pile, _, err := job.DrawnScraps(filepath.Join(dir, name))
	require.NoError(t, err)
	return pile
}

// inFront brings a tab before the others, where the mouse and fingers come to it.
func inFront(t *testing.T, tab context.Context) {
	t.Helper()
	_, err := chromedp.Call(tab, page.BringToFront, cdp.Empty{})
	require.NoError(t, err)
}

// presses drags the mouse over the board from one place of the cloth to others, in mm.
func presses(t *testing.T, tab context.Context, places ...[2]float64) {
	t.Helper()
	inFront(t, tab)
	var steps []chromedp.Action[chromedp.Void]
	for i, q := range places {
		at := sees[[2]float64](t, tab, fmt.Sprintf(`(() => { const b = document.getElementById("draw-board"), p = new DOMPoint(%g, %g).matrixTransform(b.getScreenCTM()); return [p.x, p.y]; })()`, q[0], q[1]))
		if i == 0 {
			steps = append(steps, chromedp.MouseEvent(chromedp.MousePressed, at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
			continue
		}
		steps = append(steps, chromedp.MouseEvent(chromedp.MouseMoved, at[0], at[1], chromedp.ButtonLeft))
		if i == len(places)-1 {
			steps = append(steps, chromedp.MouseEvent(chromedp.MouseReleased, at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
		}
	}
	does(t, tab, steps...)
}

// clicks is a press and a release at one place of the cloth.
func clicks(t *testing.T, tab context.Context, q [2]float64) { presses(t, tab, q, q) }

func draws(name string) chromedp.Action[chromedp.Void] {
	return chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-draws=` + name + `]").click()`)
}

// holds waits until something is so on the page, which may be behind another tab.
func holds(script string) chromedp.Action[chromedp.Void] {
	return chromedp.Poll[chromedp.Void](script, chromedp.WithPollingInterval(20*time.Millisecond), chromedp.WithPollingTimeout(15*time.Second))
}

// says waits until the drawing has said something.
func says(text string) chromedp.Action[chromedp.Void] {
	return holds(`document.getElementById("draw-said").textContent.includes(` + quoted(text) + `)`)
}

// saves waits until what was done is whole, for the browser takes its time, and saves.
var saves = chromedp.Steps(holds(`!document.querySelector("[data-draws=undo]").disabled`), draws("save"), says("Saved as scraps.svg"))

func opened(file string) chromedp.Action[chromedp.Void] {
	return chromedp.Steps(holds(`document.querySelector('[data-draw="`+file+`"]')`), chromedp.Evaluate[chromedp.Void](`document.querySelector('[data-draw="`+file+`"]').click()`),
		holds(`document.querySelector("#draw-board .draw-line")`))
}

// drawsOverThePhotograph goes on from a photograph that was brought as pile.jpg to a saved
// file of scraps, drawn over what the photograph shows of the ground.
func drawsOverThePhotograph(t *testing.T, tab context.Context, made *Table, dir string) {
	t.Helper()
	does(t, tab, opened("pile-scraps.svg"), chromedp.Evaluate[chromedp.Void](`document.getElementById("draw").scrollIntoView()`))
	before := drawn(t, dir, "pile-scraps.svg")
	require.Greater(t, len(before), 4)
	require.True(t, sees[bool](t, tab, `(async () => { const i = new Image(); i.src = document.querySelector("#draw-board image").getAttribute("href"); await i.decode(); return Math.max(i.naturalWidth, i.naturalHeight) <= 2400; })()`))
	s := &before[0]
	from := s.Rim.Start()
	clicks(t, tab, [2]float64{s.Outline.Bound().Center()[0], s.Outline.Bound().Center()[1]})
	does(t, tab, says(s.Name), draws("one"))
	// Outward, square to the way from the point before it to the next: so it crosses nothing.
	along := plane.Unit(plane.Sub(s.Rim[0].P1, s.Rim[len(s.Rim)-1].P0))
	to := orb.Point{from[0] + 3*along[1], from[1] - 3*along[0]}
	presses(t, tab, from, plane.Lerp(from, to, 0.5), to)
	does(t, tab, says("Point 1 of"), saves)
	after := drawn(t, dir, "scraps.svg")
	require.Len(t, after, len(before))
	require.InDelta(t, to[0], after[0].Rim.Start()[0], 0.5)
	require.InDelta(t, to[1], after[0].Rim.Start()[1], 0.5)
	rest := len(before[0].Rim) - 1
	require.Equal(t, before[0].Rim[1:rest].D(), after[0].Rim[1:rest].D(), "all other points stay")
	require.Equal(t, before[1].Rim.D(), after[1].Rim.D())
	code, kind := visit(t, made).get("/ground?file=scraps.svg&at=0")
	require.Equal(t, 200, code)
	require.True(t, strings.HasPrefix(kind, "\xff\xd8"), "the photograph lies under them still")
}

// With the mouse and by keys alone, on scraps that another program drew.
func TestDrawingOnADrawing(t *testing.T) {
	if race.On {
		t.Skip("slow under the race detector; TestByHandInABrowser has the server and a page side by side there")
	}
	if testing.Short() {
		t.Skip("it starts a browser")
	}
	tab := browser(t)
	made, dir := laidOut(t, 0, map[string]string{"cloth.svg": shirtCloth}, "", "cloth.svg")
	was := drawn(t, dir, "cloth.svg")
	does(t, tab, chromedp.Navigate(made.URL()), opened("cloth.svg"))
	// A hole with the mouse, taken back, and done again.
	does(t, tab, draws("hole"))
	for _, q := range [][2]float64{{330, 50}, {370, 50}, {350, 90}, {330.5, 50.5}} {
		clicks(t, tab, q)
	}
	does(t, tab, says("A hole of 3 points is drawn in square"), draws("undo"), says("Taken back: the hole in square"), draws("redo"), says("Done again"))
	// By keys: the third point of the square goes 11.1 mm to the right, one is put in after it and taken away again.
	does(t, tab, chromedp.Focus(`[aria-label^="square, outline"]`), chromedp.KeyEvent(strings.Repeat(kb.ArrowRight, 3)), says("Point 3 of 4: x 400.0, y 120.0 mm."), chromedp.KeyEvent("\r"+kb.ArrowRight),
		chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)), chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent("\r"),
		says("Put down. Point 3 of 4: x 411.1, y 120.0 mm."), chromedp.KeyEvent(kb.Insert), says("Added. Point 4 of 5"), chromedp.KeyEvent(kb.Delete), says("Deleted. Point 4 of 4"),
		chromedp.KeyEvent("\r"+kb.ArrowDown+kb.Escape), says("Put back."))
	// The grain by keys and by number.
	does(t, tab, chromedp.Focus(`[aria-label="square, grain"]`), chromedp.KeyEvent(kb.ArrowRight), says("Grain 1°"), chromedp.SetValue(`#draw-facts [name=fabric]`, "wool"),
		chromedp.Evaluate[chromedp.Void](`(() => { const f = document.forms["draw-facts"]; f.fabric.dispatchEvent(new Event("change", { bubbles: true })); f.grain.value = "-30"; f.grain.dispatchEvent(new Event("change", { bubbles: true })); })()`))
	// A reload loses nothing; what is not whole is refused in words, and nothing is written.
	// nor does it lose any where the file is away in between.
	aside := filepath.Join(t.TempDir(), "cloth.svg")
	require.NoError(t, os.Rename(filepath.Join(dir, "cloth.svg"), aside))
	does(t, tab, chromedp.Reload(), shows("cloth.svg is no longer on the table"))
	require.NoError(t, os.Rename(aside, filepath.Join(dir, "cloth.svg")))
	does(t, tab, opened("cloth.svg"), holds(`document.getElementById("draw-state").textContent.includes("not saved")`), chromedp.Reload(), holds(`document.getElementById("draw-state").textContent.includes("not saved")`),
		chromedp.Focus(`[aria-label^="square, hole"]`), chromedp.KeyEvent("\r"), chromedp.KeyEvent(strings.Repeat(kb.ArrowUp, 4), chromedp.KeyModifiers(chromedp.ModifierShift)), chromedp.KeyEvent("\r"),
		shows("square: a hole touches or leaves the outline"), draws("save"))
	require.NoFileExists(t, filepath.Join(dir, "scraps.svg"))
	does(t, tab, draws("undo"), holds(`document.getElementById("draw-wrong").hidden`), saves)
	now := drawn(t, dir, "scraps.svg")
	saved, err := os.ReadFile(filepath.Join(dir, "scraps.svg"))
	require.NoError(t, err)
	require.Contains(t, string(saved), `d="M 100,20.123456789 C 160,20 200,60 200,120 C 200,180 160,220 100,220 C 40,220 10,180 10,120 C 10,60 40,20 100,20.123456789 Z"`, "what is not touched stays to the last digit")
	require.Equal(t, was[0].Cutouts[1].Line.D(), now[0].Cutouts[1].Line.D(), "with a bite out of the rim that was there")
	require.True(t, now[0].Cutouts[1].Flaw)
	require.Equal(t, []any{was[0].GrainDeg, 4.0, "<b>soft</b>"}, []any{now[0].GrainDeg, now[0].Shrink, now[0].Note})
	require.Equal(t, []any{"wool", 60.0, 4, 1}, []any{now[1].Fabric, math.Round(1e6*now[1].GrainDeg) / 1e6, len(now[1].Outline), len(now[1].Holes)})
	require.InDelta(t, 411.1, now[1].Outline.Bound().Max[0], 1e-6)
	kept, err := os.ReadFile(filepath.Join(dir, "cloth.svg"))
	require.NoError(t, err)
	require.Equal(t, shirtCloth, string(kept), "her own file stays")
	// The wheel comes closer to what is under it, and so do two fingers that part.
	const seen = `(() => { const b = document.getElementById("draw-board"); b.scrollIntoView({ block: "center", behavior: "instant" }); const r = b.getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2, b.viewBox.baseVal.width]; })()`
	inFront(t, tab)
	var far [3]float64
	for range 20 { // the page is set anew after it is saved, and may move away from under the wheel
		far = sees[[3]float64](t, tab, seen)
		does(t, tab, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseWheel, far[0], far[1], func(p *input.DispatchMouseEventParams) { p.DeltaX, p.DeltaY = 0.01, -400 }))
		if time.Sleep(500 * time.Millisecond); sees[[3]float64](t, tab, seen)[2] != far[2] {
			break
		}
	}
	wide := func(want float64) chromedp.Action[chromedp.Void] {
		return holds(fmt.Sprintf(`Math.abs(document.getElementById("draw-board").viewBox.baseVal.width / %g - 1) < 0.02`, want))
	}
	does(t, tab, wide(far[2]*math.Exp(-0.6)))
	at := sees[[3]float64](t, tab, seen)
	fingers := func(typ input.DispatchTouchEventType, apart ...float64) {
		p := input.DispatchTouchEventParams{Type: typ, TouchPoints: []*input.TouchPoint{}}
		for i, dx := range apart {
			id := float64(i)
			p.TouchPoints = append(p.TouchPoints, &input.TouchPoint{X: at[0] + dx, Y: at[1], ID: &id})
		}
		_, err := chromedp.Call(tab, input.DispatchTouchEvent, p)
		require.NoError(t, err)
	}
	fingers(input.DispatchTouchEventTypeTouchStart, -100)
	fingers(input.DispatchTouchEventTypeTouchStart, -100, 100)
	fingers(input.DispatchTouchEventTypeTouchMove, -50, 50)
	fingers(input.DispatchTouchEventTypeTouchEnd)
	does(t, tab, wide(2*far[2]*math.Exp(-0.6)), holds(`document.getElementById("draw-state").textContent === ""`), draws("all"))
	// A point of the round scrap is dragged: it stays round, but for the two curves that meet there.
	does(t, tab, chromedp.Focus(`[aria-label^="round, outline"]`), chromedp.KeyEvent(kb.ArrowRight))
	presses(t, tab, [2]float64{100, 220}, [2]float64{100, 230}, [2]float64{100, 240})
	does(t, tab, says("Point 3 of 4: x 100.0"), saves)
	round := drawn(t, dir, "scraps.svg")[0]
	require.Equal(t, []string{was[0].Rim[:1].D(), was[0].Rim[3:].D()}, []string{round.Rim[:1].D(), round.Rim[3:].D()})
	require.True(t, round.Rim[1].Curved && round.Rim[2].Curved)
	require.Greater(t, round.Rim[1].P1[1], 235.0)
	require.NoFileExists(t, filepath.Join(dir, "scraps-2.svg"))
}
