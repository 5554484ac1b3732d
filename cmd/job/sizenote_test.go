package job

import (
	"strings"
	"testing"

	"eke/svg"

	"github.com/stretchr/testify/require"
)

// A garment that no body fits is doubted where front and back tell that it is one: a bag may
// be as small.
func TestAGarmentThatNoBodyFits(t *testing.T) {
	t.Parallel()
	note := func(scale, edge string, of ...string) string {
		half := func(name string) string {
			return `<g id="` + name + `"><path class="seam" d="M 0,0 H 400 V 600 H 0 Z"/><path class="edge ` + edge + `" d="M 0,0 V 200"/><path class="grain" d="M 200,100 V 300"/></g>`
		}
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000"><g transform="scale(`+scale+`)">`+half(strings.Join(append(of, "front"), "-"))+half(strings.Join(append(of, "back"), "-"))+`</g></svg>`), "p.svg")
		require.NoError(t, err)
		return sizeNote(pieces)
	}
	require.Equal(t, "the largest piece, front, is 15.6 cm long, and hardly a newborn fits a garment whose front and back are no longer; if you drew it larger, the width and height of the page, or its viewBox, say another unit: check them before you cut", note("0.26", "armhole"))
	for _, fine := range [][2]string{{"0.26", "side"}, {"0.26", "inseam"}, {"0.4", "shoulder"}, {"1", "armhole"}} {
		require.Empty(t, note(fine[0], fine[1]), "%v", fine)
	}
	require.NotEmpty(t, note("0.2", "crotch"))
	require.Empty(t, note("0.26", "armhole", "doll"))
}
