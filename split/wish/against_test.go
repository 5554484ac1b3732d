package wish

import (
	"testing"

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
		"by way of a third":             {[]string{"back like sleeve", "sleeve like front", "front unlike back"}, `the wishes "sleeve like front" and "front unlike back" cannot both be kept: leave one out, or write prefer before it`},
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
