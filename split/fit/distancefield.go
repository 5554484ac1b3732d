package fit

import "math"

// distanceField is a signed distance field of a cloth: on a grid, the distance
// to the nearest edge, positive on the cloth and negative off it. Guided local
// search descends along it: a part that hangs over the edge costs more the
// farther out it lies, so it is drawn back.
type distanceField struct {
	origin    vec
	step      float64
	nx, ny    int
	distances []float32
	bounds    box
}

// signedDistance is the cloth's distance field, computed when it is first asked
// for.
func (c *Cloth) signedDistance() *distanceField {
	c.once.Do(func() {
		const fine = 64
		b := c.region.bounds
		t := &distanceField{step: max(b.width(), b.height()) / fine, bounds: b}
		t.origin = b.min.sub(vec{2 * t.step, 2 * t.step})
		t.nx, t.ny = int(b.width()/t.step)+6, int(b.height()/t.step)+6
		t.distances = make([]float32, t.nx*t.ny)
		var pr probe
		for y := range t.ny {
			for x := range t.nx {
				p := t.origin.add(vec{float64(x) * t.step, float64(y) * t.step})
				d := c.region.rimDistance(p, &pr)
				if !c.region.contains(p) {
					d = -d
				}
				t.distances[y*t.nx+x] = float32(d)
			}
		}
		c.distances = t
	})
	return c.distances
}

// at is the signed distance at p: interpolated between four nodes, and off the
// grid the value at its border less the distance to it.
func (t *distanceField) at(p vec) float64 {
	x, y := (p.x-t.origin.x)/t.step, (p.y-t.origin.y)/t.step
	cx := max(0, min(x, float64(t.nx)-1.001))
	cy := max(0, min(y, float64(t.ny)-1.001))
	i, j := int(cx), int(cy)
	u, v := cx-float64(i), cy-float64(j)
	k := j*t.nx + i
	d := (float64(t.distances[k])*(1-u)+float64(t.distances[k+1])*u)*(1-v) + (float64(t.distances[k+t.nx])*(1-u)+float64(t.distances[k+t.nx+1])*u)*v
	return d - math.Hypot(x-cx, y-cy)*t.step
}

// rimDistance is the distance from p to the nearest edge of the region.
func (f *region) rimDistance(p vec, pr *probe) float64 {
	_, d := f.rimNearest(p, pr)
	return d
}

// rimNearest is the edge nearest to p, found in a box that doubles until it holds
// it, and the distance to it; -1 where the region has no edges.
func (f *region) rimNearest(p vec, pr *probe) (nearest int32, d float64) {
	for r := f.cell; ; r *= 2 {
		near := f.edgesIn(pr, p, r, r)
		nearest, d = -1, math.Inf(1)
		for _, k := range near {
			if by := segDist(p, f.edges[k].a, f.edges[k].b); by < d {
				nearest, d = k, by
			}
		}
		if d <= r || len(near) == len(f.edges) {
			return nearest, d
		}
	}
}
