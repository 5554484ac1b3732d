package photo

// field is the picture made smaller by a whole factor, as light and colour.
type field struct {
	w, h, by int
	light    [][3]float32
	colour   []lab
	lost     func(x, y int) lab // the variance of a point's colour by how the picture was coded
}

// fieldSide is about how many points the longer side of a field has: enough to
// find scraps and holes in, whose outlines are then sought in the whole
// picture.
const fieldSide = 2000

func newField(p *Picture) *field {
	by := max(1, (max(p.Width, p.Height)+fieldSide/2)/fieldSide)
	f := &field{w: p.Width / by, h: p.Height / by, by: by}
	f.light, f.colour = make([][3]float32, f.w*f.h), make([]lab, f.w*f.h)
	f.lost = func(int, int) lab { return lab{} }
	if c := p.coded; c != nil {
		f.lost = func(x, y int) lab { return c.at(x*by+by/2, y*by+by/2, p.Width, p.Height) }
	}
	k := 1 / float32(by*by)
	rows(f.h, func(y int) {
		for x := range f.w {
			var sum [3]float32
			for j := range by {
				o := 3 * ((y*by+j)*p.Width + x*by)
				for i := range 3 * by {
					sum[i%3] += linear[p.pix[o+i]]
				}
			}
			c := [3]float32{sum[0] * k, sum[1] * k, sum[2] * k}
			f.light[y*f.w+x], f.colour[y*f.w+x] = c, toLab(c)
		}
	})
	return f
}

// slope is how fast the colour changes at each point, per point.
func (f *field) slope() []float32 {
	out := make([]float32, f.w*f.h)
	rows(f.h, func(y int) {
		if y == 0 || y == f.h-1 {
			return
		}
		for x := 1; x < f.w-1; x++ {
			k := y*f.w + x
			var sum float32
			for i := range 3 {
				at := func(dx, dy int) float32 { return f.colour[k+dy*f.w+dx][i] }
				// Sobel's operator (R. Duda, P. Hart, 1973), over 8.
				gx := at(1, -1) + 2*at(1, 0) + at(1, 1) - at(-1, -1) - 2*at(-1, 0) - at(-1, 1)
				gy := at(-1, 1) + 2*at(0, 1) + at(1, 1) - at(-1, -1) - 2*at(0, -1) - at(1, -1)
				sum += gx*gx + gy*gy
			}
			out[k] = sqrt32(sum) / 8
		}
	})
	return out
}
