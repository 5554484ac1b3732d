package split_test

import (
	"strings"
	"testing"

	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever is joined to whatever, any drawing that can be read has an order or none.
func TestOrderOfAnyJoins(t *testing.T) {
	names := []string{"front", "back", "collar", "pocket", "facing", "strap"}
	edges := []string{"a", "b", "end", "neck", "hem", "centre"}
	read := 0
	rapid.Check(t, func(t *rapid.T) {
		var groups []string
		n := rapid.IntRange(2, len(names)).Draw(t, "pieces")
		drawn := map[string][]string{}
		var refs []string
		for _, name := range names[:n] {
			drawn[name] = rapid.SliceOfN(rapid.SampledFrom(edges), 4, 4).Draw(t, "edges")
			for _, e := range drawn[name][:3] { // the last may be the fold
				refs = append(refs, name+"/"+e)
			}
		}
		for i, name := range names[:n] {
			at := 0
			side := func(label string) string {
				edge := drawn[name][at]
				at++
				if rapid.Bool().Draw(t, label+" is joined") {
					return to(edge, rapid.SampledFrom(refs).Draw(t, label+" to"))
				}
				return edge
			}
			top, right, bottom := side("top"), side("right"), side("bottom")
			facts := rapid.SampledFrom([]string{"", `data-cut="2"`, pair, `data-cut="4" data-mirrored="yes"`}).Draw(t, "cut")
			left := side("left")
			if rapid.Bool().Draw(t, "fold") {
				left = "fold"
			}
			wide, high := rapid.SampledFrom([]int{50, 100, 200}).Draw(t, "wide"), rapid.SampledFrom([]int{50, 100, 200}).Draw(t, "high")
			groups = append(groups, oblong(name, facts, 500*i, wide, high, top, right, bottom, left))
		}
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="6000mm" viewBox="0 0 2000 6000">`+strings.Join(groups, "\n")+`</svg>`), "p.svg")
		if err != nil {
			return
		}
		read++
		copies := split.Copies(pieces)
		made, err := split.Make(cutting(copies, "", nil), 10)
		require.NoError(t, err)
		document(made, copies)
	})
	require.NotZero(t, read)
}
