package split

import (
	"math"
	"testing"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

func TestTooNarrow(t *testing.T) {
	outline := func(points ...orb.Point) piece.Outline {
		return piece.Outline{{Line: curve.Polyline(append(points, points[0])...)}}
	}
	// The disc in a right triangle has the radius (a + b - c) / 2.
	triangle := func(a, b float64) piece.Outline { return outline(orb.Point{0, 0}, orb.Point{a, 0}, orb.Point{0, b}) }
	inradius := func(a, b float64) float64 { return (a + b - math.Hypot(a, b)) / 2 }
	for _, sides := range [][2]float64{{10, 10}, {12, 20}, {14, 14}, {16, 12}, {20, 9}, {200, 8.3}, {200, 9}, {300, 300}} {
		want := 2*inradius(sides[0], sides[1]) < leastWideMM
		assert.Equal(t, want, tooNarrow(triangle(sides[0], sides[1])) == ErrSliver, "%v: a disc of %.2f mm", sides, 2*inradius(sides[0], sides[1]))
		for _, wide := range []float64{5, 9, 20, 200} {
			assert.Equal(t, 2*inradius(sides[0], sides[1]) > wide, WideSomewhere(triangle(sides[0], sides[1]), wide), "%v: a disc of %.2f mm for one of %g", sides, 2*inradius(sides[0], sides[1]), wide)
		}
	}
	strip := func(w, h float64) piece.Outline {
		return outline(orb.Point{0, 0}, orb.Point{w, 0}, orb.Point{w, h}, orb.Point{0, h})
	}
	assert.ErrorIs(t, tooNarrow(strip(300, 8)), ErrSliver)
	assert.NoError(t, tooNarrow(strip(300, 8.3)))
	// An L of two arms of 7 mm is wider at its corner, 7·2/(1+1/√2) mm.
	assert.NoError(t, tooNarrow(outline(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 7}, orb.Point{7, 7}, orb.Point{7, 100}, orb.Point{0, 100})))
	// Two squares and what holds them together.
	dumbbell := func(neck float64) piece.Outline {
		return outline(orb.Point{0, 0}, orb.Point{50, 0}, orb.Point{50, 50 - neck}, orb.Point{70, 50 - neck}, orb.Point{70, 0}, orb.Point{120, 0},
			orb.Point{120, 50}, orb.Point{0, 50})
	}
	assert.ErrorIs(t, tooNarrow(dumbbell(0.06)), ErrNeck)
	assert.ErrorIs(t, tooNarrow(dumbbell(1)), ErrNeck)
	assert.NoError(t, tooNarrow(dumbbell(1.1)))
	assert.NoError(t, tooNarrow(triangle(300, 12)), "a sharp corner is no neck")
}
