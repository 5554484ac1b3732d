package photo

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// A small scrap that lies over the side of a large one is told from it, and a point of the
// same cloth is not, nor a sliver along its edge.
func TestSmallScrapOverLargeOne(t *testing.T) {
	t.Parallel()
	ground, white, green := color.RGBA{190, 170, 140, 255}, color.RGBA{235, 235, 228, 255}, color.RGBA{60, 115, 75, 255}
	for name, c := range map[string]struct {
		on, top color.Color
		stripes int         // wide, of the other colour on the large one
		shape   []orb.Point // of the small one, if it is no rectangle
		is      bool
	}{
		"green on white":       {white, green, 0, nil, true},
		"white on white":       {white, white, 0, nil, false},
		"the one's own stripe": {white, green, 20, nil, false},
		"by a tip":             {white, green, 0, []orb.Point{{217, 258}, {243, 310}, {191, 310}}, true},
		"at a blunt angle":     {white, green, 0, []orb.Point{{150, 240}, {300, 240}, {290, 279}}, true},
		"a sliver":             {white, green, 0, []orb.Point{{150, 250}, {300, 250}, {300, 267}, {150, 267}}, false},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, fill := painted(480, 360, ground)
			large, small := image.Rect(60, 60, 420, 260), image.Rect(200, 240, 235, 285)
			fill(large, c.on)
			for x := large.Min.X; c.stripes > 0 && x < large.Max.X; x += 2 * c.stripes {
				fill(image.Rect(x, large.Min.Y, x+c.stripes, large.Max.Y), c.top)
			}
			over := func(q image.Point) bool { return q.In(small) }
			if c.shape != nil {
				over = func(q image.Point) bool { return plane.Holds(c.shape, orb.Point{float64(q.X), float64(q.Y)}) }
			}
			for k := range m.Rect.Dx() * m.Rect.Dy() {
				if q := (image.Point{k % m.Rect.Dx(), k / m.Rect.Dx()}); over(q) {
					m.Set(q.X, q.Y, c.top)
				}
			}
			tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(large) || over(q) })
			tr.view = &fitted{view: newView(m.Rect.Dx(), m.Rect.Dy())}
			line, sure, flush := tr.seam(one, ids, tr.tiling(one, ids))
			require.Equal(t, c.is, line != nil)
			require.Equal(t, c.is, sure)
			require.False(t, flush)
			if c.is && c.shape == nil {
				for _, q := range line {
					require.Less(t, min(plane.Distance(q, orb.Point{200, 260}), plane.Distance(q, orb.Point{235, 260})), 6.0)
				}
			}
		})
	}
}

// painted is a picture of one colour, and what fills a rectangle of it with another.
func painted(w, h int, ground color.Color) (m *image.RGBA, fill func(image.Rectangle, color.Color)) {
	m = image.NewRGBA(image.Rect(0, 0, w, h))
	fill = func(r image.Rectangle, ink color.Color) {
		draw.Draw(m, r, image.NewUniform(ink), image.Point{}, draw.Src)
	}
	fill(m.Rect, ground)
	return m, fill
}

// mmView is a view from straight above, at a millimetre a point.
func mmView(w, h int) view {
	v := newView(w, h)
	v.h[0], v.h[4] = groundMM/v.half, groundMM/v.half
	return v
}

// onlyScrap is a tracer of a picture with one scrap on plain ground, at a millimetre a point,
// and the scrap, which is where cloth says.
func onlyScrap(t *testing.T, m image.Image, cloth func(image.Point) bool) (*tracer, region, []int32) {
	f := newField(newPicture(m, 1))
	g, err := newGround(f)
	require.NoError(t, err)
	labels := make([]uint8, f.w*f.h)
	for k := range labels {
		labels[k] = onGround
		if cloth(image.Point{k % f.w, k / f.w}) {
			labels[k] = onCloth
		}
	}
	all, ids := regions(labels, f, 20)
	require.Len(t, all, 1)
	return &tracer{f: f, ground: g, labels: labels, out: &Result{MMPerPoint: 1}}, all[0], ids
}

// A corner that the field has rounded is found, and a straight side and a wide curve have none.
func TestTurnsIn(t *testing.T) {
	t.Parallel()
	side := func(from, to orb.Point) (out []orb.Point) {
		n := int(plane.Distance(from, to))
		for k := range n {
			out = append(out, plane.Lerp(from, to, float64(k)/float64(n)))
		}
		return out
	}
	for name, c := range map[string]struct {
		dent  orb.Point // of the middle of the upper side
		sigma float64   // nodes that the ring is smoothed over
		is    int
	}{
		"a sharp one":   {orb.Point{100, 40}, 1, 1},
		"a rounded one": {orb.Point{100, 40}, 4, 1},
		"a shallow one": {orb.Point{100, 8}, 1, 0},
		"none":          {orb.Point{100, 0}, 1, 0},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			corners := []orb.Point{{}, c.dent, {200, 0}, {200, 120}, {0, 120}}
			var ring []orb.Point
			for i, q := range corners {
				ring = append(ring, side(q, corners[(i+1)%len(corners)])...)
			}
			turns := turnsIn(smoothed(ring, c.sigma), turnsInDeg)
			require.Len(t, turns, c.is)
			for _, q := range turns {
				require.Less(t, plane.Distance(ring[q.node], c.dent), 4.0)
			}
		})
	}
}

// A scrap with a border of another colour right across it may be two that lie flush, and is said to be; where the
// outline turns in for good, it is two.
func TestBorderPrint(t *testing.T) {
	t.Parallel()
	ground, white, green := color.RGBA{190, 170, 140, 255}, color.RGBA{235, 235, 228, 255}, color.RGBA{60, 115, 75, 255}
	for name, c := range map[string]struct {
		lower orb.Point // the right end of the lower part
		sure  bool
	}{
		"a border":              {orb.Point{420, 300}, false},
		"two scraps":            {orb.Point{380, 300}, true},
		"two with a step of 8":  {orb.Point{412, 300}, true},
		"two with a step of 12": {orb.Point{408, 300}, true},
	} {
		m, fill := painted(480, 360, ground)
		upper, lower := image.Rect(60, 60, 420, 220), image.Rect(480-int(c.lower[0]), 220, int(c.lower[0]), int(c.lower[1]))
		fill(upper, white)
		fill(lower, green)
		// The print's colour is lost where it begins at the edge.
		dent := func(q image.Point) bool { return q.Y >= 217 && q.Y < 223 && (q.X < 65 || q.X >= 415) }
		tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return (q.In(upper) || q.In(lower)) && !dent(q) })
		tr.view = &fitted{view: newView(m.Rect.Dx(), m.Rect.Dy())}
		line, sure, flush := tr.seam(one, ids, tr.tiling(one, ids))
		require.NotNil(t, line, name)
		require.Equal(t, c.sure, sure, name)
		require.Equal(t, !c.sure, flush, name)
	}
}

// Two discs that overlap turn in where they meet, however rounded they are there; a dent in a straight side, and in a
// round one, is over beyond it.
func TestLasts(t *testing.T) {
	t.Parallel()
	const side = 560
	for radius := 40.0; radius <= 100; radius += 20 {
		for tilt := range 4 {
			sin, cos := math.Sincos(float64(tilt) / 14 * math.Pi)
			turned := func(x, y float64) orb.Point {
				return orb.Point{side/2 + x*cos - y*sin, side/2 + x*sin + y*cos}
			}
			from := func(q image.Point, x, y float64) float64 {
				return plane.Distance(turned(x, y), orb.Point{float64(q.X) + 0.5, float64(q.Y) + 0.5})
			}
			pair := func(notchDeg float64) (cloth func(image.Point) bool, y float64) {
				sin, cos := math.Sincos(notchDeg / 2 * math.Pi / 180)
				return func(q image.Point) bool {
					return min(from(q, -radius*sin, 0), from(q, radius*sin, 0)) < radius
				}, -radius * cos
			}
			check := func(name string, is bool, y float64, cloth func(image.Point) bool) {
				f := &field{w: side, h: side, by: 1}
				labels := make([]uint8, side*side)
				for k := range labels {
					labels[k] = onGround
					if cloth(image.Point{k % side, k / side}) {
						labels[k] = onCloth
					}
				}
				all, _ := regions(labels, f, 20)
				ring := smoothed(all[0].rings[0], 2)
				node := 0
				for i, q := range ring {
					if plane.Distance(q, turned(0, y)) < plane.Distance(ring[node], turned(0, y)) {
						node = i
					}
				}
				require.Equal(t, is, lasts(ring, node, 1), "%s, radius %g, tilt %d", name, radius, tilt)
			}
			check("a straight side", false, 0, func(q image.Point) bool {
				return from(q, 0, 0) < 2*radius && plane.Dot(orb.Point{-sin, cos}, plane.Sub(orb.Point{float64(q.X) + 0.5, float64(q.Y) + 0.5}, turned(0, 0))) > 0 && from(q, 0, 0) >= 4
			})
			if tilt == 0 { // elsewhere the steps of the field may hide that it is one
				check("a disc", false, -radius, func(q image.Point) bool { return from(q, 0, 0) < radius && from(q, 0, -radius) >= 4 })
			}
			for _, notchDeg := range []float64{29, 45, 67} {
				cloth, y := pair(notchDeg)
				check(fmt.Sprintf("two at %g degrees", notchDeg), true, y, cloth)
			}
		}
	}
}
