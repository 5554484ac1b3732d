package photo

import (
	"image"
	"math"
)

// coded is how far the points of a JPEG may be off by its coding. A block of 8 by
// 8 points is stored as steps of its frequencies, and what is less than half a
// step is lost (ITU-T T.81, annex A): beside a sharp edge that is much, and
// a plain ground there is no longer plain; where nothing happens it is nothing.
type coded struct {
	across, down int   // blocks of light
	variances    []lab // of the points of each
	orientation  int
	by           int // stored points to each of the picture, along and across
}

// blocks is the variance of what is lost in each block of a plane.
type blocks struct {
	across, down int
	lost         []float32
}

// newCoded works out what is lost from the steps of a JPEG and the spread of
// each of its blocks.
func newCoded(m *image.YCbCr, steps [3][64]uint16, orientation, by int) *coded {
	c := newChroma(m)
	b := m.Bounds()
	light := lostIn(m.Y, m.YStride, b.Dx(), b.Dy(), steps[0])
	colours := [2]blocks{lostIn(m.Cb, m.CStride, c.w, c.h, steps[1]), lostIn(m.Cr, m.CStride, c.w, c.h, steps[2])}
	out := &coded{across: light.across, down: light.down, variances: make([]lab, len(light.lost)), orientation: orientation, by: by}
	for k, lost := range light.lost {
		v := &out.variances[k]
		for i := range v {
			v[i] = lost * perStep[0][i]
		}
		for n, p := range colours {
			lost := p.lost[min(k/out.across/c.byY, p.down-1)*p.across+min(k%out.across/c.byX, p.across-1)]
			for i := range v {
				v[i] += lost * perStep[1+n][i]
			}
		}
	}
	return out
}

// edgePower is the part of each frequency in the power of an edge that may run
// any way: it falls with the third power of the frequency (D. Field, Relations
// between the statistics of natural images, 1987, for edges alone).
var edgePower = func() (out [64]float64) {
	sum := 0.0
	for k := 1; k < 64; k++ {
		u, v := float64(k%8), float64(k/8)
		out[k] = math.Pow(u*u+v*v, -1.5)
		sum += out[k]
	}
	for k := range out {
		out[k] /= sum
	}
	return out
}()

// lostIn is what each block of a plane has lost: of each frequency as much as
// rounding to its steps loses, and no more than an edge of the block's power has
// there.
func lostIn(pix []uint8, stride, w, h int, steps [64]uint16) blocks {
	out := blocks{across: (w + 7) / 8, down: (h + 7) / 8}
	out.lost = make([]float32, out.across*out.down)
	var rounding [64]float64
	for k, q := range steps {
		rounding[k] = float64(q) * float64(q) / 12
	}
	rows(out.down, func(j int) {
		for i := range out.across {
			var sum, squares, n int
			for y := 8 * j; y < min(h, 8*j+8); y++ {
				for _, v := range pix[y*stride+8*i : y*stride+min(w, 8*i+8)] {
					sum, squares, n = sum+int(v), squares+int(v)*int(v), n+1
				}
			}
			mean := float64(sum) / float64(n)
			power := 64 * (float64(squares)/float64(n) - mean*mean)
			lost := 0.0
			for k := 1; k < 64; k++ {
				lost += min(rounding[k], power*edgePower[k])
			}
			out.lost[j*out.across+i] = float32(lost / 64)
		}
	})
	return out
}

// perStep is how much each step of Y, Cb and Cr changes L, a and b, squared, about
// a middling grey.
var perStep = func() (out [3][3]float32) {
	grey := toLab([3]float32{linear[128], linear[128], linear[128]})
	for k := range out {
		const far = 20
		c := [3]int{128, 128, 128}
		c[k] += far
		// ITU-T T.871.
		y, cb, cr := float64(c[0]), float64(c[1]-128), float64(c[2]-128)
		var light [3]float32
		for i, v := range [3]float64{y + 1.402*cr, y - 0.344136*cb - 0.714136*cr, y + 1.772*cb} {
			light[i] = linear[int(math.Round(v))]
		}
		for i, v := range toLab(light) {
			d := (v - grey[i]) / far
			out[k][i] = d * d
		}
	}
	return out
}()

// at is the variance of L, a and b at a point of a picture so wide and high.
func (c *coded) at(x, y, w, h int) lab {
	back := c.orientation
	switch back {
	case 6:
		back = 8
	case 8:
		back = 6
	}
	x, y = turn(x, y, w, h, back)
	return c.variances[min(y*c.by/8, c.down-1)*c.across+min(x*c.by/8, c.across-1)]
}
