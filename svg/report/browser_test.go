package report

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"eke/split/plan"
	"eke/svg/measure"

	"github.com/stretchr/testify/require"
)

// browse runs a headless chromium on a page that is a file.
func browse(t testing.TB, page string, flags ...string) (out string, log string) {
	t.Helper()
	var browser string
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			browser = path
			break
		}
	}
	if browser == "" {
		t.Skip("no browser is here: this check needs chromium (Debian package chromium)")
	}
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

func saved(t testing.TB, page string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "report.html")
	require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	return file
}

// probe measures the page as laid out and leaves what it finds as the title
// of the page, which --dump-dom then shows. It is added to the page for the
// test only.
const probe = `<script>
addEventListener("load", function () {
  var wide = document.documentElement.scrollWidth - document.documentElement.clientWidth, tiny = [], cut = [];
  document.querySelectorAll("svg[role=img]").forEach(function (s) {
    var box = s.getBoundingClientRect();
    s.querySelectorAll("text").forEach(function (t) {
      var b = t.getBoundingClientRect();
      if (t.textContent.trim() === "") return;
      if (Math.max(b.width, b.height) > 0 && Math.min(b.width, b.height) < 7) tiny.push(t.textContent + " " + b.height.toFixed(1));
      if (b.left < box.left - 1 || b.right > box.right + 1 || b.top < box.top - 1 || b.bottom > box.bottom + 1) cut.push(t.textContent);
    });
  });
  document.title = "wide=" + wide + ";tiny=" + tiny.join("|") + ";cut=" + cut.join("|") + ";";
});
</script>`

// On a phone and on a desk: nothing makes the page wider than the screen, no
// label of a picture is cut off by it or too small to read.
func TestReportInABrowser(t *testing.T) {
	page := written(t, tshirt(t))
	file := saved(t, strings.Replace(page, "</body>", probe+"</body>", 1))
	for _, width := range []int{390, 1280} {
		dom, log := browse(t, file, fmt.Sprintf("--window-size=%d,900", width), "--dump-dom")
		_, after, found := strings.Cut(dom, "<title>")
		require.True(t, found)
		title, _, _ := strings.Cut(after, "</title>")
		require.Equal(t, "wide=0;tiny=;cut=;", title, "at %d px", width)
		require.NotContains(t, log, "CONSOLE")
	}
}

// Printed, no picture is cut at the edge of a page.
func TestReportOnPaper(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not here: this check needs poppler's programs (Debian package poppler-utils)")
	}
	d := tshirt(t)
	pdf := filepath.Join(t.TempDir(), "report.pdf")
	browse(t, saved(t, written(t, d)), "--no-pdf-header-footer", "--print-to-pdf="+pdf)
	out, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	require.NoError(t, err)
	pages := strings.Split(string(out), "\f")
	for i, p := range d.Options[0].Parts {
		// The label on a scrap and the caption below it are on one page.
		number := ""
		for n, part := range mustView(t, d).Options[0].Parts {
			if part.Name == p.Name {
				number = fmt.Sprintf("%d %s", n+1, part.Name)
			}
		}
		together := false
		for _, page := range pages {
			together = together || strings.Count(page, number) >= 2
		}
		require.True(t, together, "part %d, %q, is cut from its caption", i, number)
	}
}

func mustView(t testing.TB, d *plan.Document) *view {
	t.Helper()
	v, err := newView(d, measure.Millimetres)
	require.NoError(t, err)
	return v
}
