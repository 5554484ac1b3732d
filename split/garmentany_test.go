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
		side := func(label string) string {
			edge := rapid.SampledFrom(edges).Draw(t, label)
			if rapid.Bool().Draw(t, label+" is joined") {
				return to(edge, rapid.SampledFrom(names[:n]).Draw(t, label+" piece")+"/"+rapid.SampledFrom(edges).Draw(t, label+" to"))
			}
			return edge
		}
		for i, name := range names[:n] {
			facts := rapid.SampledFrom([]string{"", `data-cut="2"`, pair, `data-cut="4" data-mirrored="yes"`}).Draw(t, "cut")
			left := side("left")
			if rapid.Bool().Draw(t, "fold") {
				left = "fold"
			}
			wide, high := rapid.SampledFrom([]int{50, 100, 200}).Draw(t, "wide"), rapid.SampledFrom([]int{50, 100, 200}).Draw(t, "high")
			groups = append(groups, oblong(name, facts, 500*i, wide, high, side("top"), side("right"), side("bottom"), left))
		}
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="6000mm" viewBox="0 0 2000 6000">`+strings.Join(groups, "\n")+`</svg>`), "p.svg")
		if err != nil {
			return
		}
		read++
		drawn := split.Copies(pieces)
		made, err := split.Make(cutting(drawn, "", nil), 10)
		require.NoError(t, err)
		document(made, drawn)
	})
	require.NotZero(t, read)
}
