package split_test

import (
	"strings"
	"testing"

	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// A front on the fold whose grain lies on the bias hangs so that a seam along the grain runs
// aslant over the body: it is not called lengthwise, nor its parts left and right.
func TestSeamsOfAPieceOnTheBias(t *testing.T) {
	front := func(grain string) *split.Body {
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g id="front"><path class="seam" d="M 0,0 H 240 V 500 H 0 Z"/><path class="edge shoulder" d="M 100,0 H 240"/><path class="fold" d="M 0,0 V 500"/><path class="grain" d="`+grain+`"/></g></svg>`), "p.svg")
		require.NoError(t, err)
		p := split.Copies(pieces)[0]
		return split.NewBody(p, p.Outline)
	}
	for grain, want := range map[string][2][3]string{
		"M 60,150 V 350":         {{"lengthwise seam", "right", "left"}, {"yoke seam", "upper", "lower"}},
		"M 60,150 L 160,250":     {{"diagonal seam", "lower", "upper"}, {"diagonal seam", "upper", "lower"}}, // down to the right
		"M 160,150 L 60,250":     {{"diagonal seam", "upper", "lower"}, {"diagonal seam", "upper", "lower"}},
		"M 60,150 L 67,350":      {{"lengthwise seam", "right", "left"}, {"yoke seam", "upper", "lower"}}, // 2° off
		"M 160,251 L 60.5,149.9": {{"diagonal seam", "lower", "upper"}, {"diagonal seam", "upper", "lower"}},
	} {
		b := front(grain)
		for k, w := range []split.Way{split.Panel{}, split.Yoke{}} {
			level := b.Lo[k] + 60
			near, far := split.SidesOf(w, b, level)
			require.Equal(t, want[k], [3]string{split.CalledAt(w, b, level), near, far}, grain)
		}
	}
}

// What goes across a waistband that is drawn lying, its grain along it, is no yoke's seam.
func TestSeamsOfABand(t *testing.T) {
	across := func(name string) string {
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g id="`+name+`"><path class="seam" d="M 0,0 H 900 V 80 H 0 Z"/><path class="edge waist" d="M 0,80 V 0"/><path class="grain" d="M 60,40 H 350"/></g></svg>`), "p.svg")
		require.NoError(t, err)
		p := split.Copies(pieces)[0]
		b := split.NewBody(p, p.Outline)
		return split.CalledAt(split.Yoke{}, b, b.Lo[1]+100)
	}
	require.Equal(t, "cross seam", across("waistband"))
	require.Equal(t, "yoke seam", across("skirt"))
}
