package photo

import (
	"image"
	"image/color"
	"image/draw"
	"math/rand/v2"
	"slices"
	"testing"

	"eke/piece/race"

	"github.com/stretchr/testify/require"
)

// planked is a floor of planks whose light differs by so much of it, with dark
// joints between, and two scraps on it.
func planked(tones float64, scraps ...image.Rectangle) *image.RGBA {
	const w, h, plank, joint = 640, 480, 90, 3
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	r := rand.New(rand.NewPCG(5, 6))
	for y := range h {
		for x := range w {
			n := (y / plank * 5) % 8
			l := 0.8 * (1 + tones*(float64(n)/3.5-1))
			if y%plank < joint {
				l = 0.4
			}
			ink := func(v float64) uint8 { return uint8(min(255, v*l+2*r.NormFloat64())) }
			m.SetRGBA(x, y, color.RGBA{ink(200), ink(155), ink(110), 255})
		}
	}
	for i, s := range scraps {
		draw.Draw(m, s, image.NewUniform([]color.Color{color.RGBA{40, 90, 160, 255}, color.RGBA{60, 40, 28, 255}}[i%2]), image.Point{}, draw.Src)
	}
	return m
}

// Planks that are lighter or darker than the rest are ground, whether scraps lie on them or not;
// cloth of their hue that is far darker is none.
func TestPlanksOfOtherTones(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	blue, brown := image.Rect(100, 60, 300, 300), image.Rect(380, 120, 540, 380)
	for _, tones := range []float64{0, 0.12} {
		m := planked(tones, blue, brown)
		f := newField(newPicture(m, 1))
		g, err := newGround(f)
		require.NoError(t, err)
		require.Equal(t, tones > 0, g.tones > 0, "%v", tones)
		labels := segment(f, g)
		lost, taken := 0, 0
		for i, l := range labels {
			q := image.Pt(i%f.w, i/f.w)
			if q.Y%90 < 12 || q.Y%90 > 81 { // beside a joint
				continue
			}
			switch {
			case q.In(blue.Inset(4)), q.In(brown.Inset(4)):
				if l != onCloth {
					lost++
				}
			case !q.In(blue.Inset(-6)) && !q.In(brown.Inset(-6)):
				if l != onGround {
					taken++
				}
			}
		}
		require.Zero(t, lost, "cloth taken for ground, %v", tones)
		require.Zero(t, taken, "ground taken for cloth, %v", tones)
	}
}

// A stub is as wide all along; a point of a scrap, and what is as wide as long, is none.
func TestStub(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		p  part
		is bool
	}{
		"a joint":      {part{box: image.Rect(0, 0, 4, 40), area: 158, held: 4}, true},
		"a point":      {part{box: image.Rect(0, 0, 6, 30), area: 92, held: 6}, false},
		"a corner":     {part{box: image.Rect(0, 0, 4, 4), area: 16, held: 4}, false},
		"by itself":    {part{box: image.Rect(0, 0, 4, 40), area: 158}, false},
		"between two":  {part{box: image.Rect(0, 0, 4, 40), area: 158, held: 8}, false},
		"a slant line": {part{box: image.Rect(0, 0, 30, 30), area: 170, held: 4}, true},
	} {
		require.Equal(t, c.is, c.p.stub(), name)
	}
}

// A joint that runs on from a scrap of its colour is not given to the scrap as a bite is.
func TestJointsAreNoBites(t *testing.T) {
	t.Parallel()
	brown := image.Rect(100, 100, 260, 260)
	for name, c := range map[string]struct {
		at image.Rectangle
		is bool
	}{
		"a bite":             {image.Rect(170, 90, 180, 100), true},
		"a joint":            {image.Rect(170, 0, 173, 100), false},
		"a joint to the top": {image.Rect(170, 0, 172, 100), false},
	} {
		m := image.NewRGBA(image.Rect(0, 0, 360, 360))
		draw.Draw(m, m.Rect, image.NewUniform(color.RGBA{170, 130, 90, 255}), image.Point{}, draw.Src)
		for _, r := range []image.Rectangle{brown, c.at} {
			draw.Draw(m, r, image.NewUniform(color.RGBA{80, 60, 40, 255}), image.Point{}, draw.Src)
		}
		tr, one, ids := onlyScrap(t, m, func(q image.Point) bool { return q.In(brown) })
		tr.restore(one, ids)
		given := slices.ContainsFunc([]int{c.at.Max.Y - 4, c.at.Max.Y - 2}, func(y int) bool { return tr.labels[y*tr.f.w+c.at.Min.X+1] == onCloth })
		require.Equal(t, c.is, given, name)
	}
}
