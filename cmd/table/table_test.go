package table

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"eke/cmd/job"
	"eke/piece/plane"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// flag is a rectangle of 200 by 280 mm, 220 by 300 with its allowance.
const flag = `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
<g id="flag"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/></g>
</svg>`

const linen = "name,fabric,length_cm,width_cm\none,linen,20,24\ntwo,linen,20,24\n"

// laidOut is a table in a folder of its own with these files, served until the test ends.
func laidOut(t testing.TB, slow time.Duration, files map[string]string, pattern string, scraps ...string) (*Table, string) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	made, err := New(Options{Folder: dir, Out: "out", Pattern: pattern, Scraps: scraps, slow: slow}, 0)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- made.Serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
	})
	return made, dir
}

// visitor is a browser that opened the table's address.
type visitor struct {
	t      testing.TB
	client *http.Client
	base   string
}

func visit(t testing.TB, made *Table) *visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	own := &http.Transport{}
	t.Cleanup(own.CloseIdleConnections)
	v := &visitor{t, &http.Client{Jar: jar, Transport: own, Timeout: 20 * time.Second}, fmt.Sprintf("http://127.0.0.1:%d", made.guard.port)}
	answer, err := v.client.Get(made.URL())
	require.NoError(t, err)
	defer answer.Body.Close()
	require.Equal(t, http.StatusOK, answer.StatusCode)
	require.Equal(t, "/", answer.Request.URL.RequestURI(), "the token does not stay in the address")
	return v
}

func (v *visitor) get(path string) (int, string) {
	v.t.Helper()
	answer, err := v.client.Get(v.base + path)
	require.NoError(v.t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(v.t, err)
	return answer.StatusCode, string(body)
}

func (v *visitor) post(path string, body io.Reader, kind, origin string) (int, string) {
	v.t.Helper()
	r, err := http.NewRequest(http.MethodPost, v.base+path, body)
	require.NoError(v.t, err)
	r.Header.Set("Content-Type", kind)
	if origin != "" {
		r.Header.Set("Origin", origin)
	}
	answer, err := v.client.Do(r)
	require.NoError(v.t, err)
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	require.NoError(v.t, err)
	return answer.StatusCode, string(text)
}

func (v *visitor) fill(path string, fields ...string) (int, string) {
	form := url.Values{}
	for i := 0; i < len(fields); i += 2 {
		form.Set(fields[i], fields[i+1])
	}
	return v.post(path, strings.NewReader(form.Encode()), "application/x-www-form-urlencoded", v.base)
}

// plans has a plan made, and waits for it.
func (v *visitor) plans() {
	v.t.Helper()
	code, why := v.fill("/plan", "seconds", "20", "options", "3", "allowance", "10 mm", "gap", "3 mm", "sort", "seams")
	require.Equal(v.t, http.StatusNoContent, code, why)
	require.Eventually(v.t, func() bool { return v.state().Run == nil }, 30*time.Second, 20*time.Millisecond)
}

func (v *visitor) state() (s state) {
	_, body := v.get("/state")
	require.NoError(v.t, json.Unmarshal([]byte(body), &s))
	return s
}

// Nobody gets in but the page that was opened.
func TestOnlyTheOwnPageIsServed(t *testing.T) {
	t.Parallel()
	made, dir := laidOut(t, 0, nil, "")
	v := visit(t, made)
	for path, want := range map[string]int{"/": 200, "/state": 200, "/section/bring": 200, "/page/table.js": 200, "/nothing": 404, "/section/nothing": 404, "/out/plan.json": 404, "/out/../secret.svg": 404} {
		code, _ := v.get(path)
		require.Equal(t, want, code, path)
		for _, token := range []string{"", "?token=", "?token=" + strings.Repeat("A", 26)} {
			answer, err := http.Get(v.base + path + token)
			require.NoError(t, err)
			answer.Body.Close()
			require.Equal(t, http.StatusForbidden, answer.StatusCode, "without the token")
		}
		r, err := http.NewRequest(http.MethodGet, v.base+path, nil)
		require.NoError(t, err)
		r.Host = "table.example"
		answer, err := v.client.Do(r)
		require.NoError(t, err)
		answer.Body.Close()
		require.Equal(t, http.StatusForbidden, answer.StatusCode, "by another name of this machine")
		require.Contains(t, answer.Header.Get("Content-Security-Policy"), "default-src 'none'")
	}
	for _, origin := range []string{"", "null", "http://table.example", "http://127.0.0.1:1", "https" + strings.TrimPrefix(v.base, "http")} {
		code, _ := v.post("/bring?as=scraps&name=a.csv", strings.NewReader(linen), "text/csv", origin)
		require.Equal(t, http.StatusForbidden, code, "from the page %q", origin)
	}
	require.NoFileExists(t, filepath.Join(dir, "a.csv"))
	code, _ := v.post("/bring?as=scraps&name=a.csv", strings.NewReader(linen), "text/csv", v.base)
	require.Equal(t, http.StatusNoContent, code)
	require.FileExists(t, filepath.Join(dir, "a.csv"))
}

// endless is an upload of a gigabyte that says nothing of its length.
type endless struct{ left int }

func (e *endless) Read(p []byte) (int, error) {
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := min(len(p), e.left)
	e.left -= n
	return n, nil
}

func TestHugeAndSlowUploadsAreRefused(t *testing.T) {
	t.Parallel()
	made, dir := laidOut(t, 300*time.Millisecond, nil, "")
	v := visit(t, made)
	asks := fmt.Sprintf("POST /bring?as=scraps&name=a.csv HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nOrigin: %s\r\nCookie: %s=%s\r\nContent-Length: ", made.guard.port, v.base, made.guard.cookie(), made.guard.token)
	for _, sends := range []string{
		asks + fmt.Sprint(1<<30) + "\r\n\r\nname", // a gigabyte is refused before it comes
		"GET / HT",                    // a client that never says what it wants
		asks + "100\r\n\r\nname,fabr", // one that never sends what it promised
	} {
		c, err := net.Dial("tcp", fmt.Sprintf("127.0.0.1:%d", made.guard.port))
		require.NoError(t, err)
		_, err = io.WriteString(c, sends)
		require.NoError(t, err)
		require.NoError(t, c.SetReadDeadline(time.Now().Add(20*time.Second)))
		answer, err := io.ReadAll(c)
		require.NoError(t, err, "it is hung up on")
		require.NotContains(t, string(answer), " 204 ")
		require.NoError(t, c.Close())
		if strings.Contains(sends, "1073741824") {
			require.Contains(t, string(answer), " 413 ")
		}
	}
	r, err := http.NewRequest(http.MethodPost, v.base+"/bring?as=scraps&name=b.csv", &endless{1 << 30})
	require.NoError(t, err)
	r.Header.Set("Origin", v.base)
	if answer, err := v.client.Do(r); err == nil { // or it is hung up on in the midst of it
		answer.Body.Close()
		require.GreaterOrEqual(t, answer.StatusCode, 400)
	}
	found, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Empty(t, found)
}

// What is brought is shown as it was read, with each note and error at its thing,
// and whatever it is called it stays text.
func TestBringPlanTakeAway(t *testing.T) {
	t.Parallel()
	const evil = `<img src=x onerror=alert(1)>`
	made, dir := laidOut(t, 0, map[string]string{"kept.csv": "of another kind"}, "")
	v, other := visit(t, made), visit(t, made)
	bring := func(as, name, text string) (int, string) {
		return v.post("/bring?"+url.Values{"as": {as}, "name": {name}}.Encode(), strings.NewReader(text), "application/octet-stream", v.base)
	}
	section := func(name string) string {
		t.Helper()
		code, body := other.get("/section/" + name)
		require.Equal(t, http.StatusOK, code, body)
		require.NotContains(t, body, "<img", name)
		return strings.Join(strings.Fields(body), " ")
	}
	require.Contains(t, section("plan"), "Bring a pattern first.")

	code, _ := bring("pattern", "open.svg", strings.Replace(flag, " Z", "", 1))
	require.Equal(t, http.StatusNoContent, code)
	require.Contains(t, section("bring"), `<p class="trouble" role="alert"><b>flag`)
	require.Contains(t, section("plan"), "disabled")
	code, why := bring("pattern", "flag.csv", linen)
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "a pattern is an SVG")
	code, _ = bring("pattern", "../../flag.svg", strings.Replace(flag, `id="flag"`, `id="flag" data-label="a"`, 1))
	require.Equal(t, http.StatusNoContent, code)
	require.FileExists(t, filepath.Join(dir, "flag.svg"))

	code, _ = bring("scraps", "kept.csv", strings.Replace(linen, "one", `"`+evil+`"`, 1))
	require.Equal(t, http.StatusNoContent, code)
	kept, err := os.ReadFile(filepath.Join(dir, "kept.csv"))
	require.NoError(t, err)
	require.Equal(t, "of another kind", string(kept), "nothing is written over")
	require.Contains(t, section("bring"), "<b>kept-2.csv</b>, 2 scraps")
	require.Contains(t, section("bring"), "&lt;img src=x onerror=alert(1)&gt;")

	code, _ = v.fill("/wish", "piece", "flag", "form", "block", "look", "linen", "lower", "linen")
	require.Equal(t, http.StatusNoContent, code)
	require.Contains(t, section("wish"), "flag upper linen, lower linen")
	code, why = v.fill("/wish", "words", evil)
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "is not understood")
	code, _ = v.fill("/unwish", "wish", "flag upper linen, lower linen")
	require.Equal(t, http.StatusNoContent, code)

	code, why = v.fill("/plan", "seconds", "0", "options", "3", "allowance", "a lot", "gap", "3 mm", "sort", "seams")
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "time: give a whole number")
	require.Contains(t, why, "allowance")
	require.NotContains(t, section("plan"), "#h-take")
	v.plans()
	require.Regexp(t, `<b>(1 option is|[2-9] options are) found.</b> (It stands|They stand) further down, under <a href="#h-take">The plan to cut by</a>`, section("plan"))
	take := section("take")
	require.Contains(t, take, "Option 1: 1 added seam")
	require.Contains(t, take, "&lt;img src=x")
	require.FileExists(t, filepath.Join(dir, "out", "option-1", "left.svg"))
	for _, name := range []string{"report.html", "plan.json", "option-1/layout.svg", "option-1/left.svg"} {
		file, err := os.ReadFile(filepath.Join(dir, "out", filepath.FromSlash(name)))
		require.NoError(t, err)
		code, body := v.get("/out/" + name)
		require.Equal(t, http.StatusOK, code)
		require.Equal(t, string(file), body, name)
	}
	code, pdf := v.get("/pages?option=1&what=parts&paper=a4")
	require.Equal(t, http.StatusOK, code)
	require.True(t, strings.HasPrefix(pdf, "%PDF-"))
	for _, gone := range []string{"/pages?option=9&what=parts&paper=a4", "/out/option-9/left.svg?save"} {
		code, said := v.get(gone)
		require.NotEqual(t, http.StatusOK, code)
		require.Contains(t, said, "find plans again", gone)
	}
	for _, bad := range []string{"option=9&what=parts&paper=a4", "option=../1&what=parts&paper=a4", "option=1&what=parts&paper=rag"} {
		code, _ := v.get("/pages?" + bad)
		require.Equal(t, http.StatusUnprocessableEntity, code, bad)
	}
	// She draws on a file in another program: the page sees it, and says that the plan is of another.
	require.NoError(t, os.WriteFile(filepath.Join(dir, "kept-2.csv"), []byte(linen+"three,linen,9,9\n"), 0o644))
	require.Equal(t, http.StatusOK, func() int { code, _ := v.get("/state"); return code }())
	require.Contains(t, section("bring"), "3 scraps")
	require.Contains(t, section("take"), "Find plans again before you cut")
	require.NotContains(t, section("plan"), "#h-take", "that is a plan from earlier")
	// What she says of a scrap is written down in a file of the table's own.
	say := func(fields ...string) (int, string) {
		return v.fill("/tell", append([]string{"file", "kept-2.csv", "at", "1", "name", "two", "grain", "0"}, fields...)...)
	}
	for _, bad := range [][]string{{"kind", "felt"}, {"grain", "upwards"}, {"name", ""}, {"name", "three"}, {"at", "9"}, {"file", "../kept.csv"}} {
		code, why = say(bad...)
		require.Equal(t, http.StatusUnprocessableEntity, code, "%v %s", bad, why)
	}
	require.NoFileExists(t, filepath.Join(dir, "scraps.svg"))
	code, why = say("fabric", "wool", "kind", "woven", "nap", "yes", "grain", "-15", "name", evil)
	require.Equal(t, http.StatusNoContent, code, why)
	told, err := job.ScrapFile(filepath.Join(dir, "scraps.svg"))
	require.NoError(t, err)
	require.Len(t, told, 3)
	require.Equal(t, []any{evil, "wool", "woven", true, 75.0, "three"}, []any{told[1].Name, told[1].Fabric, told[1].Kind, told[1].Nap, math.Round(told[1].GrainDeg), told[2].Name})
	require.InDelta(t, 200*240, plane.Area(told[1].Outline), 1)
	require.Contains(t, section("bring"), "<b>scraps.svg</b>, 3 scraps")
	code, why = v.fill("/tell", "file", "scraps.svg", "at", "0", "name", "one", "grain", "0", "fabric", "wool")
	require.Equal(t, http.StatusNoContent, code, why)
	require.NoFileExists(t, filepath.Join(dir, "scraps-2.svg"), "its own file is written again")
	code, _ = v.fill("/leave", "name", "scraps.svg")
	require.Equal(t, http.StatusNoContent, code)
	require.Contains(t, section("plan"), "Bring scraps first.")
}

// Where the search was it says what it found of what lies on the table now, and nothing of
// a plan from earlier.
func TestWhatTheSearchCameTo(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "p.svg"), []byte(flag), 0o644))
	b, err := newBench(Options{Folder: dir, Out: "out", Pattern: "p.svg"})
	require.NoError(t, err)
	shown := func() string {
		v, err := b.planView(nil)
		require.NoError(t, err)
		var out strings.Builder
		require.NoError(t, sections.ExecuteTemplate(&out, sectionPlan, v))
		return strings.Join(strings.Fields(out.String()), " ")
	}
	require.NotContains(t, shown(), "#h-take", "nothing is sought yet")
	b.plan, b.of, b.run = &plan.Document{}, b.stamp, &run{}
	require.Contains(t, shown(), `<b>No plan was found.</b> What is missing stands further down, under <a href="#h-take">`)
	b.plan = &plan.Document{Options: make([]plan.Option, 2)}
	require.Contains(t, shown(), `<b>2 options are found.</b> They stand further down, under <a href="#h-take">`)
	b.run = &run{failed: "it broke off"}
	require.NotContains(t, shown(), "#h-take", "the plan is from a search before")
	require.Contains(t, shown(), "it broke off")
	b.run, b.of = &run{}, "another pile"
	require.NotContains(t, shown(), "#h-take", "the plan is of another pile")
}

// A search goes on when its page is closed, shows its best to any other, and stops
// when it is told to; and when the table is put away all that it started ends.
func TestStoppingAndPuttingAway(t *testing.T) {
	shirt, err := os.ReadFile(filepath.Join("..", "..", "samples", "blouse.svg"))
	require.NoError(t, err)
	pile := new(bytes.Buffer)
	pile.WriteString("name,fabric,kind,length_cm,width_cm\n")
	for i := range 30 {
		fmt.Fprintf(pile, "s%d,,,%d,%d\n", i, 24+i%7, 21+i%5)
	}
	before := runtime.NumGoroutine()
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "p.svg"), shirt, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "s.csv"), pile.Bytes(), 0o644))
	made, err := New(Options{Folder: dir, Out: "out", Pattern: "p.svg", Scraps: []string{"s.csv"}}, 0)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	done := make(chan error, 1)
	go func() { done <- made.Serve(ctx) }()
	v := visit(t, made)
	start := func() (int, string) {
		return v.fill("/plan", "seconds", "600", "options", "2", "allowance", "10 mm", "gap", "3 mm", "sort", "seams")
	}
	code, why := start()
	require.Equal(t, http.StatusNoContent, code, why)
	code, why = start()
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "stop it first")
	w := visit(t, made)
	require.NotNil(t, w.state().Run)
	_, body := w.get("/section/plan")
	require.Contains(t, body, "Stop, and keep the best")
	code, _ = w.fill("/stop")
	require.Equal(t, http.StatusNoContent, code)
	require.Eventually(t, func() bool { return v.state().Run == nil }, 60*time.Second, 50*time.Millisecond)
	require.FileExists(t, filepath.Join(dir, "out", "plan.json"))
	code, why = start()
	require.Equal(t, http.StatusNoContent, code, why)
	v.client.CloseIdleConnections()
	w.client.CloseIdleConnections()
	cancel()
	require.NoError(t, <-done)
	http.DefaultClient.CloseIdleConnections()
	for range 200 {
		if runtime.NumGoroutine() <= before {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	all := make([]byte, 1<<16)
	t.Fatalf("something runs on:\n%s", all[:runtime.Stack(all, true)])
}
