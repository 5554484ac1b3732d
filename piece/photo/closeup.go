package photo

import (
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// closeup is what is seen about a node of an outline, and how the outline covers
// it (analysis by synthesis): at each point, how much of the light there is the cloth's,
// and how much should be.
type closeup struct {
	x, y   int // of its first point in the picture
	side   int
	ring   []orb.Point
	node   int
	cover  []float32 // by the ring
	lens   []float32 // Gaussian weights from the middle out
	part   []float32 // seen: 0 is the ground's colour, 1 that of the cloth nearby
	weight []float32
}

const (
	closeupPx     = 12  // each way from a node that is looked at
	closeupRoomPx = 5   // more each way, for what blur brings in
	closeupOff    = 0.2 // of the step from ground to cloth: what is off by more is a print, and counts for little
	closeupLeast  = 20  // points of ground and of cloth, without which there is nothing to tell
	mostlyCloth   = 0.9 // that a point is: the tip of a scrap has few that are all cloth
)

// closeupOf looks at the picture about a node of a ring, which is a hole's if it runs
// the other way. Free is whether a point is of the scrap or the ground.
func (p *Picture) closeupOf(ring []orb.Point, node int, blurPx float64, free func(x, y int) bool) (s *closeup, ok bool) {
	const half = closeupPx + closeupRoomPx
	s = &closeup{x: int(ring[node][0]) - half, y: int(ring[node][1]) - half, side: 2*half + 1, ring: ring, node: node, lens: gaussianLens(blurPx)}
	n := s.side * s.side
	s.cover, s.part, s.weight = make([]float32, n), make([]float32, n), make([]float32, n)
	s.add(s.cover, ring)
	if plane.SignedArea(ring) < 0 {
		for k := range s.cover {
			s.cover[k]++
		}
	}
	wide, covered := slices.Clone(s.cover), slices.Clone(s.cover)
	s.blur(wide, gaussianLens(2*blurPx))
	s.blur(covered, s.lens)
	light := make([][3]float32, n)
	seen := make([]bool, n)
	var grounds [3][]float64
	var cloth, mostly []int
	for k := range light {
		x, y := s.x+k%s.side, s.y+k/s.side
		if x < 0 || y < 0 || x >= p.Width || y >= p.Height || !free(x, y) {
			continue
		}
		o := 3 * (y*p.Width + x)
		seen[k], light[k] = true, opponent([3]float32{p.even.table[p.pix[o]], p.even.table[p.pix[o+1]], p.even.table[p.pix[o+2]]})
		switch {
		case wide[k] < 0.03:
			for ch, v := range light[k] {
				grounds[ch] = append(grounds[ch], float64(v))
			}
		case wide[k] > 0.97:
			cloth = append(cloth, k)
		}
		if covered[k] > mostlyCloth {
			mostly = append(mostly, k)
		}
	}
	if len(cloth) < closeupLeast {
		cloth = mostly
	}
	if len(grounds[0]) < closeupLeast || len(cloth) < closeupLeast {
		return nil, false
	}
	var ground [3]float32
	for ch := range ground {
		ground[ch] = float32(median(grounds[ch]))
	}
	var steps []float64
	for k := range light {
		x, y := k%s.side, k/s.side
		if !seen[k] || min(x, y) < closeupRoomPx || max(x, y) >= s.side-closeupRoomPx {
			continue
		}
		near := s.nearest(cloth, x, y)
		var norm, dot float32
		for ch, v := range light[near] {
			step := (v - ground[ch]) / min(covered[near], 1) // the ground's part taken out
			norm += step * step
			dot += (light[k][ch] - ground[ch]) * step
		}
		if norm > 1e-6 {
			s.part[k], s.weight[k] = dot/norm, norm
			steps = append(steps, float64(norm))
		}
	}
	if len(steps) < 2*closeupLeast {
		return nil, false
	}
	usual := float32(median(steps))
	for k := range s.weight {
		s.weight[k] = min(1, s.weight[k]/usual)
	}
	return s, true
}

// nearest is which of some points is nearest to a place.
func (s *closeup) nearest(points []int, x, y int) int {
	at, least := 0, math.MaxInt
	for _, k := range points {
		dx, dy := k%s.side-x, k/s.side-y
		if d := dx*dx + dy*dy; d < least {
			at, least = k, d
		}
	}
	return at
}

// unlike is how unlike what is seen the picture of the outline would be, with a corner
// at the node if there is one.
func (s *closeup) unlike(c *corner) (sum float64) {
	v := slices.Clone(s.cover)
	if c != nil {
		// What changes is what lies between the outline as it is and as it would be.
		n := len(s.ring)
		line := []orb.Point{s.ring[round(s.node-c.nodes-1, n)], c.from, c.at, c.to}
		for d := c.nodes + 1; d >= -c.nodes; d-- {
			line = append(line, s.ring[round(s.node+d, n)])
		}
		s.add(v, line)
	}
	for k := range v {
		v[k] = min(max(v[k], 0), 1)
	}
	s.blur(v, s.lens)
	for k, w := range s.weight {
		if w > 0 {
			r := float64(s.part[k]-v[k]) / closeupOff
			sum += float64(w) * math.Log1p(r*r) // Cauchy's distribution
		}
	}
	return sum
}

// opponent is light as brightness and two differences of colour, of which a JPEG
// keeps less.
func opponent(c [3]float32) [3]float32 {
	y := luminance(c)
	return [3]float32{y, 0.5 * (c[0] - y), 0.5 * (c[2] - y)}
}

// gaussianLens is the weights of a Gaussian from its middle out.
func gaussianLens(sigma float64) []float32 {
	out := make([]float32, 1+min(int(math.Ceil(2.6*sigma)), closeupRoomPx))
	sum := 0.0
	for k := range out {
		w := math.Exp(-float64(k*k) / (2 * sigma * sigma))
		out[k] = float32(w)
		if sum += w; k > 0 {
			sum += w
		}
	}
	for k := range out {
		out[k] /= float32(sum)
	}
	return out
}

// blur filters values of the points, across and down; beyond them is what is at their edge.
func (s *closeup) blur(v, lens []float32) {
	n := s.side
	line := make([]float32, n)
	for _, step := range [2]int{1, n} {
		for i := range n {
			from := i * (n + 1 - step)
			at := func(k int) float32 { return v[from+min(max(k, 0), n-1)*step] }
			for k := range line {
				line[k] = lens[0] * at(k)
				for d := 1; d < len(lens); d++ {
					line[k] += lens[d] * (at(k-d) + at(k+d))
				}
			}
			for k, x := range line {
				v[from+k*step] = x
			}
		}
	}
}

// add adds to each point how much of it a ring covers, or takes it away where the ring
// runs anticlockwise on the page: row by row, by what lies to the right of each of its sides.
func (s *closeup) add(cover []float32, ring []orb.Point) {
	n := s.side
	change := make([]float64, n*(n+1)) // from each point to the next in its row
	corner := orb.Point{float64(s.x), float64(s.y)}
	a := plane.Sub(ring[len(ring)-1], corner)
	for _, q := range ring {
		b := plane.Sub(q, corner)
		s.addSide(change, a, b)
		a = b
	}
	for y := range n {
		sum := 0.0
		for x := range n {
			sum += change[y*(n+1)+x]
			cover[y*n+x] += float32(sum)
		}
	}
}

func (s *closeup) addSide(change []float64, a, b orb.Point) {
	n := s.side
	sign := -1.0 // cloth is to the left of a side that runs down
	if a[1] > b[1] {
		a, b, sign = b, a, 1
	}
	if a[1] == b[1] {
		return
	}
	slope := (b[0] - a[0]) / (b[1] - a[1])
	for y := max(0, int(a[1])); y < n && float64(y) < b[1]; y++ {
		top, bottom := max(float64(y), a[1]), min(float64(y+1), b[1])
		x0 := min(max(a[0]+(top-a[1])*slope, 0), float64(n))
		x1 := min(max(a[0]+(bottom-a[1])*slope, 0), float64(n))
		if x0 > x1 {
			x0, x1 = x1, x0
		}
		high := sign * (bottom - top)
		row := change[y*(n+1) : (y+1)*(n+1)]
		was := 0.0
		last := min(int(x1), n-1)
		for x := int(x0); x <= last; x++ {
			now := high * rightOf(x0, x1, float64(x))
			row[x] += now - was
			was = now
		}
		row[last+1] += high - was
	}
}

// rightOf is how much of a column of one point's width, beginning at x, lies right of a
// side that runs from x0 to x1 across its row, x0 being no more than x1.
func rightOf(x0, x1, x float64) float64 {
	if x1-x0 < 1e-9 {
		return min(max(x+1-x0, 0), 1)
	}
	// What lies right of one place is min(max(x+1-place, 0), 1); this is its integral.
	integral := func(place float64) float64 {
		u := min(max(x+1-place, 0), 1)
		return min(place, x) + 0.5*(1-u*u)
	}
	return (integral(x1) - integral(x0)) / (x1 - x0)
}
