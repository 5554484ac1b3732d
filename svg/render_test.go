package svg

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// painted opens a drawing and gives the box of every shape, in px, under its
// element's id, and its uses' ids where it is reached through them: `use/id`.
func painted(t *testing.T, text string) map[string]orb.Bound {
	t.Helper()
	root, err := parse(strings.NewReader(text), "test.svg")
	require.NoError(t, err)
	d, top, err := open(root, "test.svg")
	require.NoError(t, err)
	out := map[string]orb.Bound{}
	var look func(n *node, prefix string)
	look = func(n *node, prefix string) {
		id := prefix + n.el.get("id")
		if !n.group() {
			subs, err := d.lines(n)
			require.NoError(t, err)
			for _, s := range subs {
				b := orb.LineString(s.line.Flatten(0.0005)).Bound()
				for i := range 2 {
					b.Min[i] /= mmPerPx
					b.Max[i] /= mmPerPx
				}
				if old, ok := out[id]; ok {
					b = b.Union(old)
				}
				out[id] = b
			}
		}
		if n.el.name == "use" {
			prefix = id + "/"
		}
		for _, c := range n.children {
			look(c, prefix)
		}
	}
	look(top, "")
	return out
}

// Where Inkscape 1.2.2 puts the same elements: x, y, width, height in px, by
// `inkscape --query-all`. Values marked * are worked out by hand, since that
// version does not query them.
func TestPlacesAgainstInkscape(t *testing.T) {
	got := painted(t, `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="960px" height="960px" viewBox="0 0 960 960">
<defs>
 <rect id="box" width="20" height="10"/>
 <symbol id="sym" viewBox="0 0 10 10"><rect id="in" width="10" height="5"/></symbol>
 <symbol id="slice" viewBox="0 0 10 10" preserveAspectRatio="xMaxYMin slice"><rect id="in2" width="10" height="5"/></symbol>
 <g id="pair"><use id="l" href="#box"/><use id="r" href="#box" x="30"/></g>
 <svg id="sheet" width="40" height="40" viewBox="0 0 10 10"><rect id="in3" width="10" height="10"/></svg>
</defs>
<g transform="translate(100 50) rotate(30) scale(2)"><g transform="matrix(1 .5 -.5 1 3 4)"><rect id="nested" x="5" y="6" width="20" height="10"/></g></g>
<rect id="about" x="100" y="100" width="20" height="10" transform="rotate(45 110 105)"/>
<rect id="skewx" x="100" y="100" width="20" height="10" transform="skewX(30)"/>
<rect id="skewy" x="100" y="100" width="20" height="10" transform="skewY(-20)"/>
<rect id="units" x="1cm" y="2mm" width="1in" height="12pt"/>
<rect id="pc" x="1pc" y="3pc" width="10pc" height="5pt"/>
<rect id="percent" x="10%" y="20%" width="5%" height="1%"/>
<circle id="percentr" cx="50%" cy="50%" r="10%"/>
<use id="used" href="#box" x="200" y="100" transform="rotate(90)"/>
<use id="used2" xlink:href="#pair" x="200" y="100" transform="translate(5,5)"/>
<use id="usedsym" xlink:href="#sym" x="300" y="200" width="80" height="40"/>
<use id="usedslice" xlink:href="#slice" x="300" y="300" width="80" height="40"/>
<use id="usedsvg" href="#sheet" x="7" width="20" height="20"/>
<use id="usedsvg2" href="#sheet" x="7"/>
<svg id="inner" x="400" y="10" width="100" height="200" viewBox="0 0 50 50"><rect id="innerbox" width="50" height="25"/></svg>
<svg x="400" y="300" width="100" height="200" viewBox="0 0 50 50" preserveAspectRatio="none"><rect id="innernone" width="50" height="25"/></svg>
<svg x="400" y="600" width="100" height="200" viewBox="10 20 50 50" preserveAspectRatio="xMinYMax meet"><rect id="innerminmax" x="10" y="20" width="50" height="25"/></svg>
<ellipse id="ell" cx="600" cy="600" rx="50" ry="20" transform="rotate(30 600 600)"/>
<polygon id="poly" points="700,700 750 720, 710,760"/>
<rect id="rounded" x="700" y="100" width="80" height="40" rx="100" ry="10"/>
<path id="arc" d="M 800 800 a100,50 -30 1 1 30 40 z"/>
</svg>`)
	want := map[string][4]float64{
		"nested":        {77.5, 76.6506, 43.3013, 49.641},
		"about":         {99.3934, 94.3934, 21.2132, 21.2132},
		"skewx":         {157.735, 100, 25.7735, 10},
		"skewy":         {100, 56.3236, 20, 17.2794},
		"units":         {37.7953, 7.55906, 96, 16},
		"pc":            {16, 48, 160, 6.66667},
		"percent":       {96, 192, 48, 9.6},
		"percentr":      {384, 384, 192, 192},
		"used/box":      {-110, 200, 10, 20}, // *
		"used2/l/box":   {205, 105, 20, 10},  // *
		"used2/r/box":   {235, 105, 20, 10},  // *
		"usedsym/in":    {320, 200, 40, 20},
		"usedslice/in2": {300, 300, 80, 40},
		"usedsvg/in3":   {7, 0, 20, 20}, // *
		"usedsvg2/in3":  {7, 0, 40, 40}, // *
		"innerbox":      {400, 60, 100, 50},
		"innernone":     {400, 300, 100, 100},
		"innerminmax":   {400, 700, 100, 50},
		"ell":           {555.559, 569.586, 88.8819, 60.8276},
		"poly":          {700, 700, 50, 60},
		"rounded":       {700, 100, 80, 40},
		"arc":           {800, 708.297, 178.833, 132.288},
	}
	assert.Len(t, got, len(want))
	for id, w := range want {
		b := got[id]
		for i, x := range []float64{b.Min[0], b.Min[1], b.Max[0] - b.Min[0], b.Max[1] - b.Min[1]} {
			assert.InDelta(t, w[i], x, 0.002, "%s, value %d", id, i)
		}
	}
}

// boxOf is the box in px of a rectangle 10 by 20 at 1, 2 that is styled.
func boxOf(t *testing.T, attributes, style string) (orb.Bound, bool) {
	t.Helper()
	got := painted(t, `<svg xmlns="http://www.w3.org/2000/svg" width="100" height="200"><style>`+style+`</style><g id="g"><rect id="r" x="1" y="2" width="10" height="20" `+attributes+`/></g></svg>`)
	b, ok := got["r"]
	return b, ok
}

// Transforms as CSS writes them (CSS Transforms Module Level 1, sections 4
// and 9), worked out by hand.
func TestStyleTransforms(t *testing.T) {
	tests := []struct {
		name, attributes, style string
		want                    [4]float64
	}{
		{"none", ``, ``, [4]float64{1, 2, 11, 22}},
		{"attribute", `transform="translate(3)"`, ``, [4]float64{4, 2, 14, 22}},
		{"style before attribute", `transform="translate(3)" style="transform: translate(5px, 6px)"`, ``, [4]float64{6, 8, 16, 28}},
		{"style sheet before attribute", `transform="translate(3)"`, `rect{transform:translateY(1in)}`, [4]float64{1, 98, 11, 118}},
		{"style before style sheet", `style="transform:none"`, `rect{transform:translateY(1in)}`, [4]float64{1, 2, 11, 22}},
		{"id before class before type", `class="c"`, `#r{transform:translate(1px,0)} .c{transform:translate(2px,0)} rect{transform:translate(3px,0)}`, [4]float64{2, 2, 12, 22}},
		{"the later of two", `class="c d"`, `.d{transform:translate(1px,0)} .c,.x{transform:translate(2px,0)}`, [4]float64{3, 2, 13, 22}},
		{"percent of the viewport", ``, `rect{transform:translate(50%, 50%)}`, [4]float64{51, 102, 61, 122}},
		{"turns", `style="transform:rotate(0.25turn)"`, ``, [4]float64{-22, 1, -2, 11}},
		{"radians", `style="transform:rotate(1.5707963267948966rad)"`, ``, [4]float64{-22, 1, -2, 11}},
		{"grads", `style="transform:rotate(100grad)"`, ``, [4]float64{-22, 1, -2, 11}},
		{"scales", `style="transform:scaleX(2) scaleY(3)"`, ``, [4]float64{2, 6, 22, 66}},
		{"skew", `style="transform:skew(45deg)"`, ``, [4]float64{3, 2, 33, 22}},
		{"origin", `style="transform:scale(2);transform-origin:1px 2px"`, ``, [4]float64{1, 2, 21, 42}},
		{"origin by words", `style="transform:scale(2);transform-origin:center top"`, ``, [4]float64{-48, 4, -28, 44}},
		{"origin turned round", `style="transform:scale(2);transform-origin:bottom left"`, ``, [4]float64{2, -196, 22, -156}},
		{"origin with an attribute", `transform="scale(2)" transform-origin="50%"`, ``, [4]float64{-48, -96, -28, -56}},
		{"list with commas", `transform="translate(1,1),scale(2)"`, ``, [4]float64{3, 5, 23, 45}},
		{"no space between", `transform="translate(1-1)scale(2)"`, ``, [4]float64{3, 3, 23, 43}},
		{"geometry in a style", `style="x:5px;width:1in"`, `#r{y:4px}`, [4]float64{5, 4, 101, 24}},
		{"important", `style="x:5px !important"`, ``, [4]float64{5, 2, 15, 22}},
		{"a comment in a style sheet", ``, `/* rect{x:3px} */ rect{x:/**/4px}`, [4]float64{4, 2, 14, 22}},
		{"print rules are passed over", ``, `@media print{rect{x:90px}} rect{x:4px}`, [4]float64{4, 2, 14, 22}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b, ok := boxOf(t, tt.attributes, tt.style)
			require.True(t, ok)
			for i, x := range []float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]} {
				assert.InDelta(t, tt.want[i], x, 1e-9, "value %d of %v", i, b)
			}
		})
	}
}

func TestHidden(t *testing.T) {
	tests := []struct {
		attributes, style string
		shown             bool
	}{
		{`display="none"`, ``, false},
		{`style="display:none"`, ``, false},
		{`style="display : none ; fill:#000"`, ``, false},
		{`class="st0"`, `.st0{display:none;}`, false},
		{``, `g{display:none}`, false},
		{`display="inline"`, `g{display:none}`, false},
		{`visibility="hidden"`, ``, false},
		{``, `g{visibility:hidden}`, false},
		{`visibility="visible"`, `g{visibility:hidden}`, true},
		{`display="none" style="display:inline"`, ``, true},
		{`style="fill:url('data:x;display:none')"`, ``, true},
	}
	for _, tt := range tests {
		t.Run(tt.attributes+tt.style, func(t *testing.T) {
			_, shown := boxOf(t, tt.attributes, tt.style)
			assert.Equal(t, tt.shown, shown)
		})
	}
}

// What is only defined, or drawn by something else, is not painted.
func TestNotPainted(t *testing.T) {
	const r = `<rect id="r" width="5" height="5"/>`
	for _, name := range []string{"defs", "symbol", "clipPath", "mask", "marker", "pattern", "metadata", "foreignObject", "text", "unknown"} {
		assert.Empty(t, painted(t, fmt.Sprintf(`<svg width="1" height="1"><%s>%s</%s></svg>`, name, r, name)), name)
	}
	assert.Empty(t, painted(t, `<svg width="1" height="1" xmlns="http://www.w3.org/2000/svg" xmlns:x="http://example.com"><x:g>`+r+`</x:g></svg>`), "another language's element")
	assert.Len(t, painted(t, `<svg:svg width="1" height="1" xmlns:svg="http://www.w3.org/2000/svg"><svg:rect id="r" width="1" height="1"/></svg:svg>`), 1, "a prefix")
	assert.Len(t, painted(t, `<svg width="1" height="1"><switch><foreignObject requiredExtensions="x">`+r+`</foreignObject><g>`+r+`</g><g><rect id="q" width="5" height="5"/></g></switch></svg>`), 1, "a switch paints its first choice")
	assert.Empty(t, painted(t, `<svg width="1" height="1"><rect id="a"/><rect id="b" width="-1" height="2"/><circle id="c"/><ellipse id="d" rx="1" ry="0"/></svg>`), "shapes of no size")
}

// SVG 2, 8.2: the three meets and three slices of a square view box in a wide
// and a tall viewport, and none, worked out by hand.
func TestPreserveAspectRatio(t *testing.T) {
	box := orb.Bound{Min: orb.Point{10, 20}, Max: orb.Point{20, 30}}
	tests := []struct {
		preserve string
		w, h     float64
		want     [4]float64 // where the view box goes
	}{
		{"", 40, 20, [4]float64{10, 0, 30, 20}},
		{"xMidYMid", 40, 20, [4]float64{10, 0, 30, 20}},
		{"xMinYMid meet", 40, 20, [4]float64{0, 0, 20, 20}},
		{"xMaxYMin meet", 40, 20, [4]float64{20, 0, 40, 20}},
		{"xMidYMin", 20, 40, [4]float64{0, 0, 20, 20}},
		{"xMidYMid", 20, 40, [4]float64{0, 10, 20, 30}},
		{"xMidYMax", 20, 40, [4]float64{0, 20, 20, 40}},
		{"xMidYMin slice", 40, 20, [4]float64{0, 0, 40, 40}},
		{"xMidYMid slice", 40, 20, [4]float64{0, -10, 40, 30}},
		{"xMidYMax slice", 40, 20, [4]float64{0, -20, 40, 20}},
		{"xMinYMid slice", 20, 40, [4]float64{0, 0, 40, 40}},
		{"xMaxYMid slice", 20, 40, [4]float64{-20, 0, 20, 40}},
		{"none", 40, 20, [4]float64{0, 0, 40, 20}},
		{"none slice", 40, 20, [4]float64{0, 0, 40, 20}},
		{"defer xMinYMin", 40, 20, [4]float64{0, 0, 20, 20}},
		{"sideways", 40, 20, [4]float64{10, 0, 30, 20}},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprint(tt.preserve, tt.w, tt.h), func(t *testing.T) {
			m := fitViewBox(box, tt.preserve, tt.w, tt.h)
			a, b := m.Apply(box.Min), m.Apply(box.Max)
			for i, x := range []float64{a[0], a[1], b[0], b[1]} {
				assert.InDelta(t, tt.want[i], x, 1e-12)
			}
		})
	}
}

// The true length of a line of 100 user units on pages of many kinds. An inch
// is 25.4 mm exactly, and a px is 1/96 of it (CSS Values and Units Module
// Level 3, 5.2).
func TestPageUnits(t *testing.T) {
	tests := []struct {
		page string
		mm   float64
	}{
		{`width="210mm" height="297mm" viewBox="0 0 210 297"`, 100},
		{`width="21cm" height="29.7cm" viewBox="0 0 210 297"`, 100},
		{`width="10in" height="10in" viewBox="0 0 10 10"`, 2540},
		{`width="10in" height="10in" viewBox="0 0 1000 1000"`, 25.4},
		{`width="720pt" height="720pt" viewBox="0 0 720 720"`, 2540. / 72},
		{`width="60pc" height="60pc" viewBox="0 0 720 720"`, 2540. / 72},
		{`width="40Q" height="40Q" viewBox="0 0 10 10"`, 100},
		{`width="210mm" height="297mm"`, 2540. / 96},
		{`width="960" height="960"`, 2540. / 96},
		{`width="960px" height="960px" viewBox="0 0 960 960"`, 2540. / 96},
		{`width="96" height="96" viewBox="0 0 25.4 25.4"`, 100},
		{`width="100mm" viewBox="0 0 100 50"`, 100},
		{`height="50mm" viewBox="0 0 100 50"`, 100},
		{`width="100%" height="50mm" viewBox="0 0 100 50"`, 100},
		{`height="50mm"`, 2540. / 96},
		{`width="1e2mm" height="+50.0mm" viewBox="0,0,100,50"`, 100},
		{`width="200mm" height="100mm" viewBox="0 0 100 100"`, 100},
		{`width="200mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="none"`, 200},
		{`width="200mm" height="100mm" viewBox="0 0 100 100" preserveAspectRatio="xMidYMid slice"`, 200},
		{`width="210mm" height="297mm" viewBox="0 0 210 297" inkscape:version="0.91 r1" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"`, 100},
		{`width="960" height="960" inkscape:version="0.92.3" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"`, 2540. / 96},
	}
	for _, tt := range tests {
		t.Run(tt.page, func(t *testing.T) {
			got := painted(t, `<svg `+tt.page+`><line id="l" x1="7" x2="107"/></svg>`)["l"]
			assert.InDelta(t, tt.mm, (got.Max[0]-got.Min[0])*mmPerPx, 1e-9*tt.mm)
		})
	}
}

func TestUnknownUnits(t *testing.T) {
	tests := []struct{ page, problem string }{
		{``, "the page has no width or height"},
		{`viewBox="0 0 100 100"`, "the page has no width or height"},
		{`width="100%" height="100%" viewBox="0 0 100 100"`, "the page has no width or height"},
		{`width="auto"`, "the page has no width or height"},
		{`width="10em" height="10em"`, `the page's width: the unit of "10em" is not known`},
		{`width="100" height="50vh"`, `the page's height: the unit of "50vh" is not known`},
		{`width="wide" height="5"`, `the page's width: "wide" is not a length`},
		{`width="0" height="5"`, "the page's width is 0"},
		{`width="-5mm" height="5"`, "the page's width is -5mm"},
		{`width="1e999mm" height="5"`, `is too large`},
		{`width="5mm" height="5mm" viewBox="0 0 0 5"`, "has no size"},
		{`width="5mm" height="5mm" viewBox="0 0 5"`, "is not four numbers"},
		{`width="5mm" height="5mm" viewBox="a b c d"`, "is not four numbers"},
		{`width="5mm" height="5mm" transform="scale(2)"`, "the whole page is transformed"},
		{`width="960" height="960" inkscape:version="0.91 r1" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"`, "counted 90 px an inch"},
		{`width="210mm" height="297mm" inkscape:version="0.48.4" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"`, "counted 90 px an inch"},
	}
	for _, tt := range tests {
		t.Run(tt.page, func(t *testing.T) {
			_, err := Pattern(strings.NewReader(`<svg `+tt.page+`><rect width="50" height="50"/></svg>`), "page.svg")
			assert.ErrorContains(t, err, tt.problem)
			assert.ErrorContains(t, err, "page.svg: ")
			assert.Contains(t, err.Error(), "; ", "the cure")
		})
	}
}

func TestBrokenTransforms(t *testing.T) {
	tests := []struct{ transform, problem string }{
		{"translate", "is broken"},
		{"translate(1", "is broken"},
		{"translate()", "it has 0 numbers"},
		{"scale()", "it has 0 numbers"},
		{"rotate(1 2)", "it has 2 numbers"},
		{"scale(1 2 3)", "it has 3 numbers"},
		{"matrix(1 2 3)", "it has 3 numbers"},
		{"matrix(1 2 3 4 5 6px)", `"6px" is not a number`},
		{"rotate3d(1,1,1,45deg)", "is not a flat transform"},
		{"perspective(5)", "is not a flat transform"},
		{"rotate(1banana)", "the unit of"},
		{"translate(1em)", "the unit of"},
		{"translate(x)", "is not a length"},
		{"matrix(1e308 0 0 1e308 0 0) scale(1e308)", "too large"},
		{strings.Repeat("scale(1)", 500), "longer than 1000 characters"},
	}
	for _, tt := range tests {
		_, err := transforms(tt.transform, orb.Point{100, 100})
		assert.ErrorContains(t, err, tt.problem, tt.transform)
	}
	m, err := transforms("none", orb.Point{})
	require.NoError(t, err)
	assert.Equal(t, 1.0, m[0])
	_, err = origin("left 5furlongs", orb.Point{})
	assert.ErrorContains(t, err, "transform-origin")
}

func TestUseProblems(t *testing.T) {
	deep := `<rect id="u0" width="5" height="5"/>`
	wide := `<rect id="w0" width="5" height="5"/>`
	for i := 1; i <= 30; i++ {
		deep += fmt.Sprintf(`<use id="u%d" href="#u%d"/>`, i, i-1)
		wide += fmt.Sprintf(`<g id="w%d"><use href="#w%d"/><use href="#w%d"/></g>`, i, i-1, i-1)
	}
	tests := []struct{ name, body, problem string }{
		{"nowhere", `<use id="u" href="#gone"/>`, `use "u": it uses "gone", which is not in the drawing`},
		{"another file", `<use id="u" href="other.svg#a"/>`, "from another file"},
		{"itself", `<use id="u" href="#u"/>`, "it uses itself"},
		{"its own group", `<g id="g"><use id="u" href="#g"/></g>`, "it uses itself"},
		{"each other", `<use id="a" href="#b"/><use id="b" href="#a"/>`, "it uses itself"},
		{"too deep", `<defs>` + deep + `</defs><use href="#u30"/>`, "uses follow one another more than 20 deep"},
		{"too many", `<defs>` + wide + `</defs><use href="#w18"/>`, "more than 50000 elements once every use is followed"},
		{"a length without sense", `<rect id="r" width="1" height="1"/><use id="u" href="#r" x="here"/>`, `use "u": x: "here" is not a length`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Pattern(strings.NewReader(`<svg width="1" height="1">`+tt.body+`</svg>`), "use.svg")
			assert.ErrorContains(t, err, tt.problem)
		})
	}
	assert.Empty(t, painted(t, `<svg width="1" height="1"><use id="u"/></svg>`), "a use of nothing")
}

// A number is read as SVG 1.1, 4.2 has it.
func TestNumber(t *testing.T) {
	tests := []struct {
		in   string
		want float64
		n    int
	}{
		{"1", 1, 1}, {"-1.5e2x", -150, 6}, {".5.5", .5, 2}, {"1.", 1, 2}, {"1em", 1, 1}, {"1e+", 1, 1}, {"1E-2", .01, 4},
		{"+.25", .25, 4}, {"", 0, 0}, {"-", 0, 0}, {".", 0, 0}, {"e5", 0, 0}, {"--1", 0, 0}, {"0x10", 0, 1}, {"1e400", math.Inf(1), 5},
	}
	for _, tt := range tests {
		got, n := number(tt.in)
		assert.Equal(t, tt.n, n, tt.in)
		assert.Equal(t, tt.want, got, tt.in)
	}
}
