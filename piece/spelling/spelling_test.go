package spelling

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	known := []string{"cut", "mirrored", "fabric", "kind", "allowance", "joins"}
	for s, want := range map[string]string{
		"fabrik": "fabric", "cuts": "cut", "mirorred": "mirrored", "mirored": "mirrored", "alowence": "allowance", "join": "joins", "knid": "kind", "fbaric": "fabric",
		"fabric": "", "cat": "", "name": "", "kids": "", "id": "", "": "", "label": "", "mirror": "mirrored", "colour": "", "font-family": "",
	} {
		assert.Equal(t, want, Nearest(s, known), s)
	}
}

// Slips are as many either way, none between equals, and a letter more is one
// more at most.
func TestSlips(t *testing.T) {
	word := rapid.StringMatching(`[a-c]{0,8}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := word.Draw(t, "a"), word.Draw(t, "b"), word.Draw(t, "c")
		n := slips(a, b)
		assert.Equal(t, n, slips(b, a))
		assert.Equal(t, a == b, n == 0)
		assert.LessOrEqual(t, n, max(len(a), len(b)))
		assert.GreaterOrEqual(t, n, max(len(a)-len(b), len(b)-len(a)))
		assert.Equal(t, n, slips(a+c, b+c), "what both end in has no say")
		if len(a) > 1 && a[0] != a[1] {
			assert.Equal(t, 1, slips(a, a[1:2]+a[:1]+a[2:]))
		}
	})
}
