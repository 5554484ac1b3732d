package photo

import (
	"math"

	"eke/piece/plane"
	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
)

// A scale sheet whose codes cannot be read looks like a white scrap with black squares. It has the size of a paper, four square
// corners, and little colour.
const (
	sheetSizeOff  = 0.02 // part of each side that its size may be off by: what a view that another sheet gives makes of it
	sheetWhite    = 0.5  // part of it that is as light as paper at least
	sheetBlack    = 0.02 // and that is black
	mostBlackL    = 45   // CIELAB
	mostCornerOff = 0.05 // the cosine of the angle at its corners
)

// unreadSheet is whether a patch is a printed sheet of paper that was not read.
func (t *tracer) unreadSheet(r region, ids []int32) bool {
	corners, ok := foursquare(r.rings[0])
	if !ok {
		return false
	}
	var at [4]orb.Point
	for i, q := range corners {
		at[i] = t.view.ground(q)
	}
	if !ofPaperSize(at) {
		return false
	}
	n, white, black := 0, 0, 0
	for y := r.box.Min.Y; y < r.box.Max.Y; y++ {
		for x := r.box.Min.X; x < r.box.Max.X; x++ {
			k := y*t.f.w + x
			if ids[k] != r.id {
				continue
			}
			n++
			switch c := t.f.colour[k]; {
			case hue(c) > paperMostHue:
			case c[0] > paperLeastL:
				white++
			case c[0] < mostBlackL:
				black++
			}
		}
	}
	return float64(white) > sheetWhite*float64(n) && float64(black) > sheetBlack*float64(n)
}

// ofPaperSize is whether four corners are those of a sheet of paper.
func ofPaperSize(at [4]orb.Point) bool {
	var long [4]float64
	for i, q := range at {
		before, after := plane.Sub(at[(i+3)%4], q), plane.Sub(at[(i+1)%4], q)
		if math.Abs(plane.Dot(plane.Unit(before), plane.Unit(after))) > mostCornerOff {
			return false
		}
		long[i] = plane.Length(after)
	}
	for _, p := range scalesheet.Papers {
		for turn := range 2 {
			sides := [2]float64{p.WidthMM, p.HeightMM}
			fits := true
			for i, l := range long {
				fits = fits && math.Abs(l/sides[(i+turn)%2]-1) < sheetSizeOff
			}
			if fits {
				return true
			}
		}
	}
	return false
}
