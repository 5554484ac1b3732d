package photo

import (
	"image"
	"math"
	"slices"
	"testing"

	"eke/piece/photo/staged"
	"eke/piece/plane"
	"eke/piece/race"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// In the flat picture each outline lies where its cloth ends, drawn inward by what it is
// uncertain by.
func TestFlatShowsWhereClothEnds(t *testing.T) {
	if race.On {
		t.Skip("TestTrace works on all cores")
	}
	t.Parallel()
	r, err := Trace(t.Context(), newPicture(staged.Random(8, 800).Picture(), 1), Options{})
	require.NoError(t, err)
	img, box := r.Flat()
	require.LessOrEqual(t, max(img.Bounds().Dx(), img.Bounds().Dy()), flatSide)
	mm := (box.Max[0] - box.Min[0]) / float64(img.Bounds().Dx())
	require.InDelta(t, (box.Max[1]-box.Min[1])/float64(img.Bounds().Dy()), mm, 1e-9)
	at := func(q orb.Point) [3]float64 {
		c := img.(*image.NRGBA).NRGBAAt(int((q[0]-box.Min[0])/mm), int((q[1]-box.Min[1])/mm))
		return [3]float64{float64(c.R), float64(c.G), float64(c.B)}
	}
	var off []float64
	for _, s := range r.Scraps {
		n := len(s.Outline)
		for i, a := range s.Outline {
			b := s.Outline[(i+1)%n]
			if plane.Distance(a, b) < 12 {
				continue
			}
			mid, along := plane.Lerp(a, b, 0.5), plane.Unit(plane.Sub(b, a))
			out := func(mm float64) [3]float64 {
				return at(orb.Point{mid[0] + mm*along[1], mid[1] - mm*along[0]}) // clockwise: outward is to the left
			}
			apart := func(c, d [3]float64) float64 { return math.Hypot(math.Hypot(c[0]-d[0], c[1]-d[1]), c[2]-d[2]) }
			inner, outer := out(-4), out(5)
			if apart(inner, outer) < 60 {
				continue // by chance a pattern's own colour
			}
			for x := -4.0; x < 5; x += 0.1 {
				if c := out(x); apart(c, inner) > apart(c, outer) {
					off = append(off, x-s.UncertainMM)
					break
				}
			}
		}
	}
	require.Greater(t, len(off), 20)
	slices.Sort(off)
	require.InDelta(t, 0, off[len(off)/2], 0.4)
	require.Less(t, off[9*len(off)/10]-off[len(off)/10], 3.0)
}
