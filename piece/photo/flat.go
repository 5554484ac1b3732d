package photo

import (
	"image"
	"math"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/paulmach/orb"
)

// flatSide is how many points the longer side of a flat picture has at most.
const flatSide = 2400

// aroundMM is how much of the ground is shown round what was found.
const aroundMM = 40

// sRGB is the value that stands for each of 4096 steps of light (IEC 61966-2-1).
var sRGB = func() (out [4097]uint8) {
	for i := range out {
		v := float64(i) / 4096
		out[i], _, _ = colorful.LinearRgb(v, v, v).Clamped().RGB255()
	}
	return out
}()

// Flat is the picture as it would be taken from straight above, and where it lies on
// the ground, in the millimetres of the scraps' outlines. It shows the scraps, what
// was left out and the sheets; what the picture does not show of it is grey.
func (r *Result) Flat() (image.Image, orb.Bound) {
	var seen orb.MultiPoint
	for _, s := range r.Scraps {
		for _, q := range s.Outline {
			seen = append(seen, q)
		}
	}
	inPicture := append([][]orb.Point(nil), r.sheets...)
	for _, p := range r.Problems {
		inPicture = append(inPicture, p.seen...)
	}
	for _, ring := range inPicture {
		for _, q := range ring {
			seen = append(seen, r.view.ground(q))
		}
	}
	box := seen.Bound().Pad(aroundMM)
	wide, high := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	// One size of point for both ways, and a whole number of them.
	mm := max(r.MMPerPoint, max(wide, high)/flatSide)
	w, h := int(math.Ceil(wide/mm)), int(math.Ceil(high/mm))
	box.Max = orb.Point{box.Min[0] + float64(w)*mm, box.Min[1] + float64(h)*mm}
	each := int(math.Ceil(mm / r.MMPerPoint)) // of the picture's points, along and across
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	rows(h, func(y int) {
		for x := range w {
			var sum [3]float32
			n := float32(0)
			for k := range each * each {
				q := r.view.point(orb.Point{
					box.Min[0] + (float64(x)+(float64(k%each)+0.5)/float64(each))*mm,
					box.Min[1] + (float64(y)+(float64(k/each)+0.5)/float64(each))*mm,
				})
				if q[0] >= 0 && q[1] >= 0 && q[0] < float64(r.picture.Width) && q[1] < float64(r.picture.Height) {
					add(&sum, r.picture.linearAt(q[0], q[1]))
					n++
				}
			}
			o := out.PixOffset(x, y)
			out.Pix[o+3] = 255
			for i := range sum {
				out.Pix[o+i] = 128
				if n > 0 {
					out.Pix[o+i] = sRGB[int(min(1, sum[i]/n)*4096)]
				}
			}
		}
	})
	return out, box
}
