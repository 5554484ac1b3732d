package wish

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

func TestAgainst(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		lines []string
		want  string
	}{
		"like and unlike":               {[]string{"back like front", "back unlike front"}, `the wishes "back like front" and "back unlike front" cannot both be kept: leave one out, or write prefer before it`},
		"the other way round":           {[]string{"front unlike back", "Back like front"}, `the wishes "back like front" and "front unlike back" cannot both be kept: leave one out, or write prefer before it`},
		"by way of a third":             {[]string{"back like sleeve", "sleeve like front", "front unlike back"}, `the wishes "sleeve like front", "back like sleeve" and "front unlike back" cannot all be kept: leave one out, or write prefer before it`},
		"by way of a fourth":            {[]string{"yoke like cuff", "sleeve like yoke", "back like sleeve", "yoke like front", "Back unlike Front"}, `the wishes "back like sleeve", "sleeve like yoke", "yoke like front" and "back unlike front" cannot all be kept: leave one out, or write prefer before it`},
		"by a shorter way":              {[]string{"back like sleeve", "sleeve like front", "front like back", "front unlike back"}, `the wishes "front like back" and "front unlike back" cannot both be kept: leave one out, or write prefer before it`},
		"no way":                        {[]string{"back like sleeve", "yoke like front", "front unlike back"}, ""},
		"one look and two":              {[]string{"front alike", "front upper leaf, lower poppy"}, `the wishes "front alike" and "front upper leaf, lower poppy" cannot both be kept: front is to have one look by the first, and two by the other; leave one out, or write prefer before it`},
		"a seam in one look":            {[]string{"front alike", "front upper leaf, lower leaf"}, ""},
		"others":                        {[]string{"back like front", "sleeve unlike front", "sleeve alike", "back alike"}, ""},
		"one is preferred":              {[]string{"back like front", "prefer back unlike front"}, ""},
		"the piece may be left out":     {[]string{"pocket like front", "pocket unlike front"}, ""},
		"two that are like a third":     {[]string{"back like front", "sleeve like front"}, ""},
		"the same wish said twice over": {[]string{"back like front", "front like back", "back like front"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			var wishes []Wish
			for _, line := range c.lines {
				w, err := Parse(line)
				require.NoError(t, err)
				wishes = append(wishes, w)
			}
			err := Against(wishes, func(piece string) bool { return piece == "pocket" })
			if c.want == "" {
				require.NoError(t, err)
			} else {
				require.EqualError(t, err, c.want)
			}
		})
	}
}

// Where the copies of a piece have the line between two looks at different heights, that
// is said: nobody means one front's under the arm and the other's at the hem.
func TestLinesOfCopiesApartAreSaid(t *testing.T) {
	t.Parallel()
	for second, want := range map[float64]string{
		300: "above seams A and B all is from leaf, below them all from poppy",
		303: "above seams A and B all is from leaf, below them all from poppy",
		520: "above seams A and B all is from leaf, below them all from poppy; one copy of front has its line 220 mm lower than another",
	} {
		o := plan.Option{}
		for k, level := range []float64{300, second} {
			box := func(from, to float64) []plan.Point { return []plan.Point{{0, from}, {200, from}, {200, to}, {0, to}} }
			o.Parts = append(o.Parts,
				plan.Part{Piece: "front", Copy: k + 1, GrainDeg: 90, Look: "leaf", SeamLine: box(0, level)},
				plan.Part{Piece: "front", Copy: k + 1, GrainDeg: 90, Look: "poppy", SeamLine: box(level, 600)})
			o.PiecingSeams = append(o.PiecingSeams, plan.PiecingSeam{Name: string(rune('A' + k)), Piece: "front", Copy: k + 1, Line: []plan.Point{{0, level}, {200, level}}})
		}
		kept, how := Block{"front", "leaf", "poppy"}.Kept(nil, &o)
		require.True(t, kept)
		require.Equal(t, want, how)
	}
}
