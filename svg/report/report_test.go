package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"eke/split/plan"
	"eke/svg/measure"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// tshirt is the plan that the draw package's tests write.
func tshirt(t testing.TB) *plan.Document {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "draw", "testdata", "tshirt-plan.json"))
	require.NoError(t, err)
	defer f.Close()
	d, err := plan.Read(f)
	require.NoError(t, err)
	return d
}

func written(t testing.TB, d *plan.Document) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, HTML(&b, d, measure.Millimetres))
	return b.String()
}

// walk visits every node of a page.
func walk(n *html.Node, visit func(*html.Node)) {
	visit(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		walk(c, visit)
	}
}

func parsed(t testing.TB, page string) *html.Node {
	t.Helper()
	n, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	return n
}

// text is what a reader sees below a node.
func text(n *html.Node) string {
	var b strings.Builder
	walk(n, func(n *html.Node) {
		if n.Type == html.TextNode && n.Parent.Data != "style" {
			b.WriteString(n.Data)
		}
	})
	return b.String()
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// What is felt when the garment is worn is said with what helps, and where a
// lining is planned with where its plan is.
func TestReportOfWearAndLining(t *testing.T) {
	const helps, lies = "topstitch the allowances", "The lining lies between them and the skin."
	d := tshirt(t)
	require.NotContains(t, written(t, d), "When it is worn")
	d.Options[0].Wear = []string{"in front, A lies at the underarm, where cloth rubs"}
	page := written(t, d)
	require.Contains(t, page, "In front, A lies at the underarm, where cloth rubs.")
	require.Contains(t, page, helps)
	require.NotContains(t, page, lies)
	require.NotContains(t, page, `href="lining/`)
	d.Lining = "lining/plan.json"
	page = written(t, d)
	require.Contains(t, page, lies)
	require.NotContains(t, page, helps)
	require.Contains(t, page, `href="lining/report.html"`)
	d.Lining = "../first plan/lining/plan.json"
	require.Contains(t, written(t, d), `href="../first%20plan/lining/report.html"`)
}

// Wishes that stand in the way together are told to be given up together.
func TestReportOfWishesInTheWay(t *testing.T) {
	d := tshirt(t)
	d.Options, d.After = nil, "out/option-1"
	d.Unkept = []plan.Unkept{{Text: "front alike"}, {Text: "back alike", Without: &plan.Seams{}}}
	seen := text(parsed(t, written(t, d)))
	require.Contains(t, seen, `Without all of these there is a plan with no piecing seam`)
	require.Contains(t, seen, `give --wish "prefer front alike" --wish "prefer back alike", and they are no musts.`)
}

func TestReportIsTheSameEachTime(t *testing.T) {
	require.Equal(t, written(t, tshirt(t)), written(t, tshirt(t)))
}

func TestReportShowsEverything(t *testing.T) {
	d := tshirt(t)
	seen := text(parsed(t, written(t, d)))
	for _, want := range []string{
		"Option 1", "Option 2", "48.2 cm", "cross seam", "How much it shows (intrusion)", "down, toward front-lower", "dress front", "tunic sleeve (2)",
		"16.1, 36.1 cm", "front/shoulder to back/shoulder", "30 mm", "229.4 mm", "-1.8 mm", "ease as drawn",
		"Sew seam A", "seams added", "12.4", "712 cm²", "210 cm²", "untouched",
		"the text on the pieces is not read", "the front is longer than any scrap of navy",
		"magnet", "children", "local rules", "66.2 × 53.7 cm",
	} {
		require.Contains(t, seen, want)
	}
	for _, o := range d.Options {
		for _, p := range o.Parts {
			require.GreaterOrEqual(t, strings.Count(seen, p.Name), 2*len(d.Options), p.Name)
		}
	}
}

// The file is whole in itself: no script, no address, nothing loaded.
func TestReportAsksNobody(t *testing.T) {
	d := tshirt(t)
	d.Scraps[0].Colour = "url(https://example.org/x.png)"
	d.Scraps[0].Note = `<img src="https://example.org/y.png">`
	page := written(t, d)
	walk(parsed(t, page), func(n *html.Node) {
		require.NotContains(t, []string{"script", "link", "iframe", "img", "object", "embed", "base", "form", "image"}, n.Data)
		for _, a := range n.Attr {
			require.False(t, strings.HasPrefix(a.Key, "on"), a.Key)
			if a.Key == "href" || a.Key == "src" || a.Key == "action" {
				require.Regexp(t, `^#`, a.Val, "a link leads out of the page")
			}
		}
	})
	style, _, _ := strings.Cut(page, "</style>")
	require.NotRegexp(t, regexp.MustCompile(`(?i)url\(|@import|expression`), style)
	require.NotRegexp(t, regexp.MustCompile(`url\([^#]`), page[len(style):])
}

func TestNamesAreText(t *testing.T) {
	const hostile = `"><script>alert(1)</script>&'</style>`
	d := tshirt(t)
	d.Pattern, d.Notes, d.FewestReason = hostile, []string{hostile}, hostile
	d.ScrapFiles = []string{hostile}
	for i := range d.Scraps {
		d.Scraps[i].Name += hostile
		d.Scraps[i].Note, d.Scraps[i].Fabric = hostile, hostile
	}
	for i := range d.Options {
		o := &d.Options[i]
		for k := range o.Parts {
			o.Parts[k].Name += hostile
			o.Parts[k].Scrap += hostile
		}
		for k := range o.PiecingSeams {
			s := &o.PiecingSeams[k]
			s.Name, s.Kind, s.Called, s.Press, s.Why, s.Parts = hostile, hostile, hostile, hostile, hostile, []string{hostile, hostile}
		}
		o.SewingOrder, o.Notes, o.Wear = []string{hostile}, []string{hostile}, []string{hostile}
		o.Wishes = []plan.Wish{{Text: hostile, How: hostile}}
		o.Cost = append(o.Cost, plan.Term{Name: hostile, Detail: hostile})
	}
	d.Short = []plan.Short{{Piece: hostile, Scrap: hostile, Split: hostile}}
	d.Cloth = []plan.Cloth{{Pieces: []string{hostile}, Fabric: hostile, Held: []plan.Held{{Fabric: hostile, Kind: hostile}}}}
	d.WouldDo = []plan.Wanted{{Cloth: []plan.Rectangle{{Fabric: hostile, Kind: hostile}}}}
	scripts := 0
	n := parsed(t, written(t, d))
	walk(n, func(n *html.Node) {
		if n.Type == html.ElementNode && n.Data == "script" {
			scripts++
		}
	})
	require.Zero(t, scripts)
	require.Contains(t, text(n), hostile)
}

// Readable by a screen reader: tables have captions and their headers say
// what they head, pictures have words or are hidden, headings step down one
// by one, ids are single (WCAG 2.1, 1.1.1, 1.3.1 and 4.1.1, the
// numbers from memory).
func TestReportForAScreenReader(t *testing.T) {
	ids := map[string]bool{}
	level := 0
	walk(parsed(t, written(t, tshirt(t))), func(n *html.Node) {
		if n.Type != html.ElementNode {
			return
		}
		if id := attribute(n, "id"); id != "" {
			require.False(t, ids[id], "id %s twice", id)
			ids[id] = true
		}
		switch n.Data {
		case "table":
			captions := 0
			walk(n, func(n *html.Node) {
				if n.Data == "caption" {
					captions++
				}
			})
			require.Equal(t, 1, captions)
		case "th":
			require.Contains(t, []string{"col", "row"}, attribute(n, "scope"))
		case "svg":
			if attribute(n, "aria-hidden") != "true" {
				require.Equal(t, "img", attribute(n, "role"))
				require.NotEmpty(t, attribute(n, "aria-label"))
			}
		case "h1", "h2", "h3":
			at := int(n.Data[1] - '0')
			require.LessOrEqual(t, at, level+1, text(n))
			level = at
		case "html":
			require.NotEmpty(t, attribute(n, "lang"))
		}
	})
	walk(parsed(t, written(t, tshirt(t))), func(n *html.Node) {
		if ref := strings.TrimPrefix(attribute(n, "href"), "#"); ref != "" {
			require.True(t, ids[ref], "#%s leads nowhere", ref)
		}
		if ref := attribute(n, "aria-labelledby"); ref != "" {
			require.True(t, ids[ref], "#%s labels nothing", ref)
		}
	})
}

func TestNoPlanFits(t *testing.T) {
	d := tshirt(t)
	d.Options, d.Fewest, d.FewestReason = nil, false, ""
	d.Short = []plan.Short{
		{Piece: "front", Copy: 1, Scrap: "dress front", AlongMM: 46},
		{Piece: "front", Copy: 1, Scrap: "dress front", AlongMM: 12, Split: "yoke"},
		{Piece: "sleeve", Copy: 2},
		{Piece: "back", NotChecked: true},
	}
	seen := text(parsed(t, written(t, d)))
	require.Contains(t, seen, "backnot checkedwhole")
	require.Contains(t, seen, "no time to check the rows that say so")
	require.NotContains(t, seen, "fits some scrap by itself")
	for _, want := range []string{"No plan was found", "46.0 mm", "dress front", "yoke", "sleeve (2)", "no scrap of its fabric"} {
		require.Contains(t, seen, want)
	}
	require.NotContains(t, seen, "Option")
}

// What would help stands under its own headings, and a plan for some of the
// pieces is never taken for one of the options.
func TestWhatWouldHelp(t *testing.T) {
	d := tshirt(t)
	o := d.Options[0]
	gone := d.Pieces[0]
	o.Parts = slices.DeleteFunc(slices.Clone(o.Parts), func(p plan.Part) bool { return p.Piece == gone.Name && p.Copy == gone.Copy })
	o.PiecingSeams = slices.DeleteFunc(slices.Clone(o.PiecingSeams), func(p plan.PiecingSeam) bool { return p.Piece == gone.Name && p.Copy == gone.Copy })
	o.MovedSeams, o.Moved = nil, nil
	d.Options, d.Short, d.FitAlone = nil, nil, true
	d.Cloth = []plan.Cloth{
		{Pieces: []string{"front", "back"}, Fabric: "navy or cream", NeededMM2: 2e6, HeldMM2: 1e6, Held: []plan.Held{{Fabric: "navy", Kind: "knit", AreaMM2: 4e5}, {AreaMM2: 6e5}}},
		{Pieces: []string{"front", "back", "neckband"}, All: true, NeededMM2: 3e6, HeldMM2: 1.5e6},
	}
	d.MoreSeams = &plan.Seams{Allowed: 1, Seams: 3, LengthMM: 700}
	d.Partial = &plan.Partial{Option: o, LeftOver: []plan.CopyOf{{Piece: gone.Name, Copy: gone.Copy}}}
	d.WouldDo = []plan.Wanted{{Seams: 1, Cloth: []plan.Rectangle{{Fabric: "navy", Kind: "knit", LengthMM: 450, WidthMM: 540}, {Fabric: "rib", LengthMM: 50, WidthMM: 200}}}}
	page := written(t, d)
	seen := text(parsed(t, page))
	for _, want := range []string{
		"Each piece fits some scrap by itself, but no way was found",
		"front, backnavy or cream2.00 m²1.00 m²navy knit 0.40 m², cloth, no fabric named 0.60 m²", "all pieces3.00 m²1.50 m²",
		"A plan with 3, 70.0 cm long together, was found and proved: give --max-seams 3",
		"navy knit, at least 45 x 54 cm (length along the grain x width) and rib, at least 5 x 20 cm", "with 1 piecing seam",
		"A plan for some of the pieces only", fmt.Sprintf("It does not make the garment: it holds %d of %d pieces", len(d.Pieces)-1, len(d.Pieces)), "Left over: " + gone.Name,
	} {
		require.Contains(t, seen, want)
	}
	require.NotContains(t, seen, "Option")
	require.Contains(t, page, `class="laid-part"`)
}

func TestAPlanOfNothing(t *testing.T) {
	var d plan.Document
	require.NoError(t, json.Unmarshal([]byte(`{"format":"eke-plan/1"}`), &d))
	require.Contains(t, text(parsed(t, written(t, &d))), "No plan was found")
}

func TestABrokenPlanIsAnError(t *testing.T) {
	d := tshirt(t)
	d.Options[1].Parts[0].Edges[0].D = "nothing"
	require.ErrorContains(t, HTML(new(bytes.Buffer), d, measure.Millimetres), `option 2: part "front-upper"`)
}

// Of a pile of hundreds the scraps that are cut into are drawn, with some
// others; the rest are told by name and size.
func TestAPileOfScraps(t *testing.T) {
	d := tshirt(t)
	const more = 1500
	for i := range more {
		s := d.Scraps[0]
		s.Name, s.Copy = fmt.Sprintf("bit %d", i+1), 1
		d.Scraps = append(d.Scraps, s)
		for k := range d.Options {
			d.Options[k].Left = append(d.Options[k].Left, plan.Left{Scrap: s.Name, Copy: 1, AreaMM2: 1e4, Untouched: true})
		}
	}
	// One of the last is cut into, and so is drawn.
	last := d.Scraps[len(d.Scraps)-2].Name
	d.Options[1].Parts[0].Scrap, d.Options[1].Parts[0].ScrapCopy = last, 1
	page := written(t, d)
	n := parsed(t, page)
	figures, listed, closed := []string{}, []string{}, false
	walk(n, func(n *html.Node) {
		switch {
		case n.Data == "section" && attribute(n, "aria-labelledby") == "scraps":
			walk(n, func(n *html.Node) {
				switch n.Data {
				case "figcaption":
					figures = append(figures, text(n))
				case "li":
					listed = append(listed, text(n))
				case "details":
					closed = attribute(n, "open") == ""
				}
			})
		}
	})
	require.Len(t, figures, 24)
	require.True(t, strings.HasPrefix(figures[23], last+","), figures[23])
	require.True(t, closed)
	kinds := map[string]bool{}
	for _, s := range d.Scraps {
		kinds[s.Name] = true
	}
	require.Len(t, listed, len(kinds)-24)
	require.Contains(t, listed[len(listed)-1], fmt.Sprintf("bit %d, navy, 50.0 × 58.7 cm", more))
	seen := text(n)
	require.Contains(t, seen, fmt.Sprintf("nothing is cut from them: %d more scraps, such as bit ", len(listed)))
	require.Contains(t, seen, "1501 others")
	require.Contains(t, seen, "15.02 m², untouched")
	require.Less(t, len(page), 600_000)
	for _, m := range regexp.MustCompile(`url\(#(cloth-\d+)\)`).FindAllStringSubmatch(page, -1) {
		require.Contains(t, page, `<pattern id="`+m[1]+`"`)
	}

	// With no plan, the scraps that come closest are drawn.
	d.Options, d.Short = nil, []plan.Short{{Piece: "front", Copy: 1, Scrap: last, AlongMM: 46}}
	drawn := false
	walk(parsed(t, written(t, d)), func(n *html.Node) {
		drawn = drawn || n.Data == "figcaption" && strings.HasPrefix(text(n), last+",")
	})
	require.True(t, drawn)
}

// Length is along the grain, whichever way that lies on the page.
func TestExtent(t *testing.T) {
	box := []plan.Point{{0, 0}, {300, 0}, {300, 100}, {0, 100}}
	require.Equal(t, "10.0 × 30.0 cm", extent(box, 90, measure.Millimetres))
	require.Equal(t, "10.0 × 30.0 cm", extent(box, -90, measure.Millimetres))
	require.Equal(t, "30.0 × 10.0 cm", extent(box, 0, measure.Millimetres))
	require.Equal(t, "28.3 × 28.3 cm", extent(box, 45, measure.Centimetres))
	require.Equal(t, "3 15/16 × 11 13/16 in", extent(box, 90, measure.Inches))
}
