package photo

import (
	"image"
	"image/color"
	"math"
	"slices"
	"testing"

	"eke/piece/plane"

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

// One scrap is sure of shadows by itself where much of its one side has them, and little of the other.
func TestOneSided(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		from, to int // of the 40 stretches round it that have a shadow
		astray   int // of those on the other side that have a band of some width
		want     bool
	}{
		"a half turn":                   {0, 20, 0, true},
		"a band or two elsewhere":       {0, 20, 3, true},
		"bands of a print on all sides": {0, 20, 10, false},
		"all round":                     {0, 40, 0, false},
		"a few":                         {6, 14, 0, false},
	} {
		var all []cast
		for i := range 40 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / 40)
			band := cast{way: orb.Point{cos, sin}}
			switch {
			case i >= c.from && i < c.to:
				band.wide = 3
			case i >= 24 && i < 24+c.astray:
				band.wide = 1 + 3*float64(i%5)
			}
			all = append(all, band)
		}
		_, _, ok := oneSided([][]cast{all})
		require.Equal(t, c.want, ok, name)
	}
}

// Outlines go round the shadows of all scraps, which lie on one side of them: there they are moved onto the
// cloth, and are less sure. Bands on all sides are a print's. Of one scrap alone, and where shadows are too wide, it is said.
func TestCasts(t *testing.T) {
	t.Parallel()
	type widths struct{ left, up, right, down int } // how wide the bands there are
	shadow, ground := widths{0, 0, 3, 3}, color.RGBA{176, 134, 92, 255}
	dark, cloth, black := color.RGBA{98, 74, 50, 255}, color.RGBA{60, 110, 190, 255}, color.RGBA{16, 12, 8, 255}
	for name, c := range map[string]struct {
		scraps    int
		bands     widths
		last      widths // of the last scrap
		lastInk   color.RGBA
		tall      int // how much of the right side has a band, where it is not all of it; of the last scrap alone
		few       bool
		harsh, is bool
		want      widths // of the last scrap
	}{
		"shadows":               {4, shadow, shadow, cloth, 0, false, true, true, shadow},
		"narrow ones":           {4, widths{0, 0, 1, 1}, widths{0, 0, 1, 1}, cloth, 0, false, false, false, shadow},
		"bands all round":       {4, widths{3, 3, 3, 3}, widths{3, 3, 3, 3}, cloth, 0, false, false, false, shadow},
		"one scrap":             {1, shadow, shadow, cloth, 0, false, true, false, shadow},
		"too wide":              {4, widths{0, 0, 9, 9}, widths{0, 0, 9, 9}, cloth, 0, false, true, false, shadow},
		"one, of black cloth":   {1, shadow, widths{0, 0, 5, 5}, black, 0, false, true, false, shadow},
		"black cloth by itself": {1, shadow, widths{}, black, 0, false, false, false, shadow},
		"black cloth":           {4, shadow, shadow, black, 0, false, true, true, shadow},
		"towards the light":     {4, shadow, widths{3, 0, 3, 3}, cloth, 0, false, true, true, shadow},
		"a print's wide band":   {4, widths{0, 0, 2, 2}, widths{0, 0, 6, 2}, cloth, 0, false, true, true, widths{0, 0, 0, 2}},
		"a short band":          {4, shadow, widths{0, 0, 3, 0}, cloth, 12, false, true, true, widths{}},
		"few bands":             {12, widths{0, 0, 3, 0}, widths{}, cloth, 36, true, false, false, shadow},
	} {
		m, fill := painted(600, 560, ground)
		var found []candidate
		var boxes []image.Rectangle
		for i := range c.scraps {
			b, ink, last := c.bands, cloth, i == c.scraps-1
			if last {
				b, ink = c.last, c.lastInk
			} else if c.few && i > 2 {
				b = widths{}
			}
			box := image.Rect(20, 30, 140, 160).Add(image.Pt(145*(i%4), 170*(i/4)))
			whole := image.Rect(box.Min.X-b.left, box.Min.Y-b.up, box.Max.X+b.right, box.Max.Y+b.down)
			fill(whole, dark)
			fill(box, ink)
			if c.tall > 0 && (last || c.few) {
				mid := box.Min.Y + 36
				fill(image.Rect(box.Max.X, box.Min.Y, whole.Max.X, mid-c.tall/2), ink)
				fill(image.Rect(box.Max.X, mid+c.tall/2, whole.Max.X, box.Max.Y), ink)
			}
			boxes = append(boxes, box)
			found = append(found, candidate{outlines: []traced{{at: along(whole)}}})
		}
		p := newPicture(m, 1)
		tr := tracer{p: p, f: newField(p)}
		casts := tr.casts(found)
		require.Equal(t, c.harsh, tr.harsh, name)
		require.Equal(t, c.is, casts != nil, name)
		require.Equal(t, c.harsh && !c.is, found[0].shadowed != nil, name)
		if !c.is {
			continue
		}
		for i, outlines := range casts {
			want := widths{0, 0, c.bands.right, c.bands.down}
			if i == c.scraps-1 {
				want = c.want
			}
			sides := map[orb.Point][]float64{}
			for _, c := range outlines[0] {
				sides[c.way] = append(sides[c.way], c.wide)
			}
			for way, px := range map[orb.Point]int{{1, 0}: want.right, {0, 1}: want.down, {-1, 0}: want.left, {0, -1}: want.up} {
				require.InDelta(t, px, median(sides[way]), 0.4, "%s %d %v", name, i, way)
				if px == 0 {
					require.Zero(t, slices.Max(sides[way]), "%s %d %v", name, i, way)
				}
			}
		}
		if name != "shadows" {
			continue
		}
		for i := range found {
			o := &found[i].outlines[0]
			o.nodes, o.normals, o.offs = o.at, outward(o.at, 3), make([]float64, len(o.at))
			for range (len(o.at) + rimEvery - 1) / rimEvery {
				r := rim{black: 1}
				for u := -rimInPx; u <= rimOutPx; u += stepPx {
					r.part = append(r.part, 0.5*math.Erfc(u))
				}
				o.rims = append(o.rims, r)
			}
		}
		tr.out = &Result{MMPerPoint: 1}
		tr.unshade(found)
		for i, c := range found {
			require.InEpsilon(t, plane.Area(along(boxes[i])), plane.Area(c.outlines[0].at), 0.01)
			require.Positive(t, c.outlines[0].castPx)
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
