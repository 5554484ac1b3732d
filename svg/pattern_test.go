package svg

import (
	"fmt"
	"strings"
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// page is a drawing in mm.
func sheet(body string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">` + body + `</svg>`
}

const (
	square = `<path class="seam" d="M0 0H100V200H0Z"/>`
	grain  = `<path class="grain" d="M50 20V180"/>`
)

func readPattern(t *testing.T, body string) []*piece.Piece {
	t.Helper()
	got, err := Pattern(strings.NewReader(sheet(body)), "p.svg")
	require.NoError(t, err)
	return got
}

// only is the one piece of a pattern.
func only(t *testing.T, body string) *piece.Piece {
	t.Helper()
	got := readPattern(t, body)
	require.Len(t, got, 1)
	return got[0]
}

func names(pieces []*piece.Piece) string {
	var out []string
	for _, p := range pieces {
		out = append(out, p.Name)
	}
	return strings.Join(out, "|")
}

// g is a group with a piece in it.
func g(attributes, more string) string {
	return fmt.Sprintf(`<g %s>%s%s%s</g>`, attributes, square, grain, more)
}

func TestPieceNames(t *testing.T) {
	tests := []struct{ name, body, want string }{
		{"id", g(`id="front"`, ``), "front"},
		{"label", g(`id="g1234" inkscape:label="front"`, ``), "front"},
		{"id before label", g(`id="front" inkscape:label="the front"`, ``), "front"},
		{"title", g(`id="g7-3"`, `<title> front  top </title>`), "front top"},
		{"layer", g(`inkscape:groupmode="layer" id="layer1" inkscape:label="Front"`, ``), "Front"},
		{"an unnamed layer's number", g(`inkscape:groupmode="layer" id="layer3" inkscape:label="Layer 3"`, ``), "Layer 3"},
		{"a made-up id when there is no other", g(`id="g12"`, ``), "g12"},
		{"nothing at all", g(``, ``), "piece 1"},
		{"an id that escapes a space", g(`id="front_x20_top"`, ``), "front top"},
		{"control characters go", g("id=\"fro&#9;nt\u200b\"", ``), "fro nt"},
		{"through unnamed groups", `<g id="front"><g id="g1"><g>` + square + `</g>` + grain + `</g></g>`, "front"},
		{"a layer of named pieces", `<g inkscape:groupmode="layer" id="layer1" inkscape:label="pattern">` + g(`id="front"`, ``) + g(`id="back"`, ``) + `</g>`, "front|back"},
		{"a layer of one named piece", `<g inkscape:label="pattern">` + g(`id="front"`, ``) + `</g>`, "front"},
		{"a named layer of unnamed pieces", `<g inkscape:label="pattern">` + g(`id="g1"`, ``) + g(`id="g2"`, ``) + `</g>`, "g1|g2"},
		{"a named layer of one unnamed piece", `<g inkscape:label="front">` + g(`id="g1"`, ``) + `</g>`, "front"},
		{"no group", square + grain, "piece 1"},
		{"no group, a word and a name", `<path id="seam-front" d="M0 0H100V200H0Z"/>` + grain, "front"},
		{"painted order", g(`id="b"`, ``) + `<g>` + g(`id="a"`, ``) + `</g>` + g(`id="c"`, ``), "b|a|c"},
		{"a used piece", `<defs>` + g(`id="half"`, ``) + `</defs><use id="front" href="#half"/><use id="back" href="#half" x="200"/>`, "front|back"},
		{"a used piece with the use's id made up", `<defs>` + g(`id="half"`, ``) + `</defs><use id="use7" href="#half"/>`, "half"},
		{"a group whose name begins with a mark's word", g(`id="cut-off-shorts"`, ``), "cut-off-shorts"},
		{"marks in a layer of their own inside the piece", `<g id="front">` + square + `<g inkscape:label="details">` + grain + `</g></g>`, "front"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, names(readPattern(t, tt.body)))
		})
	}
}

func TestBarePieces(t *testing.T) {
	tests := []struct{ name, body, want string }{
		{"a path", `<path id="pocket" d="M0 0H100V50Z"/>`, "pocket"},
		{"closed by its ends", `<path id="pocket" d="M0 0H100V50L0 0"/>`, "pocket"},
		{"in a named group alone", `<g id="pocket"><path id="path1" d="M0 0H100V50Z"/></g>`, "pocket"},
		{"in a named layer", `<g inkscape:groupmode="layer" inkscape:label="sheet"><rect id="pocket" width="9" height="9"/></g>`, "pocket"},
		{"in a named layer, unnamed", `<g inkscape:groupmode="layer" inkscape:label="pocket"><rect id="rect12" width="9" height="9"/></g>`, "pocket"},
		{"several", `<rect id="a" width="9" height="9"/><circle id="b" r="9"/><ellipse id="c" rx="9" ry="5"/><polygon id="d" points="0,0 9,0 9,9"/><polyline id="e" points="0,0 9,0 9,9 0,0"/>`, "a|b|c|d|e"},
		{"lines are drawing only", `<rect id="a" width="9" height="9"/><line id="l" x2="50"/><path d="M0 0L50 50L0 90"/>`, "a"},
		{"beside a marked piece", `<rect id="a" width="9" height="9"/>` + g(`id="b"`, ``), "a|b"},
		{"none inside a marked piece", g(`id="b"`, `<rect id="a" width="9" height="9"/><g id="more"><circle r="5"/></g>`), "b"},
		{"no name", `<rect width="9" height="9"/><rect width="9" height="9"/>`, "piece 1|piece 2"},
		{"used", `<defs><rect id="r" width="9" height="9"/></defs><use id="tab" href="#r"/>`, "tab"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, names(readPattern(t, tt.body)))
		})
	}
	p := only(t, `<rect id="tab" width="9" height="30" data-fabric="navy"/>`)
	assert.Equal(t, []string{"tab: a bare outline: its grain is taken as vertical, and it is cut once"}, p.Notes)
	assert.Equal(t, []string{"navy"}, p.Fabrics)
	p = only(t, `<rect id="tab" width="9" height="30" data-cut="3"/>`)
	assert.Contains(t, p.Notes[0], "it is cut 3 times")
}

// What an element is: the same mark by class, by id and by label, as drawing
// programs leave them.
func TestWords(t *testing.T) {
	edge := func(attributes string) string {
		return g(`id="front"`, `<path `+attributes+` d="M0 0H100"/>`)
	}
	for _, attributes := range []string{
		`class="edge shoulder"`, `class="edge-shoulder"`, `class="st0 edge shoulder"`, `class="edge shoulder st0"`,
		`id="edge-shoulder"`, `id="edge_shoulder"`, `id="edge-shoulder-3"`, `id="edge-shoulder-3-7"`, `id="edge_x20_shoulder_1_"`, `id="Edge-Shoulder"`,
		`id="path7" inkscape:label="edge shoulder"`, `id="path7" inkscape:label="Edge: Shoulder"`,
		`class="edge" id="shoulder"`, `class="edge" id="path3" inkscape:label="shoulder"`, `class="edge" id="edge-shoulder"`,
		`class="edge shoulder" id="notch-4"`, // the class comes first
		`id="edge-shoulder" inkscape:label="grain"`,
	} {
		p := only(t, edge(attributes))
		assert.Len(t, p.Outline.Edge("shoulder"), 1, attributes)
	}
	assert.Len(t, only(t, edge(`class="edge front-shoulder"`)).Outline.Edge("front-shoulder"), 1)
	assert.Len(t, only(t, edge(`inkscape:label="edge front shoulder"`)).Outline.Edge("front-shoulder"), 1)
	assert.Len(t, only(t, edge(`inkscape:label="edge panel 2"`)).Outline.Edge("panel-2"), 1, "a label's number is its own")

	two := only(t, g(`id="front"`, `<path id="edge-panel-1" d="M0 0H100"/><path id="edge-panel-2" d="M0 200H100"/>`))
	assert.Len(t, two.Outline.Edge("panel-1"), 1, "numbers that tell two edges apart are kept")
	assert.Len(t, two.Outline.Edge("panel-2"), 1)

	for _, id := range []string{"notch", "notch-3", "notch3", "notch_2_", "Notch 5"} {
		p := only(t, g(`id="front"`, `<path id="`+id+`" d="M-3 60H3"/>`))
		var n int
		for _, e := range p.Outline {
			n += len(e.Notches)
		}
		assert.Equal(t, 1, n, id)
	}
}

// Everything a piece may have, in one drawing.
func TestWholePiece(t *testing.T) {
	p := only(t, `<g id="front" data-cut="2" data-mirrored="yes" data-fabric="navy or cream" data-allowance="15mm">
		<desc>drawn in spring
allowance: 9mm</desc>
		<path class="cut" d="M0 0H100V200H0Z"/>
		<g class="grain"><path d="M50 180V20"/><path d="M45 30L50 20L55 30"/></g>
		<path class="notch" d="M-4 60H4"/>
		<circle class="notch" cx="100" cy="100" r="2"/><path class="notch" d="M97 105L100 106L103 105"/>
		<path class="dart" d="M40 200L50 120L60 200"/>
		<path class="edge hem" d="M0 200H100" data-allowance="1in"/>
		<path class="level" d="M0 90H100"/>
		<rect class="keep" x="20" y="20" width="20" height="20"/>
		<path class="keep" d="M60 20V50"/>
	</g>`)
	box := p.Outline.Ring().Bound() // the allowances are taken off
	for i, want := range []float64{15, 15, 85, 200 - 25.4} {
		assert.InDelta(t, want, []float64{box.Min[0], box.Min[1], box.Max[0], box.Max[1]}[i], 1e-6)
	}
	assert.Equal(t, 2, p.Count)
	assert.True(t, p.Mirrored)
	assert.Equal(t, []string{"navy", "cream"}, p.Fabrics)
	assert.Equal(t, -90.0, p.GrainDeg)
	assert.Len(t, p.Darts, 1)
	assert.Len(t, p.Levels, 1)
	require.Len(t, p.Keeps, 2)
	assert.True(t, p.Keeps[0].Closed)
	assert.False(t, p.Keeps[1].Closed)
	var notches []piece.Notch
	for _, e := range p.Outline {
		switch e.Name {
		case "hem":
			assert.InDelta(t, 25.4, e.AllowanceMM, 1e-9)
		default:
			assert.Equal(t, 15.0, e.AllowanceMM)
		}
		notches = append(notches, e.Notches...)
	}
	require.Len(t, notches, 2)
	assert.ElementsMatch(t, []int{1, 2}, []int{notches[0].Count, notches[1].Count})
	assert.Equal(t, []string{`front: its allowance is given as "15mm" and as "9mm": "15mm" counts; keep the one that is right`}, p.Notes)
}

func TestFactsInDescription(t *testing.T) {
	p := only(t, g(`id="front"`, `<desc>Front of the shirt.
 Cut: 4
mirrored = yes
fabric: navy or cream or rib</desc><path class="edge hem" d="M0 200H100"><desc>allowance: 2,5 cm</desc></path>`))
	assert.Equal(t, 4, p.Count)
	assert.True(t, p.Mirrored)
	assert.Equal(t, []string{"navy", "cream", "rib"}, p.Fabrics)
	assert.InDelta(t, 25, p.Outline[p.Outline.Edge("hem")[0]].AllowanceMM, 1e-9)
	// On the outline, where the piece has no group of its own.
	p = only(t, `<path id="seam-tab" data-cut="2" d="M0 0H10V20H0Z"/><path id="grain-1" d="M5 2V18"/>`)
	assert.Equal(t, 2, p.Count)
}

func TestMisspeltNotes(t *testing.T) {
	tests := []struct{ body, want string }{
		{g(`id="f" data-alowance="5mm"`, ``), `f: "data-alowance" of g "f" is not read; write data-allowance`},
		{g(`id="f"`, `<desc>mirorred: yes</desc>`), `f: "mirorred" of g "f" is not read; write mirrored: yes`},
		{g(`id="f"`, `<desc>cut 2</desc>`), `f: "cut 2" of g "f" is not read; write cut: and its value`},
		{g(`id="f"`, `<path class="edge hem" data-join="a/b" d="M0 200H100"/>`), `f: "data-join" of path on line 1 is not read; write data-joins`},
		{g(`id="f"`, `<path id="notches" d="M0 0H3"/>`), `f: path "notches" is not read as a mark; name it notch if it is one`},
		{g(`id="f"`, `<path id="grainline2" d="M0 0H3"/>`), `f: path "grainline2" is not read as a mark; name it grain if it is one`},
		{g(`id="f"`, `<path inkscape:label="leval line" d="M0 0H3"/>`), `f: path "leval line" is not read as a mark; name it level if it is one`},
		{g(`id="f" data-fabrik="navy"`, ``), `f: "data-fabrik" of g "f" is not read; write data-fabric`},
		{g(`id="f" data-cuts="2"`, ``), `f: "data-cuts" of g "f" is not read; write data-cut`},
		{g(`id="f" data-alowence="1cm"`, ``), `f: "data-alowence" of g "f" is not read; write data-allowance`},
		{g(`id="f"`, `<desc>quantity: 2</desc>`), `f: "quantity" of g "f" is not read; write cut: 2`},
		{g(`id="f"`, `<path class="st0 gain" d="M0 0H3"/>`), `f: path on line 1, "gain", is not read as a mark; name it grain if it is one`},
		{g(`id="f"`, `<g id="grian"><path d="M0 0H3"/></g>`), `f: g "grian" is not read as a mark; name it grain if it is one`},
		{g(`id="f" data-fabric="sky"`, `<desc>fabric: mint</desc>`), `f: its fabric is given as "sky" and as "mint": "sky" counts; keep the one that is right`},
		{g(`id="f" data-cut="1" data-cut="2"`, ``), `f: its cut is given as "1" and as "2": "1" counts; keep the one that is right`},
		{g(`id="f"`, `<path class="edge hem" data-allowance="2cm" d="M0 200H100"><desc>allowance: 3cm</desc></path>`), `f/hem: its allowance is given as "2cm" and as "3cm": "2cm" counts; keep the one that is right`},
		{g(`id="f"`, `<path class="cut" d="M-9 -9H109V209H-9Z"/>`), `f: both its seam line and its cutting line are drawn: the seam line counts, with the allowances given`},
	}
	for _, tt := range tests {
		assert.Equal(t, []string{tt.want}, only(t, tt.body).Notes)
	}
	assert.Contains(t, only(t, `<path class="seem" d="M0 0H100V200H0Z"/>`).Notes, `path on line 1, "seem", is taken as a piece of its own; if it is a seam, name it so and group it with its piece`)
	for _, quiet := range []string{
		g(`id="f" data-name="Layer 1"`, `<desc>Drawn by hand: twice, cutely.</desc>`),
		g(`id="f" data-fabric="Sky"`, `<desc>fabric: sky</desc>`),
		g(`id="f" data-name="f" data-label="l" data-node="3" data-paper="a4" data-id="7"`, `<text class="gold">f</text>`),
	} {
		assert.Empty(t, only(t, quiet).Notes)
	}
	px, err := Pattern(strings.NewReader(`<svg width="960" height="480">`+g(`id="f"`, ``)+`</svg>`), "p.svg")
	require.NoError(t, err)
	assert.Equal(t, []string{"p.svg: the page's size is in px, taken as 96 an inch: 254 by 127 mm; if it is meant to be 960 by 480 mm, write mm after its width and its height"}, px[0].Notes)
	px, err = Pattern(strings.NewReader(`<svg width="960" height="127mm">`+g(`id="f"`, ``)+`</svg>`), "p.svg")
	require.NoError(t, err)
	assert.Equal(t, []string{"p.svg: the page's size is in px, taken as 96 an inch: 254 by 127 mm"}, px[0].Notes)
	bare, err := Pattern(strings.NewReader(`<svg width="960mm" height="480mm">`+g(`id="f"`, ``)+`</svg>`), "p.svg")
	require.NoError(t, err)
	assert.Equal(t, []string{`p.svg: the page has no viewBox, so what is drawn is taken to be in px, 96 an inch: a line 100 long is 26 mm; if it is drawn in mm, write viewBox="0 0 960 480" beside the page's width`}, bare[0].Notes)
	for transform, quiet := range map[string]bool{"scale(3.7795)": true, "rotate(90)": false, "scale(-1 1)": false} {
		moved, err := Pattern(strings.NewReader(`<svg width="960mm" height="480mm"><g transform="`+transform+`">`+g(`id="f"`, ``)+`</g></svg>`), "p.svg")
		require.NoError(t, err)
		assert.Equal(t, quiet, len(moved[0].Notes) == 0, transform)
	}
}

// What a viewer does not show is not read; that an outline is there is said.
func TestHiddenNotes(t *testing.T) {
	front := g(`id="front"`, ``)
	for _, tt := range []struct{ body, want string }{
		{front + g(`id="sleeve" display="none"`, ``), "p.svg: hidden in the drawing, and not read: sleeve"},
		{front + `<g id="old" style="display:none">` + g(`id="collar"`, ``) + g(`id="cuff"`, ``) + `</g>`, "p.svg: hidden in the drawing, and not read: collar, cuff"},
		{front + g(`id="sleeve" visibility="hidden"`, ``), "p.svg: hidden in the drawing, and not read: sleeve"},
	} {
		pieces, err := Pattern(strings.NewReader(sheet(tt.body)), "p.svg")
		require.NoError(t, err)
		require.Len(t, pieces, 1)
		assert.Contains(t, pieces[0].Notes, tt.want)
	}
	pieces, err := Pattern(strings.NewReader(sheet(front+`<g id="guides" display="none"><path d="M0 0H9V9Z"/></g>`)), "p.svg")
	require.NoError(t, err)
	assert.Empty(t, pieces[0].Notes)
}

func TestJoins(t *testing.T) {
	front := g(`id="Front"`, `<path class="edge shoulder" data-joins="back / Shoulder" d="M0 0H100"/><path class="edge side" data-joins="back/side; Front/hem, back/shoulder" d="M0 0V200"/><path class="edge hem" d="M0 200H100"/>`)
	back := g(`id="back"`, `<path class="edge shoulder" d="M0 0H100"/><path class="edge side" data-joins="front/side" d="M0 0V200"/>`)
	got := readPattern(t, front+back)
	joins := func(p *piece.Piece, edge string) string {
		var out []string
		for _, i := range p.Outline.Edge(edge) {
			for _, r := range p.Outline[i].Joins {
				out = append(out, r.String())
			}
		}
		return strings.Join(out, " ")
	}
	assert.Equal(t, "back/shoulder", joins(got[0], "shoulder"))
	assert.Equal(t, "back/side Front/hem back/shoulder", joins(got[0], "side"))
	assert.Equal(t, "Front/side", joins(got[0], "hem"))
	assert.Equal(t, "Front/side", joins(got[1], "side"))
	assert.ElementsMatch(t, strings.Fields("Front/shoulder Front/side"), strings.Fields(joins(got[1], "shoulder")))
}

func TestPatternErrors(t *testing.T) {
	edge := func(facts string) string {
		return g(`id="f"`, `<path id="edge-hem" `+facts+` d="M0 200H100"/>`)
	}
	tests := []struct{ name, body, want string }{
		{"nothing", ``, "p.svg: no pattern piece found; draw each piece as a closed outline named seam, in a group with the piece's name"},
		{"only lines", `<path d="M0 0H9"/>`, "p.svg: no pattern piece found"},
		{"all hidden", `<g display="none">` + g(`id="f"`, ``) + `</g>`, "p.svg: no pattern piece found"},
		{"two of a name", g(`id="front"`, ``) + g(`inkscape:label="Front"`, ``), `p.svg: "Front": two pieces have this name; rename one, or draw it once and say cut: 2`},
		{"two outlines", g(`id="f"`, `<path id="seam-2" d="M0 0H9V9Z"/>`), `p.svg: "f", path "seam-2": a second seam outline; put each piece in a group of its own`},
		{"an outline with a hole", `<g id="f"><path id="seam" d="M0 0H100V200H0Z M20 20H40V40Z"/>` + grain + `</g>`, `p.svg: "f", path "seam": the outline is 2 lines in one path; keep the piece's one outline`},
		{"a bare outline with a hole", `<path id="f" d="M0 0H100V200H0Z M20 20H40V40Z"/>`, `p.svg: path "f": it has 2 outlines in one path; break it apart`},
		{"marks with no outline", `<g id="f"><path id="path1" d="M0 0H100V200H0Z"/>` + grain + `</g>`, `this grain belongs to no piece: its group has no seam or cut; group it with an outline named seam`},
		{"a file of scraps", `<g id="navy"><path class="outline" d="M0 0H100V200H0Z"/>` + grain + `</g>`, `this grain belongs to no piece: its group has no seam or cut; these are scraps; give a pattern first, and them after it`},
		{"an outline nearly named", `<g id="f"><path class="seamline" d="M0 0H100V200H0Z"/>` + grain + `</g>`, `this grain belongs to no piece: its group has no seam or cut; name path on line 1, "seamline" seam if that is its outline`},
		{"a grain nearly named", `<g id="f">` + square + `<path id="grainline" d="M9 9V90"/></g>`, `the piece has no grainline; draw a straight line along the grain and name it grain; path "grainline" is not read as a mark; name it grain if it is one`},
		{"a stray notch", g(`id="f"`, ``) + `<path id="notch-1" d="M0 0H3"/>`, `p.svg: path "notch-1": this notch belongs to no piece`},
		{"an outline that draws nothing", `<g id="f"><path id="seam" d=""/>` + grain + `</g>`, `p.svg: "f", path "seam": this seam draws nothing; draw it, or remove it`},
		{"an outline that is a point", `<g id="f"><path id="seam" d="M5 5"/>` + grain + `</g>`, `the outline has no length`},
		{"an open outline", `<g id="f"><path id="seam" d="M0 0H100V200"/>` + grain + `</g>`, `the outline is open: its ends are 223.6 mm apart`},
		{"broken path data", `<g id="f"><path id="seam" d="M0 0H100V"/>` + grain + `</g>`, `p.svg: "f", path "seam": its path data is broken at character 10, the end: expected a number; redraw it`},
		{"broken points", `<polygon id="f" points="0,0 10,0 10"/>`, `p.svg: path`},
		{"a broken length", `<rect id="f" width="tall" height="5"/>`, `p.svg: rect "f": width: "tall" is not a length`},
		{"a broken transform", `<g id="f" transform="spin(5)">` + square + `</g>`, `p.svg: g "f": its transform "spin(5)" is broken: "spin" is not a flat transform`},
		{"far away", `<g id="f"><path id="seam" d="M0 0H1e300V200Z"/>` + grain + `</g>`, `a point lies beyond 1000 m or is not a number`},
		{"a mark far away", g(`id="f"`, `<path id="notch" d="M0 0L1e7 0"/>`), `path "notch": a point lies beyond 1000 m`},
		{"no grain", `<g id="f">` + square + `<path class="level" d="M0 9H9"/></g>`, `p.svg: "f": the piece has no grainline; draw a straight line along the grain and name it grain`},
		{"two grains", g(`id="f"`, `<path id="grain-2" d="M0 0V9"/>`), `"f", path "grain-2": a second grainline; keep one`},
		{"a curved grain", `<g id="f">` + square + `<path id="grain" d="M0 0Q9 9 0 50"/></g>`, `the grainline is curved; draw it as one straight line`},
		{"a bent grain", `<g id="f">` + square + `<path id="grain" d="M50 10L60 60L50 110"/></g>`, `the grainline bends by 22.6°; draw it as one straight line`},
		{"a grain with no length", `<g id="f">` + square + `<path id="grain" d="M5 5h0"/></g>`, `the grainline has no length`},
		{"an edge without a name", g(`id="f"`, `<path id="edge-3" d="M0 200H100"/>`), `"f", path "edge-3": the edge has no name; name it with two words, such as edge shoulder`},
		{"an edge off the outline", g(`id="f"`, `<path id="edge-hem" d="M0 230H100"/>`), `"f", path "edge-hem": the line runs up to 30.0 mm off the outline`},
		{"an edge in two parts", g(`id="f"`, `<path id="edge-hem" d="M0 200H40M60 200H100"/>`), `this edge is 2 lines in one path; break the path apart`},
		{"a dart of two lines", g(`id="f"`, `<path id="dart" d="M40 200L50 120M60 200L50 120"/>`), `this dart is 2 lines in one path`},
		{"a long notch", g(`id="f"`, `<path id="notch" d="M0 60`+strings.Repeat("l1 1", 30)+`"/>`), `this notch has 30 line segments; simplify it`},
		{"too many notches in a path", g(`id="f"`, `<path id="notch" d="`+strings.Repeat("M0 60h3", 400)+`"/>`), `this notch is 400 lines in one path; keep to 300`},
		{"too many marks", g(`id="f"`, strings.Repeat(`<path class="notch" d="M0 60h3"/>`, 400)), `"f": the piece has more than 300 marks`},
		{"too many edges", g(`id="f"`, strings.Repeat(`<path class="edge hem" d="M0 200h3"/>`, 120)), `"f": the piece has 120 edges; keep to 100`},
		{"too many notches", g(`id="f"`, strings.Repeat(`<path class="notch" d="M0 60h3M0 70h3M0 80h3"/>`, 120)), `"f": the piece has 360 notches, edges and keep zones`},

		{"cut: -1", g(`id="f" data-cut="-1"`, ``), `p.svg: "f", g "f": cut: -1: it is not a whole number from 1 up; write for example cut: 2`},
		{"ready: soon", g(`id="f" data-ready="soon"`, ``), `ready: soon: it is neither yes nor no`},
		{"cut: banana", g(`id="f"`, `<desc>cut: banana</desc>`), `cut: banana: it is not a whole number`},
		{"cut: 1.5", g(`id="f" data-cut="1.5"`, ``), `cut: 1.5: it is not a whole number`},
		{"cut: 9999", g(`id="f" data-cut="9999"`, ``), `cut: 9999: it is more than 200; check the number`},
		{"mirrored: perhaps", g(`id="f" data-mirrored="perhaps"`, ``), `mirrored: perhaps: it is neither yes nor no; write mirrored: yes or mirrored: no`},
		{"mirrored, cut once", g(`id="f" data-mirrored="yes"`, ``), `mirrored: yes with cut: 1`},
		{"allowance: banana", g(`id="f" data-allowance="banana"`, ``), `p.svg: "f", g "f": allowance: banana: a number is missing; write for example allowance: 10mm`},
		{"allowance: 10", g(`id="f" data-allowance="10"`, ``), `allowance: 10: "10" has no unit`},
		{"allowance: -5mm", g(`id="f" data-allowance="-5mm"`, ``), `allowance: -5mm: a seam allowance is not negative`},
		{"allowance: 3m", g(`id="f" data-allowance="3m"`, ``), `allowance: 3m: it is more than 200 mm; check its unit`},
		{"an edge's allowance", edge(`data-allowance="10 furlongs"`), `"f", path "edge-hem": allowance: 10 furlongs: the unit of "10 furlongs" is not known`},
		{"joins nothing", edge(`data-joins=""`), `"f", path "edge-hem": joins: : it names no edge; write the piece and its edge, as in joins: back/shoulder`},
		{"joins a piece", edge(`data-joins="back"`), `joins: back: it names no edge`},
		{"joins half", edge(`data-joins="back/"`), `joins: back/: a piece or an edge is missing`},
		{"joins no such piece", edge(`data-joins="bakc/hem"`), `p.svg: "f", edge hem: joins: bakc/hem: there is no piece "bakc"; the pieces are f`},
		{"joins no such edge", edge(`data-joins="f/side"`), `p.svg: "f", edge hem: joins: f/side: "f" has no edge "side"; its edges are hem`},
		{"joins a piece without edges", edge(`data-joins="b/side"`) + g(`id="b"`, ``), `"b" has no edge "side"; name that edge of it, as in edge shoulder`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Pattern(strings.NewReader(sheet(tt.body)), "p.svg")
			require.Error(t, err)
			if tt.name == "broken points" {
				assert.EqualError(t, err, `p.svg: polygon "f": its points: the last has no y; redraw it, or remove it`)
				return
			}
			assert.Contains(t, err.Error(), tt.want)
			var known *piece.Error
			require.ErrorAs(t, err, &known)
			assert.NotEmpty(t, known.Cure)
		})
	}
}

// Whether a piece is lined, and whether it is of a lining.
// A clone has the name and facts of the group that it is the only thing in, and that
// of what it shows where there are several, or the group is a layer.
func TestNamesOfClones(t *testing.T) {
	const defs = `<defs><g id="tmpl"><rect class="seam" width="90" height="80"/><path class="grain" d="M10 70V10"/></g></defs>`
	for body, want := range map[string][]string{
		`<g id="panel" data-fabric="cotton"><use href="#tmpl"/></g>`:                                             {"panel cotton"},
		`<g id="panel" data-fabric="cotton"><use href="#tmpl"/></g><g id="yoke"><use href="#tmpl" x="100"/></g>`: {"panel cotton", "yoke"},
		`<g id="panel"><use href="#tmpl"/><path class="notch" d="M90 40h3"/></g>`:                                {"panel"},
		`<g id="layer1" inkscape:groupmode="layer" inkscape:label="all pieces"><use href="#tmpl"/></g>`:          {"tmpl"},
		`<g id="both"><use id="l" href="#tmpl"/><use id="r" href="#tmpl" x="100"/></g>`:                          {"l", "r"},
		`<use href="#tmpl"/>`: {"tmpl"},
	} {
		got, err := Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape" width="300mm" height="300mm" viewBox="0 0 300 300">`+defs+body+`</svg>`), "p.svg")
		require.NoError(t, err, body)
		var names []string
		for _, p := range got {
			names = append(names, strings.TrimSpace(p.Name+" "+strings.Join(p.Fabrics, " ")))
		}
		assert.Equal(t, want, names, body)
	}
}

func TestUseOfAPiece(t *testing.T) {
	read := func(facts string) ([]piece.Draft, error) {
		return ReadPattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300"><g id="a" `+facts+`><rect class="seam" width="90" height="80"/><path class="grain" d="M10 70V10"/></g></svg>`), "p.svg")
	}
	for facts, want := range map[string][2]string{
		``: {}, `data-use="Lining" data-lining="No"`: {"lining", "no"}, `data-lining="yes"`: {"", "yes"},
	} {
		got, err := read(facts)
		require.NoError(t, err)
		assert.Equal(t, want, [2]string{got[0].Use, got[0].Lining})
	}
	for facts, want := range map[string]string{`data-use="shell"`: "use: shell: it is not lining", `data-lining="half"`: "lining: half: it is neither yes nor no"} {
		_, err := read(facts)
		assert.ErrorContains(t, err, want)
	}
}
