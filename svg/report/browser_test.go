package report

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"eke/piece/race"
	"eke/split/plan"
	"eke/svg/internal/need"
	"eke/svg/measure"
	"eke/svg/viewer"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

func saved(t testing.TB, page string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "report.html")
	require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
	return file
}

// probe measures the page as laid out and leaves what it finds as the title
// of the page, which --dump-dom then shows. It is added to the page for the
// test only. Pale is text whose contrast is below 4.5 to 1, or 3 to 1 where it
// is large (WCAG 2.1, 1.4.3, the number from
// memory).
const probe = `<script>
addEventListener("load", function () {
  var found = {wide: [], tiny: [], cut: [], over: [], pale: [], unseen: [], hidden: [], scale: []};
  var root = document.documentElement, px = root.scrollWidth - root.clientWidth;
  if (px > 0) found.wide.push(px);
  document.querySelectorAll("svg[role=img]").forEach(function (s) {
    var box = s.getBoundingClientRect(), boxes = [];
    s.querySelectorAll("text").forEach(function (t) {
      var b = t.getBoundingClientRect();
      if (t.textContent.trim() === "") return;
      var size = t.textContent.length < 3 ? Math.max(b.width, b.height) : Math.min(b.width, b.height);
      if (size < 7) found.tiny.push(t.textContent + " " + b.height.toFixed(1));
      if (b.left < box.left - 1 || b.right > box.right + 1 || b.top < box.top - 1 || b.bottom > box.bottom + 1) found.cut.push(t.textContent);
      boxes.forEach(function (o) {
        var w = Math.min(b.right, o.b.right) - Math.max(b.left, o.b.left), h = Math.min(b.bottom, o.b.bottom) - Math.max(b.top, o.b.top);
        if (w > 2 && h > 4) found.over.push(o.text + " and " + t.textContent);
      });
      boxes.push({b: b, text: t.textContent});
    });
  });
  document.querySelectorAll("h1, h2, h3, figure svg, .card, tr, dd, li, figcaption").forEach(function (e) {
    var b = e.getBoundingClientRect();
    if (b.width < 1 || b.height < 1) found.unseen.push(e.textContent.slice(0, 20));
  });
  document.querySelectorAll("td, th").forEach(function (e) {
    var b = e.getBoundingClientRect();
    if (!e.closest("thead") && b.width > 0 && (b.left < 0 || b.right > root.clientWidth + 1)) found.hidden.push(e.textContent.slice(0, 20));
  });
  document.querySelectorAll("table").forEach(function (e) {
    var stacked = getComputedStyle(e).display === "block";
    if (e.scrollWidth > e.clientWidth + 1) found.hidden.push(e.textContent.slice(0, 20));
    if (stacked) e.querySelectorAll("tbody td").forEach(function (c) {
      if (c.textContent !== "" && getComputedStyle(c, "::before").content.length < 4) found.hidden.push("what " + c.textContent.slice(0, 20) + " is");
    });
  });
  document.querySelectorAll(".wide").forEach(function (e) {
    if (e.scrollWidth > e.clientWidth + 1) found.hidden.push(e.getAttribute("aria-label"));
  });
  document.querySelectorAll(".views, .small").forEach(function (e) {
    var all = [].map.call(e.querySelectorAll("svg"), function (s) { return s.getBoundingClientRect().width / s.viewBox.baseVal.width; });
    if (Math.max.apply(null, all) > 1.01 * Math.min.apply(null, all)) found.scale.push(all.join("/"));
  });
  function light(css) {
    var v = css.match(/[0-9.]+/g).map(Number);
    if (v.length > 3 && v[3] === 0) return null;
    var l = v.slice(0, 3).map(function (c) { c /= 255; return c <= 0.04045 ? c / 12.92 : Math.pow((c + 0.055) / 1.055, 2.4); });
    return 0.2126 * l[0] + 0.7152 * l[1] + 0.0722 * l[2];
  }
  document.querySelectorAll("body *:not(svg *):not(script):not(style)").forEach(function (e) {
    if (![].some.call(e.childNodes, function (n) { return n.nodeType === 3 && n.textContent.trim() !== ""; })) return;
    var style = getComputedStyle(e), ink = light(style.color), paper = null;
    for (var p = e; p && paper === null; p = p.parentElement) paper = light(getComputedStyle(p).backgroundColor);
    var ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05);
    if (ratio < (parseFloat(style.fontSize) >= 24 ? 3 : 4.5)) found.pale.push(e.textContent.slice(0, 20) + " " + ratio.toFixed(1));
  });
  found.scheme = [matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light"];
  document.title = Object.keys(found).map(function (k) { return k + "=" + found[k].join("|"); }).join(";");
});
</script>`

// lengthen gives a scrap a long name without a blank in it.
func lengthen(d *plan.Document, scrap string) {
	long := strings.Repeat("strip", 12)
	for i := range d.Scraps {
		if d.Scraps[i].Name == scrap {
			d.Scraps[i].Name = long
		}
	}
	for _, o := range d.Options {
		for i := range o.Left {
			if o.Left[i].Scrap == scrap {
				o.Left[i].Scrap = long
			}
		}
		for i := range o.Parts {
			if o.Parts[i].Scrap == scrap {
				o.Parts[i].Scrap = long
			}
		}
	}
}

// beside makes the neckband a facing, which is drawn beside the garment.
func beside(d *plan.Document) {
	for i := range d.Pieces {
		d.Pieces[i].Name = strings.Replace(d.Pieces[i].Name, "neckband", "facing", 1)
	}
	for _, o := range d.Options {
		for i := range o.Parts {
			o.Parts[i].Piece = strings.Replace(o.Parts[i].Piece, "neckband", "facing", 1)
		}
	}
}

// On a phone and on a desk, by day and by night: nothing makes the page wider
// than the screen, every picture, row and column is to be seen without scrolling
// sideways, pictures of one garment are to one scale, no label is cut off,
// lies on another or is too small to read, and all text stands out.
func TestReportInABrowser(t *testing.T) {
	race.SkipAlone(t)
	d := tshirt(t)
	lengthen(d, d.Scraps[len(d.Scraps)-1].Name)
	beside(d)
	file := saved(t, strings.Replace(written(t, d), "</body>", probe+"</body>", 1))
	for _, width := range []int{390, 1070, 1280} {
		for scheme, flag := range map[string]string{"dark": "0", "light": "1"} {
			dom, log := viewer.Open(t, file, fmt.Sprintf("--window-size=%d,900", width), "--blink-settings=preferredColorScheme="+flag, "--dump-dom")
			_, after, found := strings.Cut(dom, "<title>")
			require.True(t, found)
			title, _, _ := strings.Cut(after, "</title>")
			require.Equal(t, "wide=;tiny=;cut=;over=;pale=;unseen=;hidden=;scale=;scheme="+scheme, title, "at %d px", width)
			require.NotContains(t, log, "CONSOLE")
		}
	}
}

// Printed, no picture is cut at the edge of a page.
func TestReportOnPaper(t *testing.T) {
	race.SkipAlone(t)
	pdftotext := need.Program(t, "poppler-utils", "pdftotext")
	d := tshirt(t)
	pdf := filepath.Join(t.TempDir(), "report.pdf")
	viewer.Open(t, saved(t, written(t, d)), "--no-pdf-header-footer", "--print-to-pdf="+pdf)
	out, err := exec.Command(pdftotext, "-layout", pdf, "-").Output()
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

// squeezed is a text without its spaces.
func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

// Printed, no page ends with a heading or the head of a table, no word of a
// head is broken, and nothing runs off the paper, wherever pages end.
func TestPrintedTables(t *testing.T) {
	race.SkipAlone(t)
	pdftotext := need.Program(t, "poppler-utils", "pdftotext")
	d := tshirt(t)
	o := d.Options[0]
	d.Options = nil
	for n := range 10 {
		o.Rank = n + 1
		o.SewingOrder = slices.Repeat([]string{"Press."}, 3*n)
		o.Joins = slices.Repeat(o.Joins[:2], 1+n)
		d.Options = append(d.Options, o)
	}
	page := written(t, d)
	var heads []string // of sections and tables
	after := false     // a note may follow
	walk(parsed(t, page), func(n *html.Node) {
		switch n.Data {
		case "h2", "h3":
			heads, after = append(heads, squeezed(text(n))), true
		case "caption", "thead":
			heads = append(heads, squeezed(text(n)))
		case "p", "div":
			if after && n.Data == "p" && attribute(n, "class") == "note" {
				heads = append(heads, squeezed(text(n)))
			}
			after = false
		}
	})
	pdf := filepath.Join(t.TempDir(), "report.pdf")
	viewer.Open(t, saved(t, page), "--no-pdf-header-footer", "--print-to-pdf="+pdf)
	out, err := exec.Command(pdftotext, "-layout", pdf, "-").Output()
	require.NoError(t, err)
	for i, page := range strings.Split(string(out), "\f") {
		lines := strings.Split(strings.TrimSpace(page), "\n")
		last := squeezed(lines[len(lines)-1])
		for _, h := range heads {
			require.False(t, last != "" && strings.HasPrefix(last, h) || len(last) > 8 && strings.Contains(h, last), "page %d ends with %q", i+1, lines[len(lines)-1])
		}
	}
	for _, head := range []string{`No\.\s+Part\s+Of the piece\s+From the scrap\s+Seams\s+Size to cut`, `Seam\s+Kind\s+Piece\s+Joins\s+Length\s+Allowance`, `Edge\s+Sewn to\s+First\s+Second\s+Difference\s+As drawn\s+Note`} {
		require.GreaterOrEqual(t, len(regexp.MustCompile(`(?m)^\s*`+head).FindAllString(string(out), -1)), len(d.Options), head)
	}
	boxes, err := exec.Command(pdftotext, "-bbox", pdf, "-").Output()
	require.NoError(t, err)
	paperPt := 0.0
	for _, m := range regexp.MustCompile(`<page width="([0-9.]+)"|xMax="([0-9.]+)"[^>]*>(.*?)</word>`).FindAllStringSubmatch(string(boxes), -1) {
		const marginPt = 14 * 72 / 25.4
		if m[1] != "" {
			paperPt, err = strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			continue
		}
		x, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		require.LessOrEqual(t, x, paperPt-marginPt+1, m[3])
	}
}

func mustView(t testing.TB, d *plan.Document) *view {
	t.Helper()
	v, err := newView(d, measure.Millimetres)
	require.NoError(t, err)
	return v
}
