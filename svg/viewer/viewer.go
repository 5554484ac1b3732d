// Package viewer asks a browser what it sees. A browser reads SVG and HTML with
// code that shares nothing with eke's, so its answers are a check on eke's own.
// Only tests use it; where there is no browser they are skipped.
package viewer

import (
	"bytes"
	"context"
	"encoding/json"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"eke/svg/internal/need"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Program is the browser's path. Where there is no browser the test is skipped.
func Program(t testing.TB) string {
	t.Helper()
	return need.Program(t, "chromium", "chromium", "chromium-browser", "google-chrome")
}

// Open shows a page, a file, in a browser without a window, and gives what
// the browser writes and logs. Where there is no browser the test is skipped.
func Open(t testing.TB, page string, flags ...string) (out, log string) {
	t.Helper()
	browser := Program(t)
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	args := append([]string{
		"--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--hide-scrollbars", "--user-data-dir=" + t.TempDir(),
		"--enable-logging=stderr", "--v=0",
	}, flags...)
	cmd := exec.CommandContext(ctx, browser, append(args, "file://"+page)...)
	cmd.WaitDelay = 5 * time.Second
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	require.NoError(t, cmd.Run(), stderr.String())
	return stdout.String(), stderr.String()
}

// Path is what a browser makes of path data, in user units: its length, moves
// not counted, and the points at equal distances along it, both ends included.
type Path struct {
	Length float64
	Points []orb.Point
}

// measure fills the page's title with what SVG 2's SVGGeometryElement says of
// every path.
const measure = `<!DOCTYPE html><meta charset="utf-8"><title></title><script>
var found = %s.map(function (d) {
  var p = document.createElementNS("http://www.w3.org/2000/svg", "path");
  p.setAttribute("d", d);
  var length = p.getTotalLength(), points = [];
  for (var k = 0; k <= COUNT; k++) { var q = p.getPointAtLength(length * k / COUNT); points.push([q.x, q.y]); }
  return {Length: length, Points: points};
});
document.title = JSON.stringify(found);
</script>`

var title = regexp.MustCompile(`(?s)<title>(.*?)</title>`)

// Measure gives each path with count+1 points along it.
func Measure(t testing.TB, count int, data ...string) []Path {
	t.Helper()
	list, err := json.Marshal(data)
	require.NoError(t, err)
	number, err := json.Marshal(count)
	require.NoError(t, err)
	script := bytes.ReplaceAll([]byte(measure), []byte("COUNT"), number)
	script = bytes.Replace(script, []byte("%s"), list, 1)
	page := filepath.Join(t.TempDir(), "paths.html")
	require.NoError(t, os.WriteFile(page, script, 0o644))
	out, _ := Open(t, page, "--dump-dom")
	found := title.FindStringSubmatch(out)
	require.NotNil(t, found, out)
	var paths []Path
	require.NoError(t, json.Unmarshal([]byte(html.UnescapeString(found[1])), &paths))
	require.Len(t, paths, len(data))
	return paths
}
