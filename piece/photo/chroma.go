package photo

import "image"

// chroma is the colour of a picture that is stored with fewer points of colour than
// of light, as cameras do. Between its points it changes evenly: taken as
// squares of one colour, it would make steps beside every edge.
type chroma struct {
	m            *image.YCbCr
	w, h         int // points of colour
	byX, byY     int // points of light to each
	inset, above int // of the first, in points of light
}

func newChroma(m *image.YCbCr) chroma {
	c := chroma{m: m, byX: 1, byY: 1}
	switch m.SubsampleRatio {
	case image.YCbCrSubsampleRatio422:
		c.byX = 2
	case image.YCbCrSubsampleRatio420:
		c.byX, c.byY = 2, 2
	case image.YCbCrSubsampleRatio440:
		c.byY = 2
	case image.YCbCrSubsampleRatio411:
		c.byX = 4
	case image.YCbCrSubsampleRatio410:
		c.byX, c.byY = 4, 2
	}
	c.inset, c.above = m.Rect.Min.X/c.byX, m.Rect.Min.Y/c.byY
	c.w, c.h = (m.Rect.Max.X+c.byX-1)/c.byX-c.inset, (m.Rect.Max.Y+c.byY-1)/c.byY-c.above
	return c
}

// at is the colour at a point of light.
func (c chroma) at(x, y int) (cb, cr uint8) {
	// Each lies in the middle of its square: half-points, and whole ones
	// where there is one to each.
	i, fx, nx := between(x, c.byX, c.inset, c.w)
	j, fy, ny := between(y, c.byY, c.above, c.h)
	a := j*c.m.CStride + i
	right, down := 0, 0
	if i+1 < c.w {
		right = 1
	}
	if j+1 < c.h {
		down = c.m.CStride
	}
	mix := func(p []uint8) uint8 {
		top := (nx-fx)*int(p[a]) + fx*int(p[a+right])
		bottom := (nx-fx)*int(p[a+down]) + fx*int(p[a+down+right])
		n := nx * ny
		return uint8(((ny-fy)*top + fy*bottom + n/2) / n)
	}
	return mix(c.m.Cb), mix(c.m.Cr)
}

// between is the point of colour before a point of light, and how far it is
// past it, in parts of n.
func between(x, by, from, count int) (i, part, n int) {
	n = 2 * by
	t := max(2*x+1-by-2*by*from, 0)
	i = min(t/n, count-1)
	return i, t - i*n, n
}
