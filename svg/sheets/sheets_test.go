package sheets

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"eke/piece/curve"
	"eke/piece/race"
	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/internal/need"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
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

func options(t testing.TB, paper string) Options {
	t.Helper()
	p, err := ParsePaper(paper)
	require.NoError(t, err)
	return Options{Paper: p, MarginMM: DefaultMarginMM, OverlapMM: DefaultOverlapMM}
}

func printed(t testing.TB, shapes []draw.Shape, o Options) ([]byte, Summary) {
	t.Helper()
	var b bytes.Buffer
	sum, err := Write(context.Background(), &b, "t-shirt (option 1)", shapes, o)
	require.NoError(t, err)
	return b.Bytes(), sum
}

func parts(t testing.TB) []draw.Shape {
	t.Helper()
	shapes, err := draw.Of(tshirt(t)).Once(0)
	require.NoError(t, err)
	return shapes
}

// few is parts enough for more than one page.
func few(t testing.TB) []draw.Shape { return parts(t)[:2] }

type print struct {
	pdf []byte
	sum Summary
}

var prints sync.Map // of few, by paper

// fewPrinted is few on a paper, printed once for all tests.
func fewPrinted(t testing.TB, paper string) ([]byte, Summary) {
	t.Helper()
	known, found := prints.Load(paper)
	if !found {
		pdf, sum := printed(t, few(t), options(t, paper))
		known, _ = prints.LoadOrStore(paper, print{pdf, sum})
	}
	return known.(print).pdf, known.(print).sum
}

// tool runs a program of poppler on a PDF.
func tool(t testing.TB, pdf []byte, name string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(need.Program(t, "poppler-utils", name), args...)
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	require.NoError(t, err)
	return out
}

// rendered is the top left corner of one page as a grey picture.
func rendered(t testing.TB, pdf []byte, page string, dpi string) image.Image {
	t.Helper()
	// pdftoppm writes the one page to standard output.
	im, err := png.Decode(bytes.NewReader(tool(t, pdf, "pdftoppm", "-png", "-gray", "-r", dpi, "-f", page, "-l", page, "-x", "0", "-y", "0", "-W", "3100", "-H", "2200", "-")))
	require.NoError(t, err)
	return im
}

// runs is the centres, in pixels, of the dark runs along a row or a column.
func runs(dark func(int) bool, from, to int) []float64 {
	var out []float64
	start := -1
	for i := from; i <= to; i++ {
		switch in := i < to && dark(i); {
		case in && start < 0:
			start = i
		case !in && start >= 0:
			out = append(out, float64(start+i-1)/2)
			start = -1
		}
	}
	return out
}

// The square and the bar measure what they say on every paper, within 0.1 mm,
// and the inch is 25.4 mm (International yard and pound agreement, 1959).
func TestSquareAndBar(t *testing.T) {
	race.SkipAlone(t)
	const dpi = 600
	mm := func(px float64) float64 { return px / dpi * 25.4 }
	px := func(mm float64) int { return int(math.Round(mm / 25.4 * dpi)) }
	for _, paper := range []string{"a4", "letter", "legal"} {
		pdf, _ := fewPrinted(t, paper)
		im := rendered(t, pdf, "1", "600")
		dark := func(x, y int) bool { return color.GrayModel.Convert(im.At(x, y)).(color.Gray).Y < 170 }
		top := float64(DefaultMarginMM + 13 + 6)
		row := px(top + 10)
		across := runs(func(x int) bool { return dark(x, row) }, 0, px(DefaultMarginMM+54))
		require.Len(t, across, 2, paper)
		require.InDelta(t, 50, mm(across[1]-across[0]), 0.1, paper)
		x := int(across[0]) + px(4)
		down := runs(func(y int) bool { return dark(x, y) }, px(top-2), px(top+54))
		require.Len(t, down, 2, paper)
		require.InDelta(t, 50, mm(down[1]-down[0]), 0.1, paper)
		row = px(top + 50 + 7 + 2) // across the ticks below the bar
		ticks := runs(func(x int) bool { return dark(x, row) }, 0, px(DefaultMarginMM+115))
		require.Len(t, ticks, 5, paper)
		for i := range 4 {
			require.InDelta(t, 25.4, mm(ticks[i+1]-ticks[i]), 0.1, paper)
		}
		require.InDelta(t, 4*25.4, mm(ticks[4]-ticks[0]), 0.1, paper)
	}
}

// A roll is one page, with the square on it, and no longer than the parts need.
func TestRollHasNoPageBesideTheParts(t *testing.T) {
	race.SkipAlone(t)
	pdf, sum := printed(t, parts(t), options(t, "914mm"))
	require.Equal(t, 1, sum.Pages)
	text := string(tool(t, pdf, "pdftotext", "-layout", "-", "-"))
	for _, word := range []string{"Print at 100 %", "50 mm", "4 inches", "t-shirt (option 1)", "cut here", "page 1 of 1"} {
		require.Contains(t, text, word)
	}
	// A roll that is longer than a PDF's longest page has the plan of its pages.
	_, sum = printed(t, []draw.Shape{box("a", 120, 4900), box("b", 120, 4900)}, options(t, "150mm"))
	require.Equal(t, 3, sum.Pages)
}

func TestPagesHaveThePapersSize(t *testing.T) {
	race.SkipAlone(t)
	for _, paper := range []string{"a4", "a3", "a0", "letter", "legal", "tabloid", "914mm"} {
		o := options(t, paper)
		pdf, sum := fewPrinted(t, paper)
		info := string(tool(t, pdf, "pdfinfo", "-f", "1", "-l", "999", "-"))
		require.Contains(t, info, "Title:           t-shirt (option 1)")
		sizes := 0
		for _, line := range strings.Split(info, "\n") {
			if !strings.HasPrefix(line, "Page ") || !strings.Contains(line, "size:") {
				continue
			}
			sizes++
			f := strings.Fields(line)
			w, h := number(t, f[3]), number(t, f[5])
			if o.Paper.roll() {
				require.InDelta(t, o.Paper.WidthMM, w/72*25.4, 0.2, line)
				continue
			}
			if sum.Landscape {
				w, h = h, w
			}
			require.InDelta(t, o.Paper.WidthMM, w/72*25.4, 0.2, line)
			require.InDelta(t, o.Paper.HeightMM, h/72*25.4, 0.2, line)
		}
		require.Equal(t, sum.Pages, sizes, paper)
	}
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return x
}

func TestEveryPageSaysWhereItGoes(t *testing.T) {
	race.SkipAlone(t)
	pdf, sum := printed(t, parts(t), options(t, "a4"))
	pages := strings.Split(strings.TrimSuffix(string(tool(t, pdf, "pdftotext", "-layout", "-", "-")), "\f"), "\f")
	require.Len(t, pages, sum.Pages)
	require.Contains(t, pages[0], "Print at 100 %")
	require.Contains(t, pages[0], "50 mm")
	require.Contains(t, pages[0], "4 inches")
	for _, p := range tshirt(t).Options[0].Parts {
		require.Contains(t, pages[0], p.Name)
	}
	for i, p := range pages[1:] {
		require.Regexp(t, `row \d+, column \d+`, p, "page %d", i+2)
		named := false
		for _, part := range tshirt(t).Options[0].Parts {
			named = named || strings.Contains(p, part.Name)
		}
		require.True(t, named, "page %d names no part", i+2)
	}
}

func TestPrintsAreTheSameEachTime(t *testing.T) {
	a, _ := fewPrinted(t, "a4")
	b, _ := printed(t, few(t), options(t, "a4"))
	require.True(t, bytes.Equal(a, b))
}

func box(name string, w, h float64) draw.Shape {
	ring := []orb.Point{{0, 0}, {w, 0}, {w, h}, {0, h}}
	return draw.Shape{Name: name, Region: ring, Lines: []draw.Line{
		{Stroke: draw.Cutting, Path: curve.Polyline(append(ring, ring[0])...), Closed: true},
	}}
}

func TestHowManyPages(t *testing.T) {
	race.SkipAlone(t)
	o := options(t, "a4") // shows 190 mm by 277 mm, lines and all, the next page 178 mm or 265 mm on
	corner := draw.Shape{Name: "corner", Region: []orb.Point{{0, 0}, {700, 0}, {700, 100}, {100, 100}, {100, 700}, {0, 700}}}
	corner.Lines = []draw.Line{{Stroke: draw.Cutting, Path: curve.Polyline(append(corner.Region, corner.Region[0])...), Closed: true}}
	for _, c := range []struct {
		name   string
		shapes []draw.Shape
		pages  int
		turned int
	}{
		{"one that fits", []draw.Shape{box("a", 189, 276)}, 1, 0},
		{"one that fits a page on its side", []draw.Shape{box("a", 276, 189)}, 1, 0},
		{"two that share a page", []draw.Shape{box("a", 189, 129), box("b", 189, 139)}, 1, 0},
		{"one across two pages", []draw.Shape{box("a", 367, 270)}, 2, 0},
		{"a little too wide for two", []draw.Shape{box("a", 368, 270)}, 3, 0},
		{"one that is turned to share a page", []draw.Shape{box("a", 189, 179), box("b", 84, 184)}, 1, 1},
		{"an L leaves the pages out that it does not touch", []draw.Shape{corner}, 6, 0},
	} {
		_, sum := printed(t, c.shapes, o)
		require.LessOrEqual(t, sum.Pages-1, c.pages, c.name)
		require.Len(t, sum.Turned, c.turned, c.name)
	}
}

// Shapes nest by their outlines: a square goes into the corner of an L.
func TestShapesNest(t *testing.T) {
	corner := box("corner", 180, 260)
	corner.Region = []orb.Point{{0, 0}, {180, 0}, {180, 60}, {60, 60}, {60, 260}, {0, 260}}
	square := box("square", 110, 190)
	_, sum := printed(t, []draw.Shape{corner, square}, options(t, "a4"))
	require.Equal(t, 2, sum.Pages, "the plan and one page")
	require.Empty(t, sum.Turned)
}

// Outlines of any form keep the gap.
func TestOutlinesKeepTheGap(t *testing.T) {
	race.SkipAlone(t)
	o := options(t, "a4")
	rapid.Check(t, func(t *rapid.T) {
		var shapes []draw.Shape
		for range rapid.IntRange(2, 5).Draw(t, "shapes") {
			var ring orb.Ring
			n := rapid.IntRange(3, 9).Draw(t, "corners")
			for k := range n { // a star round a point
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
				r := rapid.Float64Range(10, 250).Draw(t, "r")
				ring = append(ring, orb.Point{r * cos, r * sin})
			}
			shapes = append(shapes, draw.Shape{Name: "star", Region: ring})
		}
		s := arrange(context.Background(), shapes, o, 12)
		for i, p := range s.places {
			for _, q := range s.places[:i] {
				a, b := area(t, p.rings[0]), area(t, q.rings[0])
				if mm, ok := geom.Distance(a, b); !ok || mm < gapMM-1e-3 {
					t.Fatalf("%v and %v are %.3f mm apart", p.rings[0], q.rings[0], mm)
				}
			}
		}
	})
}

// area is a ring for simplefeatures, whose distance is the reference.
func area(t require.TestingT, ring []orb.Point) geom.Geometry {
	var xy []float64
	for _, q := range append(append([]orb.Point{}, ring...), ring[0]) {
		xy = append(xy, q[0], q[1])
	}
	p := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(xy, geom.DimXY))})
	require.NoError(t, p.Validate())
	return p.AsGeometry()
}

// Whatever the shapes, the pages show all of each, and no shape lies on
// another.
func TestPagesShowEverything(t *testing.T) {
	race.SkipAlone(t)
	rapid.Check(t, func(t *rapid.T) {
		o := Options{
			Paper:     papers[rapid.SampledFrom(PaperNames()).Draw(t, "paper")],
			MarginMM:  float64(rapid.IntRange(0, 15).Draw(t, "margin")),
			OverlapMM: float64(rapid.IntRange(0, 20).Draw(t, "overlap")),
		}
		var shapes []draw.Shape
		for range rapid.IntRange(1, 6).Draw(t, "shapes") {
			shapes = append(shapes, box("x", rapid.Float64Range(5, 900).Draw(t, "w"), rapid.Float64Range(5, 900).Draw(t, "h")))
		}
		s := arrange(context.Background(), shapes, o, 12)
		for i, p := range s.places {
			for _, q := range p.rings[0] {
				for _, r := range p.rings[0] {
					for _, f := range []float64{0, 0.3, 0.7} {
						at := orb.Point{q[0] + f*(r[0]-q[0]), q[1] + f*(r[1]-q[1])}
						if !shown(s, at) {
							t.Fatalf("shape %d at %v is on no page of %v", i, at, s.pages)
						}
					}
				}
			}
			for _, other := range s.places[:i] {
				if p.box.Pad(-1e-6).Intersects(other.box) {
					t.Fatalf("%v lies on %v", p.box, other.box)
				}
			}
		}
		for _, c := range s.pages {
			found := false
			for _, p := range s.places {
				found = found || p.on(s.show(c))
			}
			if !found {
				t.Fatalf("page %v is blank", c)
			}
		}
	})
}

// The name of each part and scrap can be read whole on a page, turned or not.
func TestNamesAreNotCutByPages(t *testing.T) {
	race.SkipAlone(t)
	face, err := newTypeface()
	require.NoError(t, err)
	for _, c := range []struct {
		paper             string
		marginMM, overlap float64
	}{{"a4", 10, 12}, {"letter", 0, 0}, {"a3", 5, 40}, {"914mm", 10, 12}} {
		o := options(t, c.paper)
		o.MarginMM, o.OverlapMM = c.marginMM, c.overlap
		layout, err := draw.Of(tshirt(t)).LayoutShapes(0)
		require.NoError(t, err)
		for _, shapes := range [][]draw.Shape{parts(t), layout} {
			s := arrange(context.Background(), shapes, o, usual/8)
			b, err := newBook(context.Background(), face, "x", shapes, s, o)
			require.NoError(t, err)
			for i, shape := range b.shapes {
				for _, in := range append([]draw.Shape{shape}, shape.Inner...) {
					on := map[cell]bool{}
					for _, l := range in.Labels {
						// The box of the text, turned with the shape.
						half := orb.Point{draw.Width(l.Text, l.SizeMM) / 2, l.SizeMM / 2}
						if l.TurnDeg != 0 {
							half[0], half[1] = half[1], half[0]
						}
						a, z := orb.Point{l.At[0] - half[0], l.At[1] - half[1]}, orb.Point{l.At[0] + half[0], l.At[1] + half[1]}
						box := orb.MultiPoint{s.places[i].m.Apply(a), s.places[i].m.Apply(z)}.Bound()
						for _, page := range s.pages {
							if show := s.show(page); l.Line == 1 && show.Contains(box.Min) && show.Contains(box.Max) {
								on[page] = true
							}
						}
					}
					require.NotEmpty(t, on, "%s on %s", in.Name, c.paper)
				}
			}
		}
	}
}

func shown(s spread, q orb.Point) bool {
	for _, c := range s.pages {
		if s.show(c).Pad(0.1).Contains(q) {
			return true
		}
	}
	return false
}

func TestNamesInAnyScript(t *testing.T) {
	race.SkipAlone(t)
	d := tshirt(t)
	names := []string{`back (old) \ "x"`, "přední díl", "спинка", "前身頃", "rücken\x00\x1b[2J\u202e"}
	for i, n := range names {
		d.Options[0].Parts[i].Name = n
	}
	shapes, err := draw.Of(d).Shapes(0)
	require.NoError(t, err)
	pdf, sum := printed(t, shapes, options(t, "a0"))
	require.Equal(t, map[string]string{"no. 4": "前身頃"}, sum.Numbered)
	text := string(tool(t, pdf, "pdftotext", "-layout", "-", "-"))
	require.Contains(t, text, `back (old) \ "x"`)
	require.Contains(t, text, "přední díl")
	require.Contains(t, text, "спинка")
	require.Contains(t, text, "no. 4", "a name in letters that the typeface lacks is numbered")
	require.Contains(t, text, "stands for a name in letters that these pages cannot write")
	require.Contains(t, text, "rücken")
	require.NotContains(t, text, "\x1b")

	pdf, sum = printed(t, shapes, options(t, "914mm"))
	require.Equal(t, map[string]string{"no. 4": "前身頃"}, sum.Numbered)
	require.Contains(t, string(tool(t, pdf, "pdftotext", "-layout", "-", "-")), "stands for a name in letters that these pages cannot write")
}

func TestLayoutAtTrueSize(t *testing.T) {
	race.SkipAlone(t)
	shapes, err := draw.Of(tshirt(t)).LayoutShapes(0)
	require.NoError(t, err)
	require.Len(t, shapes, 6)
	pdf, sum := printed(t, shapes, options(t, "914mm"))
	require.Equal(t, 1, sum.Pages)
	require.Contains(t, string(tool(t, pdf, "pdftotext", "-", "-")), "dress front")
}

func TestWhatCannotBePrinted(t *testing.T) {
	d := tshirt(t)
	_, err := draw.Of(d).Named(0, "yoke")
	require.ErrorContains(t, err, `no part "yoke"`)
	_, err = draw.Of(d).Once(7)
	require.ErrorContains(t, err, "there is no option 8")
	one, err := draw.Of(d).Named(0, "back")
	require.NoError(t, err)
	require.Len(t, one, 1)
	for _, o := range []Options{
		{MarginMM: -1}, {MarginMM: 60}, {OverlapMM: -2}, {OverlapMM: 100},
	} {
		_, err := Write(context.Background(), new(bytes.Buffer), "x", one, o)
		require.Error(t, err)
	}
	_, err = Write(context.Background(), new(bytes.Buffer), "x", nil, Options{})
	require.ErrorContains(t, err, "nothing to print")
	_, err = Write(context.Background(), new(bytes.Buffer), "x", one, Options{})
	require.NoError(t, err, "the zero value is A4")
}

func TestStoppedPrintsNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var b bytes.Buffer
	_, err := Write(ctx, &b, "x", parts(t), options(t, "a4"))
	require.ErrorIs(t, err, context.Canceled)
	require.Zero(t, b.Len())
}

func BenchmarkWriteA4(b *testing.B) {
	shapes := parts(b)
	for b.Loop() {
		printed(b, shapes, options(b, "a4"))
	}
}

// A name on the plan of the pages goes up or down to where no page's number is.
func TestNamesOnThePlanLeavePageNumbersClear(t *testing.T) {
	t.Parallel()
	number := func(y float64) orb.Bound { return orb.Bound{Min: orb.Point{40, y}, Max: orb.Point{46, y + 4}} }
	mid := orb.Point{50, 50}
	for _, c := range []struct {
		name  string
		boxes []orb.Bound
		width float64
		most  float64
		want  float64
	}{
		{"nothing there", nil, 20, 30, 50},
		{"beside it", []orb.Bound{number(48)}, 6, 30, 50},
		{"on the name", []orb.Bound{number(46)}, 20, 30, 53},
		{"on the name, lower", []orb.Bound{number(50)}, 20, 30, 47},
		{"no room", []orb.Bound{{Min: orb.Point{0, 0}, Max: orb.Point{100, 100}}}, 20, 30, 50},
		{"too far", []orb.Bound{number(44), number(48), number(52)}, 20, 3, 50},
	} {
		got := clearOf(c.boxes, mid, c.width, 2, c.most)
		require.InDelta(t, c.want, got, 1.0, c.name)
		for _, b := range c.boxes {
			if got != mid[1] {
				require.False(t, b.Intersects(orb.Bound{Min: orb.Point{mid[0] - c.width/2, got - 1}, Max: orb.Point{mid[0] + c.width/2, got + 1}}), c.name)
			}
		}
	}
}
