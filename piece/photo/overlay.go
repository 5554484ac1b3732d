package photo

import (
	"math"

	"github.com/paulmach/orb"
)

// A scrap that lies on another, within its outline or over it, is seen as a large patch of
// another colour in one place. So is a very large print; it is said.
const (
	overlayMM    = 40.0 // across, of the disc that fits in it: prints are smaller
	overlayShare = 0.03 // of the scrap
)

// overlay is the points, in the picture, of a patch of cloth that may be another scrap on it.
func (t *tracer) overlay(r region, ids []int32) (where []orb.Point) {
	f := t.f
	across := overlayMM / t.mmPerFieldPoint()
	if float64(r.area) < across*across {
		return nil
	}
	const most = 600
	var colours []lab
	for _, k := range scattered(t.inner(r, ids, 3), most) {
		colours = append(colours, f.lookOf(k))
	}
	if len(colours) == 0 {
		return nil
	}
	main, minor, share := twoMeans(colours)
	if main.apart(minor) < seamUnits || share < overlayShare {
		return nil
	}
	w, h := r.box.Dx(), r.box.Dy()
	other := make([]bool, w*h)
	for i := range other {
		k := f.at(r.box, i)
		c := f.lookOf(k)
		other[i] = ids[k] != r.id || c.apart(minor) >= c.apart(main)
	}
	// A few threads of the other colour, and noise, do not part it.
	other = dilated(eroded(other, w, h, 1), w, h, 1)
	for i, d := range squaresOff(other, w, h) {
		if x, y := float64(i%w), float64(i/w); 2*math.Sqrt(min(d, (x+1)*(x+1), (y+1)*(y+1), (float64(w)-x)*(float64(w)-x), (float64(h)-y)*(float64(h)-y))) >= across {
			where = append(where, f.middle(f.at(r.box, i)))
		}
	}
	return where
}
