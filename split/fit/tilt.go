package fit

import "math"

// tilt is a grid of signed distances to a cloth's rim, positive on the cloth:
// the slope down which a part that hangs over slides back.
type tilt struct {
	org    vec
	step   float64
	nx, ny int
	d      []float32
	bounds box
}

// tilted is built when first asked.
func (c *Cloth) tilted() *tilt {
	c.once.Do(func() {
		const fine = 64
		b := c.rim.bounds
		t := &tilt{step: max(b.width(), b.height()) / fine, bounds: b}
		t.org = b.min.sub(vec{2 * t.step, 2 * t.step})
		t.nx, t.ny = int(b.width()/t.step)+6, int(b.height()/t.step)+6
		t.d = make([]float32, t.nx*t.ny)
		var pr probe
		for y := range t.ny {
			for x := range t.nx {
				p := t.org.add(vec{float64(x) * t.step, float64(y) * t.step})
				d := c.rim.nearest(p, &pr)
				if !c.rim.has(p) {
					d = -d
				}
				t.d[y*t.nx+x] = float32(d)
			}
		}
		c.slope = t
	})
	return c.slope
}

// at is the signed distance at p, between the grid's points and beyond them.
func (t *tilt) at(p vec) float64 {
	x, y := (p.x-t.org.x)/t.step, (p.y-t.org.y)/t.step
	cx := max(0, min(x, float64(t.nx)-1.001))
	cy := max(0, min(y, float64(t.ny)-1.001))
	i, j := int(cx), int(cy)
	u, v := cx-float64(i), cy-float64(j)
	k := j*t.nx + i
	d := (float64(t.d[k])*(1-u)+float64(t.d[k+1])*u)*(1-v) + (float64(t.d[k+t.nx])*(1-u)+float64(t.d[k+t.nx+1])*u)*v
	return d - math.Hypot(x-cx, y-cy)*t.step
}

// nearest is the distance from p to the rim.
func (f *field) nearest(p vec, pr *probe) float64 {
	for r := f.cell; ; r *= 2 {
		near := f.gather(pr, p, r, r)
		if d := f.dist(p, near); d <= r || len(near) == len(f.edges) {
			return d
		}
	}
}
