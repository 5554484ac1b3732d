package lining

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/svg"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var usual = Options{EaseMM: DefaultEaseMM, ArmholeUpMM: DefaultArmholeUpMM, HemUpMM: DefaultHemUpMM, PleatMM: DefaultPleatMM}

func sample(t testing.TB, name string) []*piece.Piece {
	t.Helper()
	data, err := os.ReadFile("../../samples/" + name + ".svg")
	require.NoError(t, err)
	return read(t, string(data))
}

func read(t require.TestingT, text string) []*piece.Piece {
	pieces, err := svg.Pattern(bytes.NewReader([]byte(text)), "p.svg")
	require.NoError(t, err)
	return pieces
}

// pattern is a page of millimetres with some groups on it.
func pattern(groups ...string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="3000mm" height="3000mm" viewBox="0 0 3000 3000">` + strings.Join(groups, "\n") + `</svg>`
}

func named(t require.TestingT, pieces []*piece.Piece, name string) *piece.Piece {
	for _, p := range pieces {
		if p.Name == name {
			return p
		}
	}
	require.Fail(t, "no piece "+name)
	return nil
}

// equal requires that both sides of every seam are equally long, and their
// notches where they meet.
func equal(t require.TestingT, pieces []*piece.Piece) {
	walked := allowance.Walk(pieces)
	require.NotEmpty(t, walked)
	for _, w := range walked {
		require.InDelta(t, w.AMM, w.BMM, 0.05, "%v %v", w.A, w.B)
		for _, m := range w.Mates {
			require.InDelta(t, m.AMM, m.BMM, 0.05, "%v %v", w.A, w.B)
		}
	}
}

func curves(p *piece.Piece) (n int) {
	for _, s := range p.Outline.Path() {
		if s.Curved {
			n++
		}
	}
	return n
}

func notchesOf(p *piece.Piece) (n int) {
	for _, e := range p.Outline {
		n += len(e.Notches)
	}
	return n
}

func TestSamples(t *testing.T) {
	for name, c := range map[string]struct {
		lined   []string
		leftOut string
		seams   int
		pleat   string // the piece that has one
	}{
		"tshirt":       {[]string{"front", "back", "sleeve"}, "neckband", 5, "back"},
		"cardigan":     {[]string{"front", "back", "sleeve"}, "band", 5, "back"},
		"raglan-child": {[]string{"front", "back", "sleeve"}, "neckband cuff", 4, "back"},
		"blouse":       {[]string{"front", "back"}, "facing collar binding", 2, "back"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			pieces := sample(t, name)
			l, err := Make(pieces, name, usual)
			require.NoError(t, err)
			var lined, leftOut []string
			for i, p := range l.Pieces {
				lined = append(lined, p.Name)
				assert.Equal(t, piece.UseLining, p.Use)
				assert.Empty(t, p.Fabrics)
				assert.Empty(t, l.Drafts[i].Fabrics)
				was := named(t, pieces, p.Name)
				assert.Equal(t, []any{was.Count, was.Mirrored, was.GrainDeg}, []any{p.Count, p.Mirrored, math.Round(p.GrainDeg*1e6) / 1e6})
				if name != "blouse" { // whose facing takes some away
					assert.Equal(t, curves(was), curves(p), "curves stay curves")
				}
				pleats := 0
				if p.Name == c.pleat {
					pleats = 4 // at neck and hem, left and right
				}
				if name == "blouse" && p.Name == "front" {
					pleats = -1 // of its notches, one is where the facing is
				}
				assert.Equal(t, notchesOf(was)+pleats, notchesOf(p))
			}
			for _, o := range l.LeftOut {
				leftOut = append(leftOut, o.Name)
			}
			assert.Equal(t, c.lined, lined)
			assert.Equal(t, c.leftOut, strings.Join(leftOut, " "))
			assert.Len(t, allowance.Walk(l.Pieces), c.seams)
			equal(t, l.Pieces)
			assert.Equal(t, 1, strings.Count(strings.Join(l.Notes, "\n"), c.pleat+": a pleat at the centre back"))
		})
	}
}

// box is half a body on the fold, 200 by 280 mm. Its top is sewn to nothing.
func box(name, joins string, x int, facts string) string {
	return fmt.Sprintf(`<g id=%q %s transform="translate(%d,0)"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/>
		<path class="fold" d="M 0,280 V 0"/><path class="edge side" data-joins=%q d="M 200,0 V 280"/><path class="edge hem" d="M 200,280 H 0"/><path class="notch" d="M 197,100 H 203"/></g>`, name, facts, x, joins)
}

// What the ease says is what is added, to the square millimetre.
func TestAreas(t *testing.T) {
	pieces := read(t, pattern(box("front", "back/side", 0, ""), box("back", "front/side", 300, "")))
	for _, o := range []Options{{}, {EaseMM: 6}, {HemUpMM: 20}, {PleatMM: 20}, {EaseMM: 6, ArmholeUpMM: 10, HemUpMM: 20, PleatMM: 20}, {EaseMM: 3.5, HemUpMM: 77, PleatMM: 40}} {
		l, err := Make(pieces, "p.svg", o)
		require.NoError(t, err)
		assert.InDelta(t, 2*(200+o.EaseMM)*(280-o.HemUpMM), area(named(t, l.Pieces, "front")), 0.01)
		assert.InDelta(t, 2*(200+o.EaseMM+o.PleatMM)*(280-o.HemUpMM), area(named(t, l.Pieces, "back")), 0.01)
		equal(t, l.Pieces)
	}
	// A notch stays at its place of the body.
	l, err := Make(pieces, "p.svg", usual)
	require.NoError(t, err)
	for _, e := range named(t, l.Pieces, "front").Outline {
		for _, k := range e.Notches {
			q, _ := e.Line.At(k.AtMM)
			assert.InDelta(t, 100, q[1], 0.01)
		}
	}
}

// The underarm goes out by the ease and up, on body and sleeve, and what a band
// or a neckline holds does not move at all.
func TestCornersMove(t *testing.T) {
	pieces := sample(t, "cardigan")
	l, err := Make(pieces, "cardigan", usual)
	require.NoError(t, err)
	corner := func(of []*piece.Piece, name, before, after string) orb.Point {
		o := named(t, of, name).Outline
		for i, e := range o {
			if e.Name == before && o[(i+1)%len(o)].Name == after {
				return e.Line.End()
			}
		}
		require.Fail(t, "no corner of "+before+" and "+after)
		return orb.Point{}
	}
	for _, c := range []struct {
		name, before, after string
		dx, dy, within      float64
	}{
		{"front", "armhole", "side", 6, -10, 1.5},
		{"back", "armhole", "side", 6, -10, 1.5},
		{"sleeve", "cap-front", "underarm-front", 6 + 1.7, -10, 2}, // its seam slants
		{"sleeve", "underarm-back", "cap-back", -6 - 1.7, -10, 2},
		{"front", "neck", "shoulder", 0, 0, 1e-4},
		{"front", "centre-front", "neck", 0, 0, 1e-4},
		{"front", "hem", "centre-front", 0, -20, 1e-4},
		{"front", "side", "hem", 6 - 0.8, -20, 1},
	} {
		was, is := corner(pieces, c.name, c.before, c.after), corner(l.Pieces, c.name, c.before, c.after)
		assert.InDelta(t, c.dx, is[0]-was[0], c.within, "%v", c)
		assert.InDelta(t, c.dy, is[1]-was[1], c.within, "%v", c)
	}
}

func TestWhatIsNotLined(t *testing.T) {
	strip := func(facts, edge string) string {
		return `<g id="thing" ` + facts + ` transform="translate(600,0)"><path class="seam" d="M 0,0 H 300 V 80 H 0 Z"/><path class="grain" d="M 50,10 V 70"/>` + edge + `</g>`
	}
	ring := `<path class="edge left" d="M 0,80 V 0"/><path class="edge right" data-joins="thing/left" d="M 300,0 V 80"/>`
	for name, c := range map[string]struct{ thing, why string }{
		"no word for it":    {strip("", ""), ""},
		"by its word":       {strip(`data-lining="no"`, ""), "it says lining: no"},
		"a strip":           {strip("", ring), "a strip whose ends are sewn together, as a band or a cuff"},
		"a strip, but":      {strip(`data-lining="yes"`, ring), ""},
		"by its name":       {strings.Replace(strip("", ""), `"thing"`, `"Waistband 2"`, 1), "by its name, a waistband"},
		"several":           {strings.Replace(strip("", ""), `"thing"`, `"cuffs"`, 1), "by its name, a cuff"},
		"behind an opening": {strings.Replace(strip("", ""), `"thing"`, `"fly-left"`, 1), "by its name, a fly, which closes an opening"},
		"no fly":            {strings.Replace(strip("", ""), `"thing"`, `"butterfly"`, 1), ""},
		"not quite a word":  {strings.Replace(strip("", ""), `"thing"`, `"bandana"`, 1), ""},
		"of a lining":       {strip(`data-use="lining"`, ""), "it is of a lining already"},
		"by what it is for": {strip("", `<path class="edge top" data-joins="front/cuff" d="M 0,0 H 300"/>`), "it is sewn to an edge named cuff"},
	} {
		front := strings.Replace(box("front", "back/side", 0, ""), `<path class="edge hem"`, `<path class="edge cuff" d="M 0,0 H 200"/><path class="edge hem"`, 1)
		l, err := Make(read(t, pattern(front, box("back", "front/side", 300, ""), c.thing)), "p.svg", usual)
		require.NoError(t, err, name)
		if c.why == "" {
			assert.Empty(t, l.LeftOut, name)
		} else if assert.Len(t, l.LeftOut, 1, name) {
			assert.Equal(t, c.why, l.LeftOut[0].Why, name)
		}
	}
}

// Where nothing is shortened it is said why: a hem that a waistband is sewn to
// ends where the waistband begins.
func TestWhyALengthStays(t *testing.T) {
	banded := strings.Replace(box("front", "back/side", 0, ""), `<path class="edge hem"`, `<path class="edge hem" data-joins="band/top"`, 1)
	band := `<g id="band" transform="translate(600,0)"><path class="seam" d="M 0,0 H 400 V 50 H 0 Z"/><path class="grain" d="M 50,10 V 40"/><path class="edge top" d="M 0,0 H 400"/></g>`
	unnamed := strings.Replace(box("back", "front/side", 300, ""), "edge hem", "edge below", 1)
	l, err := Make(read(t, pattern(banded, unnamed, band)), "p.svg", usual)
	require.NoError(t, err)
	assert.Contains(t, l.Notes, "front: its hem is sewn to another piece, so its length stays")
	assert.Contains(t, l.Notes, "back: no edge is named hem, so its length stays")
	front := l.Pieces[slices.IndexFunc(l.Pieces, func(p *piece.Piece) bool { return p.Name == "front" })]
	assert.Empty(t, front.Outline.Edge("hem"), "nothing is turned up there")
	assert.NotEmpty(t, front.Outline.Edge("hem-seam"))
}

// A forgotten join at the armhole and a vest look the same, so it is said that
// nothing was raised.
func TestArmholesWithoutSleeve(t *testing.T) {
	const note = "the armhole is not raised, for nothing says that a sleeve is sewn to it"
	front := strings.Replace(box("front", "back/side", 0, ""), `<path class="edge hem"`, `<path class="edge armhole" d="M 120,0 H 200"/><path class="edge hem"`, 1)
	back := box("back", "front/side", 300, "")
	for name, c := range map[string]struct {
		front string
		o     Options
		want  bool
	}{
		"a vest":            {front, usual, true},
		"raised by nothing": {front, Options{EaseMM: 6}, false},
		"no armhole":        {box("front", "back/side", 0, ""), usual, false},
	} {
		l, err := Make(read(t, pattern(c.front, back)), "p.svg", c.o)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, strings.Contains(strings.Join(l.Notes, "\n"), note), name)
	}
	for _, s := range []string{"cardigan", "raglan-child"} {
		l, err := Make(sample(t, s), s, usual)
		require.NoError(t, err, s)
		assert.NotContains(t, strings.Join(l.Notes, "\n"), note, s)
	}
}

// yoked is a shirt whose yoke is sewn to the sleeves as the front and the back are.
const yoked = `<g id="front" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,0 H 60 L 180,40 V 200 V 600 H 0 Z"/><path class="grain" d="M 50,40 V 80"/>
<path class="edge neck" d="M 0,0 H 60"/><path class="edge shoulder" data-joins="yoke/front" d="M 60,0 L 180,40"/><path class="edge armhole" data-joins="sleeve/cap-front" d="M 180,40 V 200"/><path class="edge side" data-joins="back/side" d="M 180,200 V 600"/><path class="edge hem" d="M 180,600 H 0"/></g>
<g id="yoke" transform="translate(500,0)"><path class="seam" d="M -60,0 H 60 L 180,40 V 100 H -180 V 40 Z"/><path class="grain" d="M 0,40 V 80"/>
<path class="edge neck" d="M -60,0 H 60"/><path class="edge front" data-joins="front/shoulder" d="M 60,0 L 180,40"/><path class="edge armhole" data-joins="sleeve/cap-back" d="M 180,40 V 100"/><path class="edge bottom" data-joins="back/top" d="M 180,100 H -180"/><path class="edge armhole" data-joins="sleeve/cap-back" d="M -180,100 V 40"/><path class="edge front" data-joins="front/shoulder" d="M -180,40 L -60,0"/></g>
<g id="back" transform="translate(1000,0)"><path class="seam" d="M -180,0 H 180 V 100 V 500 H -180 V 100 Z"/><path class="grain" d="M 0,40 V 80"/>
<path class="edge top" data-joins="yoke/bottom" d="M -180,0 H 180"/><path class="edge armhole" data-joins="sleeve/cap-back" d="M 180,0 V 100"/><path class="edge side" data-joins="front/side" d="M 180,100 V 500"/><path class="edge hem" d="M 180,500 H -180"/><path class="edge side" data-joins="front/side" d="M -180,500 V 100"/><path class="edge armhole" data-joins="sleeve/cap-back" d="M -180,100 V 0"/></g>
<g id="sleeve" data-cut="2" data-mirrored="yes" transform="translate(1500,0)"><path class="seam" d="M 150,0 L 300,55.678 L 260,455 H 40 L 0,55.678 Z"/><path class="grain" d="M 150,140 V 180"/>
<path class="edge cap-front" data-joins="front/armhole" d="M 150,0 L 300,55.678"/><path class="edge underarm-front" data-joins="sleeve/underarm-back" d="M 300,55.678 L 260,455"/><path class="edge hem" d="M 260,455 H 40"/><path class="edge underarm-back" data-joins="sleeve/underarm-front" d="M 40,455 L 0,55.678"/><path class="edge cap-back" data-joins="yoke/armhole, back/armhole" d="M 0,55.678 L 150,0"/></g>`

// The underarm is raised where a yoke has none, and is not where a side seam has
// another name: then it is said of which edge.
func TestArmholeOfAYoke(t *testing.T) {
	pieces := read(t, pattern(yoked))
	l, err := Make(pieces, "p.svg", usual)
	require.NoError(t, err)
	assert.NotContains(t, strings.Join(l.Notes, "\n"), "the armhole is not raised")
	equal(t, l.Pieces)
	long := func(pieces []*piece.Piece, name, edge string) float64 {
		o := named(t, pieces, name).Outline
		return o[o.Edge(edge)[0]].Line.Length()
	}
	assert.InDelta(t, long(pieces, "front", "side")+DefaultArmholeUpMM-DefaultHemUpMM, long(l.Pieces, "front", "side"), 4, "unraised it is 10 mm less")

	l, err = Make(read(t, pattern(strings.NewReplacer("edge side", "edge long", "/side", "/long").Replace(yoked))), "p.svg", usual)
	require.NoError(t, err)
	assert.Contains(t, l.Notes, "the armhole is not raised, for no edge beside front/armhole is a seam named side or underarm")

	l, err = Make(read(t, pattern(strings.NewReplacer("back/side", "back/long", `edge side" data-joins="front/side`, `edge long" data-joins="front/side`).Replace(yoked))), "p.svg", usual)
	require.NoError(t, err)
	assert.Contains(t, l.Notes, "the armhole is not raised, for no edge beside back/armhole is a seam named side or underarm", "a yoke needs none")
}

// Both layers of a yoke have one lining. What is cut twice otherwise is so in the lining.
func TestOneLayerOfAYoke(t *testing.T) {
	twice := strings.Replace(yoked, `id="yoke"`, `id="yoke" data-cut="2"`, 1)
	l, err := Make(read(t, pattern(twice)), "p.svg", usual)
	require.NoError(t, err)
	once, err := Make(read(t, pattern(yoked)), "p.svg", usual)
	require.NoError(t, err)
	assert.Contains(t, l.Notes, "yoke is cut in two layers, an outer and an inner one: its lining is cut once")
	assert.Equal(t, 1, named(t, l.Pieces, "yoke").Count)
	assert.Equal(t, 2, named(t, l.Pieces, "front").Count)
	assert.Equal(t, once.Drafts, l.Drafts, "what the lining of a yoke of one layer is")
	assert.NotContains(t, strings.Join(once.Notes, "\n"), "layers")

	// A stand in two layers is sewn to one each.
	stand := `<g id="stand" data-cut="2" transform="translate(2000,0)"><path class="seam" d="M 0,0 H 120 V 40 H 0 Z"/><path class="grain" d="M 10,10 V 30"/><path class="edge neck" data-joins="yoke/neck" d="M 0,0 H 120"/></g>`
	l, err = Make(read(t, pattern(strings.Replace(twice, `neck" d="M -60,0 H 60"`, `neck" data-joins="stand/neck" d="M -60,0 H 60"`, 1), stand)), "p.svg", usual)
	require.NoError(t, err)
	assert.Equal(t, 1, named(t, l.Pieces, "yoke").Count)

	// A yoke on each hip is no layer.
	hips := strings.NewReplacer(`"front"`, `"yoke"`, "front/", "yoke/").Replace(box("front", "back/side", 0, `data-cut="2"`)) + box("back", "yoke/side", 300, `data-cut="2"`)
	l, err = Make(read(t, pattern(hips)), "p.svg", usual)
	require.NoError(t, err)
	assert.Equal(t, 2, named(t, l.Pieces, "yoke").Count)
}

func TestCannotBeLined(t *testing.T) {
	one := strings.Replace(box("front", "", 0, ""), ` data-joins=""`, "", 1)
	for name, c := range map[string]struct {
		text string
		o    Options
		want []string
	}{
		"no joins":        {pattern(one), usual, []string{"p.svg: no two edges of the pieces to be lined (front) are joined", "joins: back/side"}},
		"nothing to line": {pattern(strings.Replace(one, "front", "cuff", 1)), usual, []string{"p.svg: nothing is left to be lined: cuff (by its name, a cuff)", "lining: yes"}},
		"all hem":         {pattern(box("front", "back/side", 0, ""), box("back", "front/side", 300, "")), Options{HemUpMM: 277}, []string{"--hem-up 277 mm", `"front" (p.svg): the edge side is only 280 mm long`}},
		"too unequal":     {pattern(held("front", "back/side", 280), held("back", "front/side", 270)), usual, []string{"p.svg: front/side and back/side differ by 10 mm in the lining"}},
	} {
		_, err := Make(read(t, c.text), "p.svg", c.o)
		require.Error(t, err, name)
		for _, w := range c.want {
			assert.ErrorContains(t, err, w, name)
		}
	}
}

// held is a piece whose side the garment holds at both ends.
func held(name, joins string, long int) string {
	return fmt.Sprintf(`<g id=%q><path class="seam" d="M 0,0 H 200 V %d H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge neck" d="M 0,0 H 200"/>
		<path class="edge side" data-joins=%q d="M 200,0 V %d"/><path class="edge opening" d="M 200,%d H 0"/></g>`, name, long, joins, long, long)
}

// Gathers stay as they were drawn, with the ease that allows them.
func TestGathersStay(t *testing.T) {
	yoke := `<g id="yoke"><path class="seam" d="M 0,0 H 200 V 80 H 0 Z"/><path class="grain" d="M 50,10 V 70"/><path class="edge gather" data-joins="skirt/top" d="M 200,80 H 0"/></g>`
	skirt := `<g id="skirt" transform="translate(300,0)"><path class="seam" d="M 0,0 H 320 V 400 H 0 Z"/><path class="grain" d="M 50,10 V 70"/><path class="edge top" data-ease="60%" d="M 0,0 H 320"/>
		<path class="edge side-l" data-joins="skirt/side-r" d="M 0,400 V 0"/><path class="edge side-r" d="M 320,0 V 400"/><path class="edge hem" d="M 320,400 H 0"/></g>`
	l, err := Make(read(t, pattern(yoke, skirt)), "p.svg", usual)
	require.NoError(t, err)
	for _, w := range allowance.Walk(l.Pieces) {
		if w.A[0].Piece != w.B[0].Piece {
			assert.InDelta(t, 120, math.Abs(w.DifferenceMM()), 0.05)
			assert.Equal(t, 0.6, named(t, l.Pieces, "skirt").Outline[named(t, l.Pieces, "skirt").Outline.Edge("top")[0]].Ease.Share)
			assert.True(t, w.Sewable())
		}
	}
}

// Where a dart opens on a joined edge its legs are trued once it is drawn anew,
// or it is left out below a raised hem; the seam is as long as the other side
// still.
func TestSeamsAreEqualBesideDarts(t *testing.T) {
	dart := func(d string) string {
		return strings.Replace(box("front", "back/side", 0, ""), `<path class="notch"`, `<path class="dart" d="`+d+`"/><path class="notch"`, 1)
	}
	back := strings.Replace(box("back", "front/side", 300, ""), "V 280 H 0 Z", "V 260 L 0,280 Z", 1)
	back = strings.Replace(strings.Replace(back, `d="M 200,0 V 280"`, `d="M 200,0 V 260"`, 1), "M 200,280 H 0", "M 200,260 L 0,280", 1)
	for name, c := range map[string]struct {
		dart  string
		kept  int
		hemUp float64
	}{
		"square":        {"M 200,60 L 120,70 L 200,80", 1, 20},
		"slanting":      {"M 200,60 L 120,110 L 200,80", 1, 20},
		"below the hem": {"M 200,240 L 130,250 L 200,260", 0, 60},
	} {
		l, err := Make(read(t, pattern(dart(c.dart), back)), "p.svg", Options{EaseMM: 9, HemUpMM: c.hemUp, PleatMM: 20})
		require.NoError(t, err, name)
		assert.Len(t, named(t, l.Pieces, "front").Darts, 2*c.kept, name)
		equal(t, l.Pieces)
	}
}

// bodice is a front, a back and a sleeve of random measures, drawn as the
// samples are; the cap is drawn for the armholes and some ease.
func bodice(r *rapid.T) string {
	return bodiceOf(func(what string, lo, hi float64) float64 {
		return math.Round(rapid.Float64Range(lo, hi).Draw(r, what)*100) / 100
	})
}

// bodiceOf is the same of measures that draw gives.
func bodiceOf(draw func(what string, lo, hi float64) float64) string {
	width, deep, length := draw("width", 140, 320), draw("deep", 150, 300), draw("length", 350, 800)
	tip, slope := draw("tip", 0.6, 0.85)*width, draw("slope", 15, 55)
	armhole := func(pitch float64) (string, float64) {
		c := curve.Path{
			curve.Cubic(orb.Point{tip, slope}, orb.Point{tip - 12, slope + 0.25*(deep-slope)}, orb.Point{pitch, slope + 0.35*(deep-slope)}, orb.Point{pitch, slope + 0.55*(deep-slope)}),
			curve.Cubic(orb.Point{pitch, slope + 0.55*(deep-slope)}, orb.Point{pitch, slope + 0.8*(deep-slope)}, orb.Point{(pitch + width) / 2, deep}, orb.Point{width, deep}),
		}
		return strings.TrimPrefix(c.D(), "M"), c.Length()
	}
	half := func(name, joins string, x, neck, pitch float64) (string, float64) {
		arm, long := armhole(pitch)
		hip := width + 8
		side := fmt.Sprintf("C %v,%v %v,%v %v,%v", width-5, deep+60, width-8, deep+150, hip, deep+length/2)
		return fmt.Sprintf(`<g id=%q transform="translate(%v,0)"><path class="seam" d="M 0,%v C 40,%v 70,30 80,0 L %v %s L %v,%v C 80,%v 40,%v 0,%v Z"/>
		<path class="fold" d="M 0,%v V %v"/><path class="grain" d="M 50,200 V 300"/><path class="edge neck" d="M 0,%v C 40,%v 70,30 80,0"/>
		<path class="edge shoulder" data-joins=%q d="M 80,0 L %v,%v"/><path class="edge armhole" data-joins="sleeve/cap-%s" d="M %s"/>
		<path class="edge side" data-joins=%q d="M %v,%v %s"/><path class="edge hem" d="M %v,%v C 80,%v 40,%v 0,%v"/><path class="notch" d="M %v,%v h 6"/></g>`,
			name, x, neck, neck, arm, side, hip, deep+length/2, deep+length/2+4, deep+length/2+4, deep+length/2+4,
			deep+length/2+4, neck, neck, neck, joins+"/shoulder", tip, slope, name, arm, joins+"/side", width, deep, side, hip, deep+length/2, deep+length/2+4, deep+length/2+4, deep+length/2+4,
			width-6, deep+100), long
	}
	pitch := draw("pitch", 0.7, 0.95) * tip
	front, frontArm := half("front", "back", 0, draw("front neck", 40, 100), pitch)
	back, backArm := half("back", "front", 500, draw("back neck", 10, 35), pitch+draw("back pitch", 0, 6))
	// Each half of the cap is a curve whose width is found for its length.
	high := draw("cap", 0.35, 0.6) * frontArm
	cap := func(long float64) float64 {
		lo, hi := 1.0, long
		for range 60 {
			mid := (lo + hi) / 2
			if curve.Path(halfCap(mid, high)).Length() < long {
				lo = mid
			} else {
				hi = mid
			}
		}
		return (lo + hi) / 2
	}
	// More than 8 % of a short armhole would count as gathers, which stay.
	f, b := cap(frontArm+draw("front ease", 0, math.Min(12, 0.07*frontArm))), cap(backArm+draw("back ease", 0, math.Min(12, 0.07*backArm)))
	wrist, under := draw("wrist", 0.5, 1), draw("under", 60, 420)
	sleeve := fmt.Sprintf(`<g id="sleeve" data-cut="2" data-mirrored="yes" transform="translate(1500,0)"><path class="seam" d="%s %s L %v,%v L %v,%v Z"/><path class="grain" d="M 0,%v v 40"/>
		<path class="edge cap-back" d="%s"/><path class="edge cap-front" d="%s"/>
		<path class="edge underarm-front" data-joins="sleeve/underarm-back" d="M %v,%v L %v,%v"/><path class="edge underarm-back" d="M %v,%v L %v,%v"/><path class="edge hem" d="M %v,%v L %v,%v"/></g>`,
		curve.Path(halfCap(-b, high)).Reverse().D(), strings.Replace(curve.Path(halfCap(f, high)).D(), "M0,0", "", 1), f*wrist, high+under, -b*wrist, high+under, high/2,
		curve.Path(halfCap(-b, high)).Reverse().D(), curve.Path(halfCap(f, high)).D(),
		f, high, f*wrist, high+under, -b*wrist, high+under, -b, high, f*wrist, high+under, -b*wrist, high+under)
	return pattern(front, back, sleeve)
}

// mostTakenMM is as far as a line of a random bodice may go into the garment's:
// a cap whose ease, up to 12 mm, is taken out, for an armhole that is shorter.
func mostTakenMM(o Options) float64 { return 6 + o.ArmholeUpMM }

// halfCap runs from the crown of a sleeve cap to its underarm.
func halfCap(wide, high float64) []curve.Segment {
	mid := orb.Point{wide * 0.55, high * 0.47}
	return []curve.Segment{
		curve.Cubic(orb.Point{0, 0}, orb.Point{wide * 0.22, 0}, orb.Point{wide * 0.4, high * 0.25}, mid),
		curve.Cubic(mid, orb.Point{wide * 0.7, high * 0.69}, orb.Point{wide * 0.8, high}, orb.Point{wide, high}),
	}
}

// Where a small armhole is raised far, whole steps swing about the answer: one
// bend goes to and fro by 5 mm.
func TestEqualWhereStepsSwing(t *testing.T) {
	more := map[string]float64{"tip": 0.85, "pitch": 0.95, "back pitch": 1, "front ease": 1, "back ease": 1}
	pieces := read(t, bodiceOf(func(what string, lo, _ float64) float64 { return cmp.Or(more[what], lo) }))
	l, err := Make(pieces, "p.svg", Options{EaseMM: 1, ArmholeUpMM: 18})
	require.NoError(t, err)
	equal(t, l.Pieces)
}

// Where the raised armhole of a child's cardigan leaves its bends flat, step after
// step gains a little, and the seams come to be equal all the same.
func TestEqualWhereStepsAreShort(t *testing.T) {
	pieces := sample(t, "cardigan-child")
	for _, up := range []float64{28, 30, 31, 32, 40} {
		o := usual
		o.ArmholeUpMM = up
		l, err := Make(pieces, "p.svg", o)
		require.NoError(t, err, "%v mm", up)
		equal(t, l.Pieces)
	}
}

// Whatever the measures, seams are equal, curves are curves, the neck stays, and
// the lining is the larger.
func TestRandomBodices(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		pieces := read(r, bodice(r))
		for _, w := range allowance.Walk(pieces) {
			if !w.EasesIn() {
				r.Skip("the sides of a short sleeve differ by so much that they count as gathered, which stays")
			}
		}
		o := Options{
			EaseMM: rapid.Float64Range(0, 12).Draw(r, "ease"), ArmholeUpMM: rapid.Float64Range(0, 18).Draw(r, "up"),
			HemUpMM: rapid.SampledFrom([]float64{0, 0, 20, 45}).Draw(r, "hem"), PleatMM: rapid.SampledFrom([]float64{0, 0, 20, 30}).Draw(r, "pleat"),
		}
		l, err := Make(pieces, "p.svg", o)
		require.NoError(r, err)
		equal(r, l.Pieces)
		require.Len(r, allowance.Walk(l.Pieces), 5)
		for _, p := range l.Pieces {
			was := named(r, pieces, p.Name)
			require.Equal(r, curves(was), curves(p))
			necks := was.Outline.Edge("neck")
			for i, at := range p.Outline.Edge("neck") {
				if o.PleatMM == 0 || p.Name != "back" {
					require.InDelta(r, was.Outline[necks[i]].Line.Length(), p.Outline[at].Line.Length(), 1e-3)
				}
			}
			// It holds the garment's piece but for what making seams equal took.
			ring := p.Outline.Ring()
			for _, q := range was.Outline.Ring() {
				if o.HemUpMM == 0 && o.PleatMM == 0 && !plane.Holds(ring, q) {
					require.Less(r, plane.ToRing(ring, q), mostTakenMM(o))
				}
			}
		}
	})
}
