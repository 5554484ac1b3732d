package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Unlike are copies in unlike looks, and not the parts of one.
func TestUnlikeOptional(t *testing.T) {
	part := func(copy int, look string) Part { return Part{Piece: "bag", Copy: copy, Look: look} }
	for name, c := range map[string]struct {
		copies int
		parts  []Part
		want   []string
	}{
		"cut once, pieced from two":        {1, []Part{part(1, "grape"), part(1, "mustard")}, nil},
		"one from each":                    {2, []Part{part(1, "Mustard"), part(2, "grape")}, []string{"bag: one from grape, another from mustard"}},
		"both from one":                    {2, []Part{part(1, "grape"), part(2, "Grape")}, nil},
		"one has no room":                  {2, []Part{part(2, "grape"), part(2, "mustard")}, nil},
		"both pieced from the same":        {2, []Part{part(1, "grape"), part(1, "mustard"), part(2, "mustard"), part(2, "grape")}, nil},
		"one of which is pieced from both": {2, []Part{part(1, "grape"), part(2, "mustard"), part(2, "grape")}, []string{"bag: one from grape, another from grape and mustard"}},
	} {
		d := &Document{Scraps: []Scrap{{Name: "a", Look: "grape"}, {Name: "b", Look: "mustard"}}}
		for k := range c.copies {
			d.Pieces = append(d.Pieces, Piece{Name: "bag", Copy: k + 1, Optional: true})
		}
		require.Equal(t, c.want, d.UnlikeOptional(&Option{Parts: c.parts}), name)
	}
}
