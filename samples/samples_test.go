// Package samples holds patterns and scraps to try. Its tests ask whether
// the files are what README.md says: well-formed, and with edges that can be
// sewn together because they are equally long.
package samples

import (
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"eke/piece/race"
	"eke/svg/viewer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// element is as much of an SVG element as measuring it takes.
type element struct {
	XMLName  xml.Name
	ID       string    `xml:"id,attr"`
	Class    string    `xml:"class,attr"`
	Label    string    `xml:"http://www.inkscape.org/namespaces/inkscape label,attr"`
	D        string    `xml:"d,attr"`
	Points   string    `xml:"points,attr"`
	Children []element `xml:",any"`
	Text     string    `xml:",chardata"`
}

func (e element) title() string {
	for _, c := range e.Children {
		if c.XMLName.Local == "title" {
			return c.Text
		}
	}
	return ""
}

func (e element) edgeName() (string, bool) {
	for _, mark := range []string{e.Class, strings.ReplaceAll(e.ID, "-", " "), e.Label} {
		words := strings.Fields(mark)
		if len(words) > 1 && words[0] == "edge" {
			return words[1], true
		}
	}
	return "", false
}

// edges is the length in mm of each edge, by "piece/edge", where a group's
// label, id and title each count as the piece's name. A browser measures them.
func edges(t *testing.T, file string) map[string]float64 {
	t.Helper()
	if known, ok := measured[file]; ok {
		return known
	}
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	var root element
	require.NoError(t, xml.Unmarshal(data, &root))

	var names [][]string
	var drawn []string
	var walk func(element)
	walk = func(g element) {
		for _, c := range g.Children {
			if c.XMLName.Local == "g" {
				walk(c)
				continue
			}
			name, ok := c.edgeName()
			if !ok {
				continue
			}
			var as []string
			for _, piece := range []string{g.Label, g.ID, g.title()} {
				if piece != "" {
					as = append(as, piece+"/"+name)
				}
			}
			names, drawn = append(names, as), append(drawn, c.D)
		}
	}
	walk(root)
	lengths := map[string]float64{}
	for i, path := range viewer.Measure(t, 1, drawn...) {
		for _, name := range names[i] {
			lengths[name] = path.Length
		}
	}
	measured[file] = lengths
	return lengths
}

// measured is what was measured before, by file.
var measured = map[string]map[string]float64{}

// dartMouth is how far apart the two legs of a dart start, in mm.
func dartMouth(t *testing.T, file, id string) float64 {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	var root element
	require.NoError(t, xml.Unmarshal(data, &root))

	mouth := math.NaN()
	var walk func(element)
	walk = func(e element) {
		if e.ID == id {
			var v []float64
			for _, f := range strings.FieldsFunc(e.Points, func(r rune) bool { return r == ' ' || r == ',' }) {
				x, err := strconv.ParseFloat(f, 64)
				require.NoError(t, err)
				v = append(v, x)
			}
			require.Len(t, v, 6, "a dart is leg, apex, leg")
			mouth = math.Hypot(v[4]-v[0], v[5]-v[1])
		}
		for _, c := range e.Children {
			walk(c)
		}
	}
	walk(root)
	require.False(t, math.IsNaN(mouth), "%s: no dart %q", file, id)
	return mouth
}

func TestJoinedEdgesAreEquallyLong(t *testing.T) {
	race.SkipAlone(t)
	for _, tc := range []struct {
		file, a, b string
		easeMM     float64 // a is longer by this
		withinMM   float64
	}{
		{"tshirt.svg", "front/shoulder", "back/shoulder", 0, 0.1},
		{"tshirt.svg", "front/side", "back/side", 0, 0.5},
		{"tshirt.svg", "sleeve/cap-front", "front/armhole", 2, 0.5},
		{"tshirt.svg", "sleeve/cap-back", "back/armhole", 2, 0.5},
		{"tshirt.svg", "sleeve/underarm-front", "sleeve/underarm-back", 0, 0.5},
		{"tshirt.svg", "neckband/end-left", "neckband/end-right", 0, 0.1},
		{"raglan-child.svg", "front/raglan", "sleeve/raglan-front", 0, 0.5},
		{"raglan-child.svg", "back/raglan", "sleeve/raglan-back", 0, 0.5},
		{"raglan-child.svg", "front/side", "back/side", 0, 0.5},
		{"raglan-child.svg", "sleeve/underarm-front", "sleeve/underarm-back", 0, 0.5},
		{"raglan-child.svg", "cuff/end-left", "cuff/end-right", 0, 0.1},
		{"tshirt-child.svg", "front/shoulder", "back/shoulder", 0, 0.1},
		{"tshirt-child.svg", "front/side", "back/side", 0, 0.1},
		{"tshirt-child.svg", "sleeve/cap-front", "front/armhole", 1, 0.1},
		{"tshirt-child.svg", "sleeve/cap-back", "back/armhole", 1, 0.1},
		{"tshirt-child.svg", "sleeve/underarm-front", "sleeve/underarm-back", 0, 0.1},
		{"tshirt-child.svg", "neckband/end-left", "neckband/end-right", 0, 0.1},
		{"cardigan.svg", "front/shoulder", "back/shoulder", 0, 0.1},
		{"cardigan.svg", "front/side", "back/side", 0, 0.1},
		{"cardigan.svg", "sleeve/cap-front", "front/armhole", 2, 0.5},
		{"cardigan.svg", "sleeve/cap-back", "back/armhole", 2, 0.5},
		{"cardigan.svg", "sleeve/underarm-front", "sleeve/underarm-back", 0, 0.1},
		{"cardigan.svg", "band/neck-back", "back/neck", 0, 0.1},
		{"cardigan.svg", "band/neck-front", "front/neck", 0, 0.1},
		{"cardigan.svg", "band/centre-front", "front/centre-front", 0, 0.1},
		{"cardigan-child.svg", "front/shoulder", "back/shoulder", 0, 0.1},
		{"cardigan-child.svg", "front/side", "back/side", 0, 0.1},
		{"cardigan-child.svg", "sleeve/cap-front", "front/armhole", 1, 0.1},
		{"cardigan-child.svg", "sleeve/cap-back", "back/armhole", 1, 0.1},
		{"cardigan-child.svg", "sleeve/underarm-front", "sleeve/underarm-back", 0, 0.1},
		{"cardigan-child.svg", "band/neck-back", "back/neck", 0, 0.1},
		{"cardigan-child.svg", "band/neck-front", "front/neck", 0, 0.1},
		{"cardigan-child.svg", "band/centre-front", "front/centre-front", 0, 0.1},
		{"blouse.svg", "front/shoulder", "back/shoulder", 0, 0.1},
		{"blouse.svg", "collar/neck-front", "front/neck", 0, 0.5},
		{"blouse.svg", "collar/neck-back", "back/neck", 0, 0.5},
		{"blouse.svg", "front/side", "back/side", dartMouth(t, "blouse.svg", "dart-bust"), 0.5},
		// The facing gives its cutting line: 10 mm longer at either end.
		{"blouse.svg", "facing/centre-front", "front/centre-front", 20, 0.1},
	} {
		t.Run(tc.file+" "+tc.a, func(t *testing.T) {
			length := edges(t, tc.file)
			require.Contains(t, length, tc.a)
			require.Contains(t, length, tc.b)
			assert.Greater(t, length[tc.a], 10.0)
			assert.InDelta(t, length[tc.b]+tc.easeMM, length[tc.a], tc.withinMM)
		})
	}
}

func TestRoundTripsKeepEveryEdge(t *testing.T) {
	race.SkipAlone(t)
	for copied, original := range map[string]string{
		"tshirt-inkscape.svg":    "tshirt.svg",
		"tshirt-plain.svg":       "tshirt.svg",
		"tshirt-turned.svg":      "tshirt.svg",
		"tshirt-scour.svg":       "tshirt.svg",
		"raglan-child-scour.svg": "raglan-child.svg",
		"blouse-scour.svg":       "blouse.svg",
	} {
		t.Run(copied, func(t *testing.T) {
			want := edges(t, original)
			got := edges(t, filepath.Join("roundtrip", copied))
			require.NotEmpty(t, want)
			assert.Len(t, got, len(want))
			for edge, mm := range want {
				assert.InDelta(t, mm, got[edge], 0.05, edge)
			}
		})
	}
}

func TestFilesAreWellFormed(t *testing.T) {
	files, err := filepath.Glob("*.svg")
	require.NoError(t, err)
	copies, err := filepath.Glob("roundtrip/*.svg")
	require.NoError(t, err)
	files = append(files, copies...)
	require.GreaterOrEqual(t, len(files), 10)
	for _, file := range files {
		f, err := os.Open(file)
		require.NoError(t, err)
		defer f.Close()
		ids := map[string]bool{}
		for d := xml.NewDecoder(f); ; {
			token, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, file)
			start, ok := token.(xml.StartElement)
			if !ok {
				continue
			}
			for _, a := range start.Attr {
				if a.Name.Space == "" && a.Name.Local == "id" {
					assert.False(t, ids[a.Value], "%s: id %q twice", file, a.Value)
					assert.NotContains(t, a.Value, " ", "%s: an XML id holds no space", file)
					ids[a.Value] = true
				}
			}
		}
	}
}

// The pile makes one split necessary: no navy scrap is as long as the front
// (640 mm of seam line and a 20 mm hem are already too long), while the one
// long scrap is cream.
func TestScrapsAreTooShortForTheFront(t *testing.T) {
	f, err := os.Open("scraps.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	longest := map[string]float64{}
	for _, row := range rows[1:] {
		cm, err := strconv.ParseFloat(row[column["length_cm"]], 64)
		require.NoError(t, err)
		fabric := row[column["fabric"]]
		longest[fabric] = max(longest[fabric], 10*cm)
	}
	assert.Less(t, longest["navy"], 640.0)
	assert.Greater(t, longest["cream"], 672.0)
}
