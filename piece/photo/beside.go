package photo

import (
	"image"
	"math"

	"github.com/paulmach/orb"
)

// What lies at a scrap's edge and has not the ground's colour as it is lit, but was taken for
// ground, is a shadow, or a part of the scrap that the outline leaves out. Flat cloth throws a
// shadow a few millimetres wide. What is wider is said.
const (
	besideMM    = 14.0 // from the scrap's edge that it is looked for
	besideWide  = 3.5  // mm, at least
	besideTimes = 1.5  // times what two colours are told by, from the ground's
	besideBlur  = 2    // points of the field from the edge that are a mixture of both
	leastBeside = 12.0 // mm²
)

// beside is such places at a patch of cloth, in the picture.
func (t *tracer) beside(r region, ids []int32) (where []orb.Point) {
	f := t.f
	perPoint := t.mmPerFieldPoint()
	reach := max(2, besideMM/perPoint)
	thick := max(1, int(math.Round((besideWide/perPoint-1)/2)))
	box := r.box.Inset(-int(reach) - 1).Intersect(image.Rect(0, 0, f.w, f.h))
	w, h := box.Dx(), box.Dy()
	own, other := make([]bool, w*h), make([]bool, w*h)
	for i := range own {
		k := f.at(box, i)
		own[i] = ids[k] == r.id
		other[i] = t.labels[k] != onGround
	}
	off, clear := squaresOff(own, w, h), squaresOff(other, w, h)
	least := max(hardlyTold, besideTimes*float64(t.ground.told()))
	is := make([]bool, w*h)
	rows(h, func(y int) {
		for i := y * w; i < (y+1)*w; i++ {
			if off[i] > reach*reach || clear[i] <= besideBlur*besideBlur {
				continue
			}
			k := f.at(box, i)
			g, _ := t.ground.at(float64(k%f.w), float64(k/f.w))
			if f.colour[k].apart(g) > least {
				lost := f.lost(k%f.w, k/f.w) // of colour, over squares of points
				is[i] = toLab(f.mean(k)).apart(g) > least+float64(sqrt32(lost[1]+lost[2]))
			}
		}
	})
	places, count := components(dilated(eroded(is, w, h, thick), w, h, thick), w, h)
	size, near := make([]int, count+1), make([]bool, count+1)
	const touch = besideBlur + 2
	for i, id := range places {
		size[id]++
		near[id] = near[id] || off[i] <= touch*touch
	}
	for i, id := range places {
		if id > 0 && near[id] && float64(size[id])*perPoint*perPoint >= leastBeside {
			where = append(where, f.middle(f.at(box, i)))
		}
	}
	return where
}
