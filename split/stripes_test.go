package split_test

import (
	"fmt"
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

// Lines lie on a sleeve alike whether its cap is drawn as one edge or as two: where they
// are too uneven to follow, one meets the front's in the middle of the armhole, which is
// not the middle of a cap that goes round front and back.
func TestLinesOnACapInOneEdge(t *testing.T) {
	body := func(name, other, cap string, y int) string {
		return fmt.Sprintf(`<g id=%q><path class="seam" d="M 0,%d h 200 v 150 h 60 v 300 h -260 Z"/><path class="grain" d="M 5,%d v 10"/><path class="fold" d="M 0,%d v 450"/>`+
			`<path class="edge shoulder" data-joins="%s/shoulder" d="M 80,%d h 120"/><path class="edge armhole" data-joins="sleeve/%s" d="M 200,%d v 150 h 60"/><path class="edge side" data-joins="%s/side" d="M 260,%d v 300"/></g>`,
			name, y, y+5, y, other, y, cap, y, other, y+150)
	}
	tops := func(back, front, caps string) (out []map[int]float64) {
		pieces, err := svg.Pattern(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">`+
			body("front", "back", front, 0)+body("back", "front", back, 600)+
			`<g id="sleeve" data-cut="2" data-mirrored="yes"><path class="seam" d="M 0,1260 C 100,1260 100,1180 185,1180 C 270,1180 270,1260 370,1260 l -50,300 h -270 Z"/><path class="grain" d="M 185,1210 v 10"/>`+caps+
			`<path class="edge underarm-front" data-joins="sleeve/underarm-back" d="M 370,1260 l -50,300"/><path class="edge underarm-back" data-joins="sleeve/underarm-front" d="M 0,1260 l 50,300"/></g></svg>`), "p.svg")
		require.NoError(t, err)
		copies := split.Copies(pieces)
		s, err := split.NewStriping(copies)
		require.NoError(t, err)
		for _, c := range s.Lines(split.StripeSequence{Looks: []string{"navy", "cream"}, DepthsMM: []float64{60, 60}}, 40).Copies {
			if copies[c.Copy].Name == "sleeve" {
				out = append(out, c.Tops)
			}
		}
		return out
	}
	two := tops("cap-back", "cap-front", `<path class="edge cap-back" data-joins="back/armhole" d="M 0,1260 C 100,1260 100,1180 185,1180"/><path class="edge cap-front" data-joins="front/armhole" d="M 185,1180 C 270,1180 270,1260 370,1260"/>`)
	one := tops("cap", "cap", `<path class="edge cap" data-joins="back/armhole, front/armhole" d="M 0,1260 C 100,1260 100,1180 185,1180 C 270,1180 270,1260 370,1260"/>`)
	require.Len(t, one, 2)
	for k := range one {
		require.Len(t, one[k], len(two[k]))
		for n, top := range two[k] {
			require.InDelta(t, top, one[k][n], 0.1)
		}
	}
}
