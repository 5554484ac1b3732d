package fit

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A border says on each side of its lines what was found there, and a cell that is the
// same on all sides needs none.
func TestBorderTellsTheSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corner := vec{float64(rapid.IntRange(0, tableCells-1).Draw(t, "column")), float64(rapid.IntRange(0, tableCells-1).Draw(t, "row"))}
		in := rapid.Float64Range(0, 1)
		point := func(name string) vec {
			return corner.add(vec{in.Draw(t, name+" x"), in.Draw(t, name+" y")})
		}
		var lines cellLines
		for range rapid.IntRange(1, 2).Draw(t, "lines") {
			sin, cos := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "direction"))
			l := line{across: vec{cos, sin}}
			l.at = l.across.dot(point("on the line"))
			lines.add(l, corner.add(vec{0.5, 0.5}))
			lines.add(line{l.across.mul(-1), -l.at}, corner.add(vec{0.5, 0.5})) // the same the other way
		}
		overlapping := rapid.SliceOfN(rapid.Bool(), 4, 4).Draw(t, "overlapping")
		over := func(p vec) bool {
			k := 0
			for n := range lines.count {
				if lines.lines[n].beyond(p) {
					k |= 1 << n
				}
			}
			return overlapping[k]
		}
		b, s := newBorder(corner, &lines, over)
		for range 20 {
			p := point("asked")
			for n := range lines.count {
				if math.Abs(lines.lines[n].across.dot(p)-lines.lines[n].at) < 1e-6 {
					return // rounding decides
				}
			}
			u := p.sub(corner).sub(vec{0.5, 0.5})
			got := s == allOverlap || s == mayOverlap && b.overlaps(float32(u.x), float32(u.y))
			if got != over(p) {
				t.Fatalf("%v: overlapping is %v, found to be %v (state %d)", p, over(p), got, s)
			}
		}
	})
}
