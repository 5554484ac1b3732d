package svg

import (
	"fmt"
	"strings"
	"testing"

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
		"an id that a program gave":   {`<path id="path1018" d="M10 10H20V20H10Z"/>`, 1, `s: path "path1018", a closed line inside it without a known name, is taken for a hole; name it hole or flaw, or move it out of its group if it is none`},
		"another language":            {`<circle id="Loch" cx="50" cy="50" r="5"/><path id="Fleck" d="M10 10H20V20H10Z"/>`, 2, `s: circle "Loch", path "Fleck", closed lines inside it without a known name, are taken for holes; name them hole or flaw, or move those out of its group that are none`},
		"beside a named one":          {`<path class="hole" d="M30 30H40V40H30Z"/><path id="x" d="M10 10H20V20H10Z"/>`, 2, `s: path "x", a closed line inside it without a known name, is taken for a hole; name it hole or flaw, or move it out of its group if it is none`},
		"a class that a program gave": {`<path class="cls-1" id="x" d="M10 10H20V20H10Z"/>`, 1, `s: path "x", a closed line inside it without a known name, is taken for a hole; name it hole or flaw, or move it out of its group if it is none`},
		"a class of its own":          {`<path class="tip" d="M10 10H20V20H10Z"/><g class="laid"><path d="M30 10H40V20H30Z"/></g>`, 0, ""},
		"an open line":                {`<path id="path3" d="M10 10H20V20"/>`, 0, ""},
		"the outline once more":       {`<path id="path3" d="M0 0H100V100H0Z"/><path id="path4" d="M5 5H95V95H5Z"/>`, 0, ""},
		"over the rim":                {`<path id="path3" d="M90 10H120V20H90Z"/>`, 0, ""},
		"a print":                     {strings.Repeat(`<path d="M10 10H12V12H10Z"/>`, 41), 0, "s: 41 closed lines inside it have no known name, and are not read; name those hole or flaw that are"},
	} {
		t.Run(name, func(t *testing.T) {
			s := readScraps(t, `<g id="s"><path class="outline" d="M0 0H100V100H0Z"/><path class="grain" d="M50 10V90"/>`+c.inside+`</g>`)[0]
			require.Len(t, s.Holes, c.holes)
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
		"M50 40L56 90L50 150L44 90Z":   true,
		"M50 40L56 90L50 150L44 90":    false, // open
		"M40 190L50 120L60 190":        false, // not on the outline
		"M10 200L50 190L90 200":        false, // too wide
		"M30 30H70V40H30Z":             false,
		"M50 40L56 90L50 250L44 90Z":   false, // not inside
		"M45 30L50 20L55 30":           false,
		"M40 200C45 150 55 150 60 200": false,
	} {
		notes := only(t, g(`id="f"`, fmt.Sprintf(`<path id="path7" d=%q/>`, d))).Notes
		if looks {
			require.Equal(t, []string{`f: path "path7" looks like a dart and has no known name, so it is not read; name it dart if it is one`}, notes, d)
		} else {
			require.Empty(t, notes, d)
		}
	}
}
