package photo

import (
	"image"
	"image/color"
	"image/draw"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Checks whose middle tone is the ground's are one cloth, a hole in them is a hole, and
// what lies beside them is not theirs.
func TestPeriods(t *testing.T) {
	t.Parallel()
	const w, h, cell = 320, 240, 10
	scrap := image.Rect(40, 60, 235, 185)
	hole := image.Rect(120, 100, 130, 110) // a white cell
	beside := image.Rect(245, 60, 300, 185)
	ground, red := color.Gray{140}, color.RGBA{150, 30, 40, 255}
	checks := func(x, y int) color.Color { return [3]color.Gray{{25}, ground, {240}}[(x/cell+1)%2+(y/cell+1)%2] }
	bars := func(x, y int) color.Color { return [2]color.Color{red, ground}[x/cell%2] }
	for name, c := range map[string]struct {
		ink    func(x, y int) color.Color
		pieces int32 // of cloth
		as     bool  // they were before
	}{
		"checks":               {checks, 2, false},
		"plain scraps in rows": {bars, 12, true}, // one of them is cut in two by the hole
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m := image.NewRGBA(image.Rect(0, 0, w, h))
			draw.Draw(m, m.Rect, image.NewUniform(ground), image.Point{}, draw.Src)
			draw.Draw(m, beside, image.NewUniform(red), image.Point{}, draw.Src)
			labels := make([]uint8, w*h)
			for k := range labels {
				at := image.Pt(k%w, k/w)
				ink := color.Color(ground)
				switch {
				case at.In(scrap) && !at.In(hole):
					ink = c.ink(at.X, at.Y)
				case at.In(beside):
					ink = red
				}
				m.Set(at.X, at.Y, ink)
				labels[k] = onGround
				if ink != color.Color(ground) {
					labels[k] = onCloth
				}
			}
			f := newField(newPicture(m, 1))
			g, err := newGround(f)
			require.NoError(t, err)
			tr := &tracer{f: f, ground: g, labels: slices.Clone(labels), view: &fitted{view: mmView(w, h)}, out: &Result{MMPerPoint: 1}}
			tr.periods()
			cloth := make([]bool, len(labels))
			for k, l := range tr.labels {
				cloth[k] = l == onCloth
			}
			_, pieces := components(cloth, w, h)
			require.Equal(t, c.pieces, pieces)
			if c.as {
				require.Equal(t, labels, tr.labels)
				return
			}
			for k, l := range tr.labels {
				at := image.Pt(k%w, k/w)
				switch {
				case at.In(hole.Inset(2)), !at.In(scrap.Inset(-2)) && !at.In(beside):
					require.Equal(t, onGround, l, at)
				case at.In(scrap.Inset(cell)) && !at.In(hole.Inset(-2)), at.In(beside):
					require.Equal(t, onCloth, l, at)
				}
			}
		})
	}
}

// Of what may be a print, that is left which lies at the print: not a line across a hole.
func TestHangOn(t *testing.T) {
	t.Parallel()
	box := image.Rect(0, 0, 60, 40)
	hole := image.Rect(20, 10, 40, 30)
	p := &motif{box: box, is: make([]bool, 60*40)}
	gap, line := image.Rect(5, 5, 15, 12), image.Rect(29, 10, 31, 30)
	some := make([]bool, len(p.is))
	for i := range p.is {
		at := image.Pt(i%60, i/60)
		some[i] = at.In(gap) || at.In(line)
		p.is[i] = !at.In(gap) && !at.In(hole)
	}
	p.hangOn(some)
	for i, is := range some {
		require.Equal(t, image.Pt(i%60, i/60).In(gap), is)
	}
}
