package photo

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// How far a ring covers points adds up to its area, in parts of points, and where it
// runs the other way it is taken away.
func TestCoverIsArea(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := closeup{x: 100, y: 200, side: 21}
		in := rapid.Float64Range(0.5, 20.5)
		var ring orb.Ring
		for range 3 {
			ring = append(ring, orb.Point{100 + in.Draw(t, "x"), 200 + in.Draw(t, "y")})
		}
		cover := make([]float32, s.side*s.side)
		s.add(cover, ring)
		sum := 0.0
		for k, c := range cover {
			sum += float64(c)
			require.LessOrEqual(t, math.Abs(float64(c)), 1.0001)
			if mid := (orb.Point{100.5 + float64(k%s.side), 200.5 + float64(k/s.side)}); plane.ToRing(ring, mid) > 1 {
				require.Equal(t, plane.Holds(ring, mid), math.Abs(float64(c)) > 0.5)
			}
		}
		require.InDelta(t, plane.SignedArea(ring), sum, 1e-3)
	})
}

// shown is a picture of a shape of one colour on a ground, as a lens blurs it.
func shown(shape []orb.Point, side int, blurPx float64) *Picture {
	s := closeup{side: side}
	cover := make([]float32, side*side)
	s.add(cover, shape)
	s.blur(cover, gaussianLens(blurPx))
	m := image.NewGray(image.Rect(0, 0, side, side))
	for k, c := range cover {
		light := 0.6 - 0.5*float64(c)
		v := 0
		for v < 255 && float64(linear[v]) < light {
			v++
		}
		m.SetGray(k%side, k/side, color.Gray{uint8(v)})
	}
	return newPicture(m, 1)
}

// Corners that are worn off are drawn where they are, pointed ones and blunt ones; the
// rounding of a rounded shape stays as it is.
func TestCornersAreLedOn(t *testing.T) {
	t.Parallel()
	const side, blur = 160, 1.0
	mid := orb.Point{80, 80}
	free := func(int, int) bool { return true }
	for name, c := range map[string]struct {
		tips   []float64 // degrees round the middle
		within float64   // points
	}{
		"triangle": {[]float64{10, 130, 250}, 0.4},
		"kite":     {[]float64{5, 95, 185, 275}, 0.4},
		"pointed":  {[]float64{90, 230, 310}, 0.6}, // 40 degrees at the first
		"sharp":    {[]float64{90, 250, 290}, 0.6}, // 20 degrees
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var shape []orb.Point
			for _, deg := range c.tips {
				s, k := math.Sincos(deg * math.Pi / 180)
				shape = append(shape, plane.Along(mid, orb.Point{k, s}, 60))
			}
			p := shown(shape, side, blur)
			worn := smoothed(dense(shape, 0.9), 3)
			got := p.sharpened(worn, blur, free)
			for _, tip := range shape {
				require.Greater(t, plane.ToRing(worn, tip), 1.0)
				require.Less(t, nearestOf(got, tip), c.within, fmt.Sprint(tip))
			}
			require.Less(t, farthest(got, shape), c.within)
		})
	}
	t.Run("narrow", func(t *testing.T) {
		t.Parallel()
		shape := []orb.Point{{20, 60}, {138, 88}, {135.5, 99}, {17.5, 71}}
		got := shown(shape, side, blur).sharpened(smoothed(dense(shape, 0.9), 2), blur, free)
		for _, tip := range shape {
			require.Less(t, nearestOf(got, tip), 0.6, fmt.Sprint(tip))
		}
	})
	t.Run("round", func(t *testing.T) {
		t.Parallel()
		var shape []orb.Point
		for i := range 90 {
			s, k := math.Sincos(2 * math.Pi * float64(i) / 90)
			shape = append(shape, plane.Along(mid, orb.Point{k, s}, 14))
		}
		ring := dense(shape, 0.9)
		require.Less(t, farthest(shown(shape, side, blur).sharpened(ring, blur, free), shape), 0.2)
	})
}

// nearestOf is how far the nearest of some points is.
func nearestOf(points []orb.Point, q orb.Point) float64 {
	least := math.Inf(1)
	for _, p := range points {
		least = min(least, plane.Distance(p, q))
	}
	return least
}

// Jumps are evened out, a bite that is a few nodes wide is bridged, and
// neither bends nor corners are moved.
func TestFaired(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 41))
	half := func(deg, radius float64) orb.Point {
		s, c := math.Sincos(deg * math.Pi / 180)
		return orb.Point{radius * c, radius * s}
	}
	var shape, rough []orb.Point // half a disc
	for i := range 251 {
		shape = append(shape, half(float64(i)/250*180, 80))
	}
	shape = dense(shape, 0.9)
	for i, q := range shape {
		off := 0.3 * r.NormFloat64()
		if i > 60 && i < 66 {
			off = -4
		}
		rough = append(rough, plane.Along(q, plane.Unit(q), off))
	}
	corners := []int{250, 0}
	for i, q := range shape {
		for k, tip := range []orb.Point{half(180, 80), half(0, 80)} {
			if plane.Distance(q, tip) < 0.01 {
				corners[k] = i
			}
		}
	}
	got := faired(rough, corners)
	sum := func(ring []orb.Point) (sum float64) {
		for _, q := range ring {
			sum += plane.ToRing(shape, q)
		}
		return sum / float64(len(ring))
	}
	require.Less(t, sum(got), 0.5*sum(rough))
	for i := 60; i <= 66; i++ {
		require.Less(t, plane.ToRing(shape, got[i]), 0.5)
	}
	for _, c := range corners {
		require.Equal(t, rough[c], got[c])
	}
	require.Less(t, farthest(faired(shape, corners), shape), 0.02)
	require.Greater(t, unevenly(rough, got), 0.2) // the bite
	require.Less(t, unevenly(shape, faired(shape, corners)), 0.01)
}

// Each side is moved by as much, and so a corner by more the sharper it is; where that would be
// too much its tip is left a little too long.
func TestInward(t *testing.T) {
	t.Parallel()
	square := orb.Ring{{0, 0}, {40, 0}, {40, 40}, {0, 40}} // clockwise on the page
	require.InDelta(t, 38*38, plane.Area(inward(square, 1, orb.Point{})), 1e-6)
	require.InDelta(t, 42*42, plane.Area(inward(square, -1, orb.Point{})), 1e-6)
	bay := orb.Ring{{0, 0}, {40, 0}, {40, 40}, {20, 40}, {20, 20}, {0, 20}} // its inner corner is moved into the cloth, too
	require.InDelta(t, 0, plane.ToRing(inward(bay, 1, orb.Point{}), orb.Point{21, 19}), 1e-6)
	for deg, moved := range map[float64]float64{90: math.Sqrt2, 60: 2, 39: 3, 12: mostMitre} {
		s, c := math.Sincos(deg / 2 * math.Pi / 180)
		tip := orb.Ring{{0, 0}, {100 * c, 100 * s}, {100 * c, -100 * s}}
		if plane.SignedArea(tip) < 0 {
			tip = orb.Ring{tip[0], tip[2], tip[1]}
		}
		got := inward(tip, 1, orb.Point{})
		require.InDelta(t, moved, nearestOf(got, orb.Point{}), 0.01, deg)
	}
}

// What a camera that looks aside sees of thick cloth is drawn as large as the cloth is, in whichever way it lies.
func TestInwardOfThickCloth(t *testing.T) {
	t.Parallel()
	const side = 40.0
	for deg := range 90 {
		s, c := math.Sincos(float64(deg) * math.Pi / 180)
		aside := orb.Point{1.2 * c, 1.2 * s}
		square := orb.Ring{{0, 0}, {side, 0}, {side, side}, {0, side}}
		seen := orb.Ring{{0, 0}, {side, 0}, {side + aside[0], aside[1]}, {side + aside[0], side + aside[1]}, {aside[0], side + aside[1]}, {0, side}}
		got := inward(seen, 0, aside)
		require.InDelta(t, side*side, plane.Area(got), simplerMM*side, deg)
		require.Less(t, farthest(got, square), 2*simplerMM, deg)
		require.InDelta(t, (side-2)*(side-2), plane.Area(inward(seen, 1, aside)), simplerMM*side, deg)
	}
}
