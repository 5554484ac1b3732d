package svg

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
		"a print":                     {strings.Repeat(`<path d="M10 10H12V12H10Z"/>`, 41), 0, "s: 41 closed lines inside it have no known name, and are not read; name those hole or flaw that are"},
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
				require.Equal(t, []string{c.note}, s.Notes)
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

// Where it may be cloth or a hole it is asked for.
func TestUnnamedRefused(t *testing.T) {
	tests := []struct{ name, body, want string }{
		{"a bare line in another", `<path id="path1" d="M0 0V300H200V0Z"/><path id="path2" d="M20 20H40V40H20Z"/>`,
			`s.svg: path "path2": it lies inside the outline of path "path1", and no word says which of the two is cloth; name the cloth outline and what is missing from it hole, both in one group; draw scraps beside each other`},
		{"one that crosses itself", `<g id="navy">` + rim + `<path id="path7" d="M20 20L60 60H20L60 20Z"/></g>`,
			`s.svg: "navy", path "path7": this hole crosses or touches itself near x 40.0 mm, y 40.0 mm; redraw it as one line that never crosses itself; or hide or remove it, if it is only drawing`},
		{"one that parts the scrap", `<g id="navy">` + rim + `<path id="path7" d="M-20 20H220V40H-20Z"/></g>`,
			`s.svg: "navy", path "path7": the holes leave the scrap in 2 parts; draw each part as a scrap of its own; or hide or remove it, if it is only drawing`},
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
