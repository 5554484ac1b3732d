package split_test

import (
	"strings"
	"testing"

	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
)

// What is set on keeps to one look each: a strap in stripes is seam on seam.
func TestWhatIsNotStriped(t *testing.T) {
	for name, unstriped := range map[string]bool{"strap": true, "waist-tie": true, "belt": true, "pocket": true, "cuff": true, "bib": false, "panel": false} {
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">`+
			oblong("front", "", 0, 200, 400, to("top", name+"/end"), "", "", "fold")+oblong(name, "", 500, 200, 300, "", "", to("end", "front/top"), "fold")+`</svg>`), "p.svg")
		require.NoError(t, err)
		s, err := split.NewStriping(split.Copies(pieces))
		require.NoError(t, err)
		require.Equal(t, unstriped, len(s.Unstriped()) == 1, name)
	}
}
