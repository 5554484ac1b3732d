package split_test

import (
	"strings"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// Of a band that goes round the body with its grain along it no part is the upper, and
// its seams are pressed open; of one that hangs, or has its grain across, all is as of
// other pieces.
func TestPartsOfWhatGoesRound(t *testing.T) {
	along, across := `<path class="grain" d="M 20,20 h 100"/>`, `<path class="grain" d="M 20,10 v 20"/>`
	for name, c := range map[string]struct {
		band, grain, to string
		lines           []float64
		names           []string
		press           string
	}{
		"a waistband":            {"waistband", along, "waist", []float64{300}, []string{"first", "last"}, "open"},
		"one in three":           {"waistband", along, "waist", []float64{200, 400}, []string{"first", "middle", "last"}, "open"},
		"a band at the neck":     {"band", along, "neck", []float64{300}, []string{"first", "last"}, "open"},
		"one down the front":     {"band", along, "centre-front", []float64{300}, []string{"upper", "lower"}, "down, toward the lower part"},
		"a waistband cut across": {"waistband", across, "waist", []float64{20}, []string{"upper", "lower"}, "down, toward the lower part"},
		"a part of the body":     {"yoke", along, "waist", []float64{300}, []string{"upper", "lower"}, "down, toward the lower part"},
	} {
		t.Run(name, func(t *testing.T) {
			pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+
				`<g id="`+c.band+`"><path class="seam" d="M 0,0 h 600 v 40 h -600 Z"/>`+c.grain+`<path class="edge long" data-joins="body/`+c.to+`" d="M 0,40 h 600"/></g>`+
				`<g id="body"><path class="seam" d="M 0,100 h 600 v 300 h -600 Z"/><path class="grain" d="M 20,120 v 20"/><path class="edge `+c.to+`" d="M 0,100 h 600"/></g></svg>`), "p.svg")
			require.NoError(t, err)
			drawn := split.Copies(pieces)
			made, d := proved(t, cutting(drawn, c.band, func(p *piece.Piece, tree *split.Tree) {
				b := split.NewBody(p, p.Outline)
				for _, mm := range c.lines {
					require.NotZero(t, tree.ByHand(p, split.Yoke{}, b.Lo[1]+mm, 0))
				}
			}), drawn)
			var names []string
			for _, part := range made.Parts {
				if of, where, ok := strings.Cut(part.Name, "-"); ok && of == c.band {
					names = append(names, where)
				}
			}
			require.Equal(t, c.names, names)
			require.Equal(t, c.press, d.Options[0].PiecingSeams[0].Press)
		})
	}
}
