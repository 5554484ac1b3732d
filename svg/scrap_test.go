package svg

import (
	"strconv"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func readScraps(t require.TestingT, body string) []piece.Scrap {
	got, err := ReadScraps(strings.NewReader(sheet(body)), "s.svg")
	require.NoError(t, err)
	return got
}

func TestScrap(t *testing.T) {
	got := readScraps(t, `<g id="navy" data-fabric="navy" data-kind="Knit" data-nap="yes" data-face="both" data-count="2" data-note="from a dress" data-colour="#123" data-use="lining" data-look="blue">
		<path id="outline" d="M0 0V300H200V0Z"/><path class="grain" d="M100 250L100 50"/>
		<circle class="hole" cx="50" cy="50" r="10"/><rect id="flaw-2" x="100" y="100" width="20" height="30"/></g>
	<g id="g3" inkscape:label="cream"><desc>fabric: cream
kind: woven
color: ivory</desc><rect class="outline" x="300" width="50" height="60"/></g>
	<rect id="end" y="500" width="70" height="80"/>`)
	require.Len(t, got, 3)
	s := got[0]
	assert.Equal(t, orb.Ring{{200, 0}, {200, 300}, {0, 300}, {0, 0}}, s.Outline, "turned clockwise")
	assert.Equal(t, "navy s.svg navy knit lining from a dress #123", strings.Join([]string{s.Name, s.File, s.Fabric, s.Kind, s.Use, s.Note, s.Colour}, " "))
	assert.Equal(t, "blue", s.TheLook())
	assert.True(t, s.Nap)
	assert.True(t, s.BothFaces)
	assert.Equal(t, 2, s.Count)
	assert.Equal(t, -90.0, s.GrainDeg)
	require.Len(t, s.Holes, 2)
	assert.InDelta(t, 314.159, plane.SignedArea(s.Holes[0]), 0.5)
	assert.Equal(t, []string{"s.svg: no grainline on cream, end: the grain is taken as vertical"}, s.Notes)
	s = got[1]
	assert.Equal(t, "cream cream woven ivory", strings.Join([]string{s.Name, s.Fabric, s.Kind, s.Colour}, " "))
	assert.Equal(t, 90.0, s.GrainDeg)
	assert.Equal(t, 1, s.Count)
	assert.Empty(t, s.Notes)
	assert.Equal(t, "end", got[2].Name)
	assert.Empty(t, got[2].Notes)
}

// A curve of a scrap is flattened to a hundredth of a millimetre.
func TestScrapFlattening(t *testing.T) {
	s := readScraps(t, `<g id="disc"><circle class="outline" cx="500" cy="500" r="400"/></g>`)[0]
	for i, a := range s.Outline {
		b := s.Outline[(i+1)%len(s.Outline)]
		mid := orb.Point{(a[0]+b[0])/2 - 500, (a[1]+b[1])/2 - 500}
		assert.InDelta(t, 400, plane.Distance(mid, orb.Point{}), scrapFlattenMM)
	}
	assert.Less(t, len(s.Outline), 500)
}

func TestHoles(t *testing.T) {
	hole := func(d string) piece.Scrap {
		return readScraps(t, `<g id="s"><path class="outline" d="M0 0H100V100H0Z"/>`+d+`</g>`)[0]
	}
	tests := []struct {
		name, d      string
		holes        int
		area, corner float64 // and how many corners the outline has
	}{
		{"inside", `<path class="hole" d="M10 10H20V20H10Z"/>`, 1, 9900, 4},
		{"a bite", `<path class="hole" d="M90 10H110V20H90Z"/>`, 0, 9900, 8},
		{"a bite at a corner", `<path class="hole" d="M90 -10H110V10H90Z"/>`, 0, 9900, 6},
		{"along the rim from inside", `<path class="hole" d="M90 10H100V20H90Z"/>`, 0, 9900, 8},
		{"a corner on the rim", `<path class="hole" d="M100 50L90 60L80 50L90 40Z"/>`, 1, 9800, 0},
		{"two apart", `<path class="hole" d="M10 10H20V20H10Z"/><path class="flaw" d="M30 10H40V20H30Z"/>`, 2, 9800, 4},
		{"two that overlap", `<path class="hole" d="M10 10H20V20H10Z"/><path class="hole" d="M15 10H25V20H15Z"/>`, 1, 9850, 4},
		{"one within the other", `<path class="hole" d="M10 10H40V40H10Z"/><path class="hole" d="M15 10H25V20H15Z"/>`, 1, 9100, 4},
		{"two that share a side", `<path class="hole" d="M10 10H20V20H10Z"/><path class="hole" d="M20 10H30V20H20Z"/>`, 1, 9800, 4},
		{"the same twice", `<path class="hole" d="M10 10H20V20H10Z"/><path class="hole" d="M10 10H20V20H10Z"/>`, 1, 9900, 4},
		{"outside, touching", `<path class="hole" d="M100 10H120V20H100Z"/>`, 0, 10000, 6},
		{"a band that leaves one end too small to use", `<path class="hole" d="M-5 95H105V99.5H-5Z"/>`, 0, 9500, 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := hole(tt.d)
			if tt.name != "a corner on the rim" { // which may be a hole or a bite
				assert.Len(t, s.Holes, tt.holes)
				assert.Len(t, s.Outline, int(tt.corner))
			}
			assert.InDelta(t, tt.area, s.AreaMM2(), 1e-6)
			assert.Positive(t, plane.SignedArea(s.Outline))
		})
	}
}

// Cloth and its holes: what is left has the area that is left, whatever the
// holes do to each other and to the rim.
func TestRandomHoles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Squares on a grid touch, overlap and cross the rim often; their union
		// is counted cell by cell.
		body := `<g id="s"><path class="outline" d="M0 0H100V100H0Z"/>`
		var gone [10][10]bool
		for range rapid.IntRange(1, 6).Draw(t, "holes") {
			x, y := rapid.IntRange(0, 9).Draw(t, "x"), rapid.IntRange(0, 9).Draw(t, "y")
			w, h := rapid.IntRange(1, 4).Draw(t, "w"), rapid.IntRange(1, 4).Draw(t, "h")
			body += `<rect class="hole" x="` + strconv.Itoa(10*x) + `" y="` + strconv.Itoa(10*y) + `" width="` + strconv.Itoa(10*w) + `" height="` + strconv.Itoa(10*h) + `"/>`
			for i := x; i < min(10, x+w); i++ {
				for j := y; j < min(10, y+h); j++ {
					gone[i][j] = true
				}
			}
		}
		left := 0.0
		for _, column := range gone {
			for _, cell := range column {
				if !cell {
					left += 100
				}
			}
		}
		got, err := ReadScraps(strings.NewReader(sheet(body+`</g>`)), "s.svg")
		if err != nil {
			if !strings.Contains(err.Error(), "draw each part as a scrap of its own") {
				t.Fatal(err)
			}
			return
		}
		if a := got[0].AreaMM2(); a < left-1e-6 || a > left+1e-6 {
			t.Fatalf("%g mm² are left, not %g", a, left)
		}
	})
}

func TestScrapErrors(t *testing.T) {
	s := func(attributes, more string) string {
		return `<g id="s" ` + attributes + `><path id="outline" d="M0 0H100V100H0Z"/>` + more + `</g>`
	}
	tests := []struct{ name, body, want string }{
		{"nothing", ``, "s.svg: no scrap found; draw each scrap as a closed shape named outline"},
		{"two of a name", s(``, ``) + s(``, ``), `s.svg: "s": two scraps have this name; rename one`},
		{"two outlines", s(``, `<path id="outline-2" d="M0 0H9V9Z"/>`), `"s", path "outline-2": a second outline; put each scrap in a group of its own`},
		{"holes in the outline's path", `<g id="s"><path id="outline" d="M0 0H99V99Z M9 9H20V20Z"/></g>`, `this outline is 2 lines in one path; break the path apart, and name what is cut out of the cloth hole`},
		{"a pattern", `<g id="front"><path class="seam" d="M0 0H90V90H0Z"/><path class="grain" d="M9 9V80"/></g>`, `this grain belongs to no scrap: its group has no outline; this is a pattern; give it before the scraps`},
		{"a stray hole", s(``, ``) + `<circle id="hole" r="5"/>`, `circle "hole": this hole belongs to no scrap: its group has no outline`},
		{"an open outline", `<g id="s"><path id="outline" d="M0 0H99V99"/></g>`, `this outline is open; close the path in the drawing`},
		{"an open hole", s(``, `<path id="hole" d="M10 10H20V20"/>`), `path "hole": this hole is open`},
		{"no area", `<g id="s"><path id="outline" d="M0 0H99Z"/></g>`, `this outline encloses no area`},
		{"as much on either side", `<g id="s"><path id="outline" d="M0 0L100 100V0L0 100Z"/></g>`, `this outline crosses or touches itself near x 50.0 mm, y 50.0 mm`},
		{"a figure of eight", `<g id="s"><path id="outline" d="M0 0L100 100V0L0 90Z"/></g>`, `this outline crosses or touches itself near`},
		{"touches itself", `<g id="s"><path id="outline" d="M0 0H100V100H60L50 0L40 100H0Z"/></g>`, `this outline crosses or touches itself near`},
		{"a spike", `<g id="s"><path id="outline" d="M0 0H100V50H150H100V100H0Z"/></g>`, `this outline has a hairline spike at x 150.0 mm, y 50.0 mm; delete that point`},
		{"too large", `<g id="s"><path id="outline" d="M0 0H30000V9Z"/></g>`, `a point lies more than 20 m from the page; check the drawing's units and scale`},
		{"too many points", `<g id="s"><path id="outline" d="M0 0` + strings.Repeat("l.1 9 .1-9", 12000) + `V500Z"/></g>`, `this outline has 24003 points; simplify the path to under 20000`},
		{"a hole outside", s(``, `<circle id="hole" cx="300" r="5"/>`), `"s", circle "hole": the hole lies outside the scrap`},
		{"cut in two", s(``, `<path id="hole" d="M40 -5H60V105H40Z"/>`), `the holes leave the scrap in 2 parts; draw each part as a scrap of its own`},
		{"all hole", s(``, `<path id="hole" d="M-5 -5H105V105H-5Z"/>`), `the holes leave nothing of the scrap; draw each part`},
		{"two grains", s(``, `<path id="grain" d="M9 9V50"/><path id="grain-2" d="M9 9V50"/>`), `"s", path "grain-2": a second grainline; keep one`},
		{"a grain with no length", s(``, `<path id="grain" d="M9 9h.5"/>`), `path "grain": the grainline has no length`},
		{"a curved grain", s(``, `<path id="grain" d="M9 9Q20 20 9 50"/>`), `the grainline is curved`},
		{"count: 0", s(`data-count="0"`, ``), `count: 0: it is not a whole number from 1 up; write for example count: 2`},
		{"use", s(`data-use="patches"`, ``), `use: patches: it is not lining; write use: lining, or nothing`},
		{"kind", s(`data-kind="felt"`, ``), `kind: felt: it is neither knit nor woven; write kind: knit or kind: woven`},
		{"nap", s(`data-nap="some"`, ``), `nap: some: it is neither yes nor no`},
		{"face", s(`data-face="left"`, ``), `face: left: it is neither one nor both; write face: one or face: both`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ReadScraps(strings.NewReader(sheet(tt.body)), "s.svg")
			require.Error(t, err)
			assert.Contains(t, err.Error(), tt.want)
			var known *piece.Error
			require.ErrorAs(t, err, &known)
			assert.NotEmpty(t, known.Cure)
		})
	}
}

// A stain that is not called a flaw is noted, in the scrap or beside it.
func TestScrapUnread(t *testing.T) {
	got := readScraps(t, `<g id="navy" data-fabrik="navy" data-quantity="2"><path class="outline" d="M0 0V300H200V0Z"/><path class="grain" d="M100 250L100 50"/>
		<path class="stain" d="M10 10H20V20H10Z"/><path id="holes-2" d="M30 10H40V20H30Z"/><path class="tear-1" d="M50 10H60V20H50Z"/><path class="fold" d="M50 10H60"/></g>`)
	require.Len(t, got, 1)
	assert.Equal(t, []string{
		`navy: path on line 2, "stain", path "holes-2" and path on line 2, "tear-1", closed lines without a known name, are taken for holes; name them hole or flaw, or hide or remove those that are none`,
		`navy: "data-fabrik" of g "navy" is not read; write data-fabric`,
		`navy: "data-quantity" of g "navy" is not read; write data-count`,
		`s.svg: not read, for they have no known name: navy: path on line 2, "fold". Name what is missing cloth hole`,
	}, got[0].Notes)
	require.Len(t, got[0].Holes, 3)
	got = readScraps(t, `<g id="navy"><path class="outline" d="M0 0V300H200V0Z"/><path class="grain" d="M100 250L100 50"/></g><path id="stain" d="M10 10H20V20H10Z"/>`)
	require.Len(t, got, 1)
	require.Len(t, got[0].Holes, 1)
	assert.Contains(t, got[0].Notes, `navy: path "stain", a closed line without a known name, is taken for a hole; name it hole or flaw, or hide or remove it if it is none`)
	got = readScraps(t, `<g id="navy"><path class="outline" d="M0 0V300H200V0Z"/><path class="grain" d="M100 250L100 50"/></g><path id="stain" d="M310 10H320V20H310Z"/>`)
	require.Len(t, got, 2)
	assert.Contains(t, got[1].Notes, `stain: path "stain" is taken as a scrap of its own; if it is a flaw, name it so and group it with its scrap`)
}
