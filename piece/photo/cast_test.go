package photo

import (
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// How wide a shadow is, is told by the cloth's own hue, or by a dark line, and where neither is there
// none is seen.
func TestBand(t *testing.T) {
	t.Parallel()
	wood := [3]float64{0.43, 0.24, 0.11}
	grey := [3]float64{0.3, 0.3, 0.3}
	for name, c := range map[string]struct {
		ground, cloth [3]float64
		left          float64 // of the ground's light in the shadow
		wide          float64
		want          float64
	}{
		"blue cloth":                       {wood, [3]float64{0.1, 0.26, 0.5}, 0.3, 3, 3},
		"white cloth, a wide shadow":       {wood, [3]float64{0.8, 0.8, 0.78}, 0.25, 5, 5},
		"cloth as bright as the shadow":    {wood, [3]float64{0.05, 0.08, 0.3}, 0.3, 3, 3},
		"grey cloth on a grey ground":      {grey, [3]float64{0.5, 0.5, 0.5}, 0.3, 3, 3},
		"no shadow":                        {wood, [3]float64{0.1, 0.26, 0.5}, 0.3, 0, 0},
		"a narrow shadow":                  {wood, [3]float64{0.1, 0.26, 0.5}, 0.3, 1, 0},
		"a faint shadow":                   {wood, [3]float64{0.1, 0.26, 0.5}, 0.9, 3, 0},
		"a black band is no shadow":        {wood, [3]float64{0.1, 0.26, 0.5}, 0.02, 3, 0},
		"cloth of the ground's hue":        {grey, [3]float64{0.1, 0.1, 0.1}, 0.3, 3, 0},
		"a ground in no light":             {[3]float64{0.005, 0.005, 0.005}, wood, 0.3, 3, 0},
		"a shadow wider than is looked at": {wood, [3]float64{0.1, 0.26, 0.5}, 0.3, 10, 0},
	} {
		var light [][3]float32
		for u := -castOut; u <= castIn; u += castStep { // inward from the shadow's own edge
			var l [3]float32
			shade, cloth := 0.5*math.Erfc(-u), 0.5*math.Erfc(c.wide-u)
			for ch := range l {
				l[ch] = float32(c.ground[ch]*(1-(1-c.left)*shade)*(1-cloth) + c.cloth[ch]*cloth)
			}
			light = append(light, l)
		}
		require.InDelta(t, c.want, band(light).wide, 0.35, name)
	}
}

// A shadow that those beside it do not bear out is none.
func TestAgreed(t *testing.T) {
	t.Parallel()
	var all []cast
	for _, px := range []float64{0, 3, 3.5, 3, 7, 0, 0, 4, 0, 0, 1.6, 1.6} {
		all = append(all, cast{wide: px})
	}
	var got []float64
	for _, c := range agreed(all, castAgree) {
		got = append(got, c.wide)
	}
	require.Equal(t, []float64{0, 3, 3, 3, 0, 0, 0, 0, 0, 0, 0, 0}, got)
}

// Outlines go round the shadows of all scraps, which lie on one side of them: there they are moved onto the
// cloth. Bands on all sides are a print's, and so are those of one scrap alone.
func TestCasts(t *testing.T) {
	t.Parallel()
	ground, dark, cloth := color.RGBA{176, 134, 92, 255}, color.RGBA{98, 74, 50, 255}, color.RGBA{60, 110, 190, 255}
	for name, c := range map[string]struct {
		scraps      int
		left, up    int // how wide the bands there are
		right, down int
		is          bool
	}{
		"shadows":         {4, 0, 0, 3, 3, true},
		"narrow ones":     {4, 0, 0, 1, 1, false},
		"bands all round": {4, 3, 3, 3, 3, false},
		"one scrap":       {1, 0, 0, 3, 3, false},
	} {
		m, fill := painted(600, 200, ground)
		var found []candidate
		for i := range c.scraps {
			box := image.Rect(20+145*i, 30, 140+145*i, 160)
			whole := image.Rect(box.Min.X-c.left, box.Min.Y-c.up, box.Max.X+c.right, box.Max.Y+c.down)
			fill(whole, dark)
			fill(box, cloth)
			found = append(found, candidate{outlines: []traced{{at: along(whole)}}})
		}
		p := newPicture(m, 1)
		tr := tracer{p: p, f: newField(p)}
		casts := tr.casts(found)
		require.Equal(t, c.is, casts != nil, name)
		if !c.is {
			continue
		}
		for _, outlines := range casts {
			sides := map[orb.Point][]float64{}
			for _, c := range outlines[0] {
				sides[c.way] = append(sides[c.way], c.wide)
			}
			for way, want := range map[orb.Point]float64{{1, 0}: 3, {0, 1}: 3, {-1, 0}: 0, {0, -1}: 0} {
				require.InDelta(t, want, median(sides[way]), 0.4, "%s %v", name, way)
			}
		}
	}
}

// along is the points of a box's edge, clockwise on the page.
func along(box image.Rectangle) (out []orb.Point) {
	c := orb.Ring{{float64(box.Min.X), float64(box.Min.Y)}, {float64(box.Max.X), float64(box.Min.Y)}, {float64(box.Max.X), float64(box.Max.Y)}, {float64(box.Min.X), float64(box.Max.Y)}}
	for i, a := range c {
		b := c[(i+1)%4]
		n := math.Abs(b[0]-a[0]) + math.Abs(b[1]-a[1])
		for k := range int(n) {
			f := float64(k) / n
			out = append(out, orb.Point{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])})
		}
	}
	return out
}
