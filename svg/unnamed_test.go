package svg

import (
	"fmt"
	"strings"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const printNote = "s: more than 40 closed lines on it that are less than 20 mm wide and high have no known name, and none of them is read, such as path on line 1, path on line 1 and path on line 1; name those hole or flaw that are"

// A closed line inside a scrap is a hole, whatever a program called it, and that is
// said; an open line, the outline once more, a print and what is elsewhere are none.
func TestUnnamedHoles(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		inside string
		holes  int
		note   string
	}{
		"an id that a program gave":   {`<path id="path1018" d="M10 10H20V20H10Z"/>`, 1, `s: path "path1018", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"another language":            {`<circle id="Loch" cx="50" cy="50" r="5"/><path id="Fleck" d="M10 10H20V20H10Z"/>`, 2, `s: circle "Loch" and path "Fleck", closed lines without a known name, are taken for holes; name them hole or flaw, or hide or remove those that are none`},
		"beside a named one":          {`<path class="hole" d="M30 30H40V40H30Z"/><path id="x" d="M10 10H20V20H10Z"/>`, 2, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"a class that a program gave": {`<path class="cls-1" id="x" d="M10 10H20V20H10Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"a class of another language": {`<path class="Loch" id="x" d="M10 10H20V20H10Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"what eke draws":              {`<path class="tip" d="M10 10H20V20H10Z"/><g class="laid"><path d="M30 10H40V20H30Z"/></g>`, 0, ""},
		"an open line":                {`<path id="path3" d="M10 10H20V20"/>`, 0, `s.svg: not read, for they have no known name: s: path "path3". Name what is missing cloth hole`},
		"the outline once more":       {`<path id="path3" d="M0 0H100V100H0Z"/>`, 0, ""},
		"more than half of it":        {`<path id="path4" d="M5 5H95V95H5Z"/>`, 0, `s: path "path4", a closed line without a known name, takes up more than half of it and is not read; name it hole if there is no cloth within it`},
		"almost a name":               {`<path id="stain" d="M10 10H20V20H10Z"/>`, 1, `s: path "stain", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"two in one path":             {`<path id="x" d="M10 10H20V20H10Z M30 10H40V20H30Z"/>`, 2, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"many":                        {strings.Repeat(`<path class="Loch" d="M10 10H20V20H10Z"/>`, 5), 1, `s: path on line 1, "Loch", path on line 1, "Loch", path on line 1, "Loch" and 2 more, closed lines without a known name, are taken for holes; name them hole or flaw, or hide or remove those that are none`},
		"a bite out of the rim":       {`<path id="x" d="M90 10H120V20H90Z"/>`, 0, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"an arrow head":               {`<path id="x" d="M50 10L53 19H47Z"/>`, 0, `s.svg: not read, for they have no known name: s: path "x". Name what is missing cloth hole`},
		"beside it":                   {`<path id="x" d="M300 50L303 59H297Z"/>`, 0, `s.svg: not read, for they have no known name: s: path "x". Name what is missing cloth hole`},
		"a print":                     {strings.Repeat(`<path d="M10 10H12V12H10Z"/>`, 41), 0, printNote},
		"a large one on a print":      {strings.Repeat(`<path d="M10 10H12V12H10Z"/>`, 41) + `<path id="Loch" d="M20 20H45V45H20Z"/>`, 1, printNote + "\n" + `s: path "Loch", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"round, at the grain's end":   {`<circle id="x" cx="50" cy="12" r="5"/>`, 1, `s: circle "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"of many corners, there":      {`<path id="x" d="M50 10L53 12L54 15L53 18L50 19L47 18L46 15L47 12Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"an arrow's shaft":            {`<path id="x" d="M49 18V82H51V18Z"/>`, 0, `s.svg: not read, for they have no known name: s: path "x". Name what is missing cloth hole`},
		"a slit beside the grain":     {`<path id="x" d="M59 18V82H61V18Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"one that crosses itself":     {`<path id="x" d="M20 20L40 40H20L40 20Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"a star":                      {`<path id="x" d="M30 5L18 50L48 17H12L42 50Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"one with a spike":            {`<path id="x" d="M10 10H20V15H30H20V20H10Z"/>`, 1, `s: path "x", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`},
		"outside, along the rim":      {`<path id="x" d="M100 10H120V20H100Z"/>`, 0, `s.svg: not read, for they have no known name: s: path "x". Name what is missing cloth hole`},
		"a rim with a width":          {`<path id="x" d="M-1 -1H101V101H-1Z M1 1H99V99H1Z"/>`, 0, `s: path "x", a closed line without a known name, takes up more than half of it and is not read; name it hole if there is no cloth within it`},
	} {
		t.Run(name, func(t *testing.T) {
			s := readScraps(t, `<g id="s"><path class="outline" d="M0 0H100V100H0Z"/><path class="grain" d="M50 10V90"/>`+c.inside+`</g>`)[0]
			require.Len(t, s.Holes, c.holes)
			if name == "a bite out of the rim" {
				require.Len(t, s.Outline, 8)
			}
			if c.note == "" {
				require.Empty(t, s.Notes)
			} else {
				require.Equal(t, strings.Split(c.note, "\n"), s.Notes)
			}
		})
	}
}

// A V that opens on the outline and a slender line of four corners look like darts;
// labels, arrows and rectangles do not.
func TestUnnamedDarts(t *testing.T) {
	t.Parallel()
	for d, looks := range map[string]bool{
		"M40 200L50 120L60 200":        true,
		"M45 200L50 180L55 200":        true,
		"M50 40L56 90L50 150L44 90Z":   true,
		"M50 40L56 90L50 150L44 90":    false, // open
		"M40 190L50 120L60 190":        false, // not on the outline
		"M10 200L50 190L90 200":        false, // too wide
		"M30 30H70V40H30Z":             false,
		"M48 200L50 194L52 200":        false, // a notch
		"M50 40L56 90L50 250L44 90Z":   false, // not inside
		"M45 30L50 20L55 30":           false,
		"M40 200C45 150 55 150 60 200": false,
	} {
		notes := only(t, g(`id="f"`, fmt.Sprintf(`<path id="path7" d=%q/>`, d))).Notes
		if looks {
			require.Equal(t, []string{`f: path "path7" looks like a dart and has no known name, so it is not read; name it dart if it is one`}, notes, d)
		} else {
			require.Equal(t, []string{`p.svg: not read, for they have no known name: f: path "path7". Name each that is a notch, a dart, a level or the like so`}, notes, d)
		}
	}
}

const (
	rim       = `<path class="outline" d="M0 0V300H200V0Z"/>`
	rimsGrain = `<path class="grain" d="M100 250L100 50"/>`
)

// A hole that is drawn beside its scrap's group belongs to the scrap it lies in.
func TestUnnamedHoleBesideItsGroup(t *testing.T) {
	got := readScraps(t, `<g id="navy">`+rim+rimsGrain+`</g><g id="bit">`+strings.ReplaceAll(rim, "M0 0", "M500 0")+`</g><path id="path3" d="M20 20H40V40H20Z"/>`)
	require.Len(t, got, 2)
	assert.Len(t, got[0].Holes, 1)
	assert.Len(t, got[1].Holes, 0)
	for _, ungrouped := range []string{rim + `<path id="path3" d="M20 20H40V40H20Z"/>`, `<g>` + rim + `<path d="M20 20H40V40H20Z"/></g>`} {
		got = readScraps(t, ungrouped)
		require.Len(t, got, 1)
		assert.Len(t, got[0].Holes, 1)
	}
}

// A scrap with a name that is drawn in the hole of another is a scrap.
func TestScrapInANamedHole(t *testing.T) {
	got := readScraps(t, `<g id="navy">`+rim+rimsGrain+`<path class="hole" d="M10 10H90V240H10Z"/></g><g id="red" data-fabric="wool"><path id="path2" d="M20 20H40V40H20Z"/></g>`)
	require.Len(t, got, 2)
	assert.Equal(t, "red", got[1].Name)
	assert.Equal(t, "wool", got[1].Fabric)
	// A group that holds the scrap too is no name of what lies in it.
	got = readScraps(t, `<g id="pile" data-fabric="wool"><g id="navy">`+rim+rimsGrain+`</g><path id="path2" d="M20 20H40V40H20Z"/></g>`)
	require.Len(t, got, 1)
	assert.Len(t, got[0].Holes, 1)
}

// An arrow head is small, whatever the grainline's length, and a shaft lies along it.
func TestArrow(t *testing.T) {
	a := arrow{from: orb.Point{0, 0}, to: orb.Point{0, 500}, longMM: 500}
	for d, want := range map[string]bool{
		"M0 0L14 28H-14Z":         true,
		"M-20 -20H20V20H-20Z":     false, // too large
		"M0 100L14 128H-14Z":      false, // not at an end
		"M-2 20V480H2V20Z":        true,
		"M-2 20V200H2V20Z":        false, // too short
		"M-20 20V480H20V20Z":      false, // too wide
		"M-2 20V250Q9 350 2 480Z": false, // bent
	} {
		subs, err := parsePath(d, 100)
		require.NoError(t, err)
		assert.Equal(t, want, a.drawnBy(subs[0].line, distinct(subs[0].line.Flatten(scrapFlattenMM))), d)
	}
}

// The hole of a star is all that is within its points.
func TestOuterRim(t *testing.T) {
	s := readScraps(t, `<g id="s"><path class="outline" d="M0 0H100V100H0Z"/><path id="x" d="M20 20L40 40H20L40 20Z"/></g>`)[0]
	require.Len(t, s.Holes, 1)
	assert.InDelta(t, 200, plane.SignedArea(s.Holes[0]), 25, "two triangles, 20 wide and 10 high, and 0.2 mm round them")
	assert.Greater(t, plane.SignedArea(s.Holes[0]), 200.0)
	for _, q := range []orb.Point{{20, 20}, {40, 40}, {20, 40}, {40, 20}} {
		assert.True(t, planar.RingContains(s.Holes[0], q), q)
	}
}

// Of a scribble of very many corners no rim is looked for, as that may take minutes.
func TestScribbleOfManyCorners(t *testing.T) {
	var d strings.Builder
	for i := range 300 {
		fmt.Fprintf(&d, "L%d %d", 10+i*37%80, 10+i*53%80)
	}
	_, err := ReadScraps(strings.NewReader(sheet(`<g id="s"><path class="outline" d="M0 0H100V100H0Z"/><path id="x" d="M20 20`+d.String()+`Z"/></g>`)), "s.svg")
	require.ErrorContains(t, err, "this hole crosses or touches itself")
	require.ErrorContains(t, err, onlyDrawing)
}

// Two lines of thousands of points that lie within each other's box are refused before
// every side of one is compared with every side of the other.
func TestUnnamedTooManyPairs(t *testing.T) {
	t.Parallel()
	comb := func(x0, y0, dx float64) string {
		var b strings.Builder
		for i := range 9000 {
			fmt.Fprintf(&b, "L%.4f %.4f", x0+dx*float64(i), y0+10*float64(i%2))
		}
		return b.String()
	}
	for name, body := range map[string]string{
		"in its group": `<g id="navy"><path class="outline" d="M0 0H900V800` + comb(900, 800, -.1) + `V800Z"/><path id="x" d="M10 500` + comb(10, 795, .097) + `V500Z"/></g>`,
		"beside it":    `<g id="navy"><path class="outline" d="M0 0H900V800` + comb(900, 800, -.1) + `V800Z"/></g><path id="x" d="M10 500` + comb(10, 795, .097) + `V500Z"/>`,
	} {
		_, err := ReadScraps(strings.NewReader(sheet(body)), "s.svg")
		require.ErrorContains(t, err, "simplify their paths", name)
	}
}

const besideEachOther = "name the cloth outline and what is missing from it hole, both in one group; draw scraps beside each other"

// Where it may be cloth or a hole it is asked for.
func TestUnnamedRefused(t *testing.T) {
	tests := []struct{ name, body, want string }{
		{"a bare line in another", `<path id="path1" d="M0 0V300H200V0Z"/><path id="path2" d="M20 20H40V40H20Z"/>`,
			`s.svg: path "path2": it lies inside the outline of path "path1", and no word says which of the two is cloth; name the cloth outline and what is missing from it hole, both in one group; draw scraps beside each other`},
		{"one that parts the scrap", `<g id="navy">` + rim + `<path id="path7" d="M-20 20H220V40H-20Z"/></g>`,
			`s.svg: "navy", path "path7": the holes leave the scrap in 2 parts; draw each part as a scrap of its own; or hide or remove it, if it is only drawing`},
		{"one that parts it beside a named hole", `<g id="navy">` + rim + `<circle class="hole" id="hole1" cx="50" cy="200" r="10"/><path id="path7" d="M-20 20H220V40H-20Z"/></g>`,
			`s.svg: "navy", path "path7": the holes leave the scrap in 2 parts; draw each part as a scrap of its own; or hide or remove it, if it is only drawing`},
		{"a named one that parts it beside an unnamed", `<g id="navy">` + rim + `<path class="hole" id="hole1" d="M-20 20H220V40H-20Z"/><circle id="path7" cx="50" cy="200" r="12"/></g>`,
			`s.svg: "navy", path "hole1": the holes leave the scrap in 2 parts; draw each part as a scrap of its own`},
		{"a group with a name in another", `<g id="navy">` + rim + `</g><g id="red"><path id="path2" d="M20 20H40V40H20Z"/></g>`,
			`s.svg: path "path2": it lies inside the outline of "navy" and has a name or facts of its own, and no word says whether it is a scrap or missing from that one; ` + besideEachOther},
		{"facts in another", `<g id="navy">` + rim + `</g><g><desc>fabric: wool</desc><path id="path2" d="M20 20H40V40H20Z"/></g>`,
			`s.svg: path "path2": it lies inside the outline of "navy" and has a name or facts of its own, and no word says whether it is a scrap or missing from that one; ` + besideEachOther},
		{"half in a named hole", `<g id="navy">` + rim + `<path class="hole" d="M10 10H30V100H10Z"/></g><path id="path2" data-fabric="wool" d="M20 20H40V40H20Z"/>`,
			`s.svg: path "path2": it lies inside the outline of "navy" and has a name or facts of its own, and no word says whether it is a scrap or missing from that one; ` + besideEachOther},
		{"one beside its group that crosses itself", `<g id="navy">` + rim + `</g><path id="path7" d="M20 20L60 60H20L60 20Z"/>`,
			`s.svg: "path7", path "path7": this outline crosses or touches itself near x 40.0 mm, y 40.0 mm; redraw it as one line that never crosses itself; or hide or remove it, if it is only drawing`},
		{"a frame", `<rect id="page" x="-5" y="-5" width="400" height="400"/><g id="navy">` + rim + `</g>`,
			`s.svg: rect "page": the scrap "navy" lies inside it, and no word says which of the two is cloth; ` + besideEachOther + `; or hide or remove it, if it is only drawing`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadScraps(strings.NewReader(sheet(tt.body)), "s.svg")
			require.Error(t, err)
			assert.Equal(t, tt.want, err.Error())
		})
	}
}

// What no word speaks of in a pattern is named once for the file, the first of each
// piece: a notch or a dart may have lost its name. What is drawn outside a piece's
// group, words, and what is noted as almost named, are not.
func TestUnnamedMarks(t *testing.T) {
	got := readPattern(t, g(`id="front"`, `<path id="path77" d="M0 50H4"/><path class="thin" d="M0 60H4"/><path id="notches" d="M0 0H3"/><text>front</text>`)+
		g(`id="back"`, `<path id="line9" d="M0 70H100"/><path id="path78" d="M0 0H3"/><path id="path79" d="M0 0H3"/><path id="path80" d="M0 0H3"/><path id="path81" d="M0 0H3"/>`)+
		g(`id="sleeve"`, ``)+`<path id="path82" d="M0 0H3"/>`)
	require.Len(t, got, 3)
	assert.Equal(t, []string{
		`front: path "notches" is not read as a mark; name it notch if it is one`,
		`p.svg: not read, for they have no known name: front: path "path77" and path on line 1, "thin"; back: path "line9", path "path78", path "path79" and 2 more. Name each that is a notch, a dart, a level or the like so`,
	}, got[0].Notes)
	assert.Empty(t, got[1].Notes)
	assert.Contains(t, strings.Join(only(t, square+grain+`<path id="path77" d="M0 50H4"/>`).Notes, " "), `path "path77"`, "without a group")
}
