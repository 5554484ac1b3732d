package photo

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// floored is a picture of a floor with joints 90 mm apart, and grain that runs in
// waves between them, by a lens that bends; or of tiles with joints both ways.
func floored(v view, w, h int, tiles bool) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	r := rand.New(rand.NewPCG(3, 4))
	for y := range h {
		for x := range w {
			q := v.ground(orb.Point{float64(x) + 0.5, float64(y) + 0.5})
			l := 120 + 9*math.Sin(q[1]/2+6*math.Sin(q[0]/90)+3*math.Sin(q[0]/31))
			if f := q[1]/90 - math.Floor(q[1]/90); f < 1.5/90 {
				l = 70
			}
			if part := func(t float64) float64 { return t/120 - math.Floor(t/120) }; tiles {
				if l = 90; part(q[0]) < 10.0/120 || part(q[1]) < 10.0/120 {
					l = 140
				}
			}
			l += 2 * r.NormFloat64()
			m.SetRGBA(x, y, color.RGBA{uint8(l), uint8(l * 0.8), uint8(l * 0.6), 255})
		}
	}
	return m
}

// The joints of a floor say how much the lens bends, whichever way they run.
func TestFloorLinesTellTheBend(t *testing.T) {
	if race.On {
		t.Skip("a picture is traced on all cores by TestTrace")
	}
	t.Parallel()
	const w, h = 1200, 900
	for _, c := range []struct {
		bend, turned float64
		tiles        bool
	}{{-0.03, 0.1, false}, {0, 1.4, false}, {0.02, 1.4, false}, {-0.02, 0.1, true}, {-0.09, 0.1, false}} {
		v := newView(w, h)
		sin, cos := math.Sincos(c.turned)
		v.h = [8]float64{0.5 * cos, -0.5 * sin, 0, 0.5 * sin, 0.5 * cos, 0, 0.02, 0.01}
		v.bend = c.bend
		p := newPicture(floored(v, w, h, c.tiles), 1)
		f := newField(p)
		tr := &tracer{p: p, f: f, labels: make([]uint8, f.w*f.h)}
		for k := range tr.labels {
			tr.labels[k] = onGround
		}
		flat := v
		flat.bend = 0
		lines := tr.floorLines()
		require.GreaterOrEqual(t, len(lines), 6, "%v", c)
		bend, unsure := bendBy(lines, flat)
		require.InDelta(t, c.bend, bend, 0.003, "%v", c)
		require.Less(t, unsure, 0.003, "%v", c)
	}
}

// Waves in the grain, or folds, are no lines; nor is what lies beside cloth.
func TestFloorLinesAreStraight(t *testing.T) {
	t.Parallel()
	m := image.NewGray(image.Rect(0, 0, 900, 600))
	for y := range 600 {
		for x := range 900 {
			m.SetGray(x, y, color.Gray{uint8(120 + 30*math.Sin(float64(y)/6+4*math.Sin(float64(x)/60)))})
		}
	}
	p := newPicture(m, 1)
	f := newField(p)
	tr := &tracer{p: p, f: f, labels: make([]uint8, f.w*f.h)}
	for k := range tr.labels {
		tr.labels[k] = onGround
	}
	bend, unsure := bendBy(tr.floorLines(), newView(900, 600))
	require.Less(t, math.Abs(bend), unsure)
	require.Greater(t, unsure, usualBend/2)
	for k := range tr.labels {
		tr.labels[k] = onCloth
	}
	require.Empty(t, tr.floorLines())
}
