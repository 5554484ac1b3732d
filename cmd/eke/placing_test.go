package main

import (
	"fmt"
	"html"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"eke/svg/placing"

	"github.com/stretchr/testify/require"
)

// The report's sheets of numbers say where the plan has the parts: each
// distance is that from the named edge or corner of the scrap to the named
// corner of the part, as it is printed.
func TestPlacingWithoutPrinting(t *testing.T) {
	for name, c := range map[string]struct {
		words  string
		unitMM float64
		unit   string
	}{
		"rectangles":           {"raglan-child.svg scraps.csv --options 1", 10, "cm"},
		"outlines":             {"cardigan.svg jumpers.svg --options 1", 10, "cm"},
		"rectangles in inches": {"tshirt.svg scraps.csv --options 1 --units in", 25.4, "in"},
		"outlines in inches":   {"raglan-child.svg scraps.svg --options 1 --units in", 25.4, "in"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			out, _ := planned(t, c.words)
			d := planIn(t, out)
			data, err := os.ReadFile(filepath.Join(out, "report.html"))
			require.NoError(t, err)
			page := html.UnescapeString(string(data))
			_, rest, found := strings.Cut(page, "Placing without printing")
			require.True(t, found)
			said := regexp.MustCompile(`([0-9./ ]+) `+c.unit+` from ([A-Z]+)`).FindAllStringSubmatch(rest, -1)
			parts := 0
			for _, s := range placing.Sheets(d, 0) {
				at := map[string][2]float64{}
				for _, k := range s.Corners {
					at[k.Name] = k.At
				}
				for _, p := range s.Parts {
					parts++
					for _, k := range p.Corners {
						for i := range k.MM {
							from := said[0][2]
							a := at[from[:1]]
							away := math.Hypot(k.At[0]-a[0], k.At[1]-a[1])
							if len(s.Edges) > 0 {
								b := at[from[1:]]
								away = math.Abs((b[0]-a[0])*(k.At[1]-a[1])-(b[1]-a[1])*(k.At[0]-a[0])) / math.Hypot(b[0]-a[0], b[1]-a[1])
							}
							require.InDelta(t, away, tapeMM(t, said[0][1], c.unitMM), 0.41, "%s, corner %s, %d", d.Options[0].Parts[p.Part].Name, k.Name, i)
							said = said[1:]
						}
					}
				}
			}
			require.Empty(t, said)
			require.Equal(t, len(d.Options[0].Parts), parts)
		})
	}
}

// tapeMM is a figure such as 12.35 or 4 7/32 in mm.
func tapeMM(t *testing.T, s string, unitMM float64) (mm float64) {
	for _, f := range strings.Fields(s) {
		over, under := f, "1"
		if a, b, ok := strings.Cut(f, "/"); ok {
			over, under = a, b
		}
		x, err := strconv.ParseFloat(over, 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(under, 64)
		require.NoError(t, err, fmt.Sprint(s))
		mm += x / y * unitMM
	}
	return mm
}
