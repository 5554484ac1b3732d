package photo

import (
	"image"
	"image/color"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// Picture is a photograph upright, as sRGB values.
type Picture struct {
	Width, Height int
	pix           []uint8 // red, green and blue, row by row
	coded         *coded  // what a JPEG has lost, if it is one
	even          *scale  // on which edges are as sharp on their one side as on their other
}

// newPicture is an image turned as EXIF orientation says, and made smaller
// where it has more points than are of use.
func newPicture(img image.Image, orientation int) *Picture {
	b := img.Bounds()
	k := shrink(b)
	w, h := b.Dx()/k, b.Dy()/k
	p := &Picture{Width: w, Height: h, even: byLight}
	if orientation >= 5 {
		p.Width, p.Height = h, w
	}
	p.pix = make([]uint8, 3*w*h)
	at := pixelReader(img)
	rows(h, func(y int) {
		for x := range w {
			var r, g, bl int
			for j := range k {
				for i := range k {
					c := at(b.Min.X+x*k+i, b.Min.Y+y*k+j)
					r, g, bl = r+int(c[0]), g+int(c[1]), bl+int(c[2])
				}
			}
			n := k * k
			tx, ty := turn(x, y, w, h, orientation)
			o := 3 * (ty*p.Width + tx)
			p.pix[o], p.pix[o+1], p.pix[o+2] = uint8((r+n/2)/n), uint8((g+n/2)/n), uint8((bl+n/2)/n)
		}
	})
	return p
}

// shrink is by which whole factor a picture is made smaller.
func shrink(b image.Rectangle) int {
	k := 1
	for b.Dx()/k*(b.Dy()/k) > mostPixels {
		k++
	}
	return k
}

// turn is where a point of a picture w by h goes by its EXIF orientation
// (EXIF 2.32, tag 0x0112).
func turn(x, y, w, h, orientation int) (int, int) {
	switch orientation {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6:
		return h - 1 - y, x
	case 7:
		return h - 1 - y, w - 1 - x
	case 8:
		return y, w - 1 - x
	}
	return x, y
}

// pixelReader gives the colour of points, on white where an image is
// transparent.
func pixelReader(img image.Image) func(x, y int) [3]uint8 {
	switch m := img.(type) {
	case *image.YCbCr:
		chroma := newChroma(m)
		return func(x, y int) [3]uint8 {
			cb, cr := chroma.at(x, y)
			r, g, b := color.YCbCrToRGB(m.Y[m.YOffset(x, y)], cb, cr)
			return [3]uint8{r, g, b}
		}
	case *image.Gray:
		return func(x, y int) [3]uint8 {
			v := m.Pix[m.PixOffset(x, y)]
			return [3]uint8{v, v, v}
		}
	}
	return func(x, y int) [3]uint8 {
		r, g, b, a := img.At(x, y).RGBA()
		rest := 0xFFFF - a
		return [3]uint8{uint8((r + rest) >> 8), uint8((g + rest) >> 8), uint8((b + rest) >> 8)}
	}
}

// rows does something for each row, on all cores. What is done for one row
// must not touch another's.
func rows(n int, do func(y int)) {
	const chunk = 16
	g := new(errgroup.Group)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for from := 0; from < n; from += chunk {
		g.Go(func() error {
			for y := from; y < min(n, from+chunk); y++ {
				do(y)
			}
			return nil
		})
	}
	_ = g.Wait() // no row fails
}

// linearAt is the light at a point, red, green and blue from 0 to 1, between
// the centres of pixels; beyond the edge it is that of the edge.
func (p *Picture) linearAt(x, y float64) [3]float32 { return p.colourAt(x, y, byLight) }

// colourAt is the same on a scale.
func (p *Picture) colourAt(x, y float64, s *scale) [3]float32 {
	x, y = min(max(x-0.5, 0), float64(p.Width-1)), min(max(y-0.5, 0), float64(p.Height-1))
	x0, y0 := int(x), int(y)
	x1, y1 := min(x0+1, p.Width-1), min(y0+1, p.Height-1)
	fx, fy := float32(x-float64(x0)), float32(y-float64(y0))
	a, b := 3*(y0*p.Width+x0), 3*(y0*p.Width+x1)
	c, d := 3*(y1*p.Width+x0), 3*(y1*p.Width+x1)
	var out [3]float32
	for i := range out {
		top := s.table[p.pix[a+i]]*(1-fx) + s.table[p.pix[b+i]]*fx
		bottom := s.table[p.pix[c+i]]*(1-fx) + s.table[p.pix[d+i]]*fx
		out[i] = top*(1-fy) + bottom*fy
	}
	return out
}

// brightAt is how bright a grey is, from 0 to 1 on the scale on which edges are even, that has the luma of a
// point (ITU-T T.871), between the centres of pixels. A JPEG has the luma of each point, and the colours of squares
// of them only, which run over an edge.
func (p *Picture) brightAt(x, y float64) float32 { return p.lumaAt(x, y, p.even) }

// lumaAt is the same on any scale.
func (p *Picture) lumaAt(x, y float64, s *scale) float32 {
	x, y = min(max(x-0.5, 0), float64(p.Width-1)), min(max(y-0.5, 0), float64(p.Height-1))
	x0, y0 := int(x), int(y)
	x1, y1 := min(x0+1, p.Width-1), min(y0+1, p.Height-1)
	fx, fy := float32(x-float64(x0)), float32(y-float64(y0))
	at := func(x, y int) float32 {
		o := 3 * (y*p.Width + x)
		return s.table[(299*int(p.pix[o])+587*int(p.pix[o+1])+114*int(p.pix[o+2])+500)/1000]
	}
	return (at(x0, y0)*(1-fx)+at(x1, y0)*fx)*(1-fy) + (at(x0, y1)*(1-fx)+at(x1, y1)*fx)*fy
}

// lightAt is the luminance at a point, from 0 to 1, on the scale on which edges are even.
func (p *Picture) lightAt(x, y float64) float64 {
	c := p.colourAt(x, y, p.even)
	return luminance([3]float64{float64(c[0]), float64(c[1]), float64(c[2])})
}

// luminance is how bright light of the sRGB primaries is (ITU-R BT.709).
func luminance[F float32 | float64](c [3]F) F { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }
