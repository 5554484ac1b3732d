package staged

import (
	"image"
	"math"
	"runtime"
	"sync"

	"github.com/paulmach/orb"
	"golang.org/x/image/vector"
)

// Camera looks down on the ground.
type Camera struct {
	Over           orb.Point // above this point of the ground
	HeightMM       float64
	TiltX, TiltY   float64    // degrees from straight down
	RollDeg        float64    // of the picture
	Focal          float64    // in half diagonals of the picture
	Bend           [2]float64 // of lines: a point at r (half diagonals) goes to r·(1 + Bend0·r² + Bend1·r⁴)
	OffX, OffY     float64    // of the lens's axis from the picture's middle, half diagonals
	rotation       [3][3]float64
	rotationIsMade bool
}

func (c *Camera) turn() [3][3]float64 {
	if !c.rotationIsMade {
		deg := math.Pi / 180
		sx, cx := math.Sincos(c.TiltX * deg)
		sy, cy := math.Sincos(c.TiltY * deg)
		sz, cz := math.Sincos(c.RollDeg * deg)
		x := [3][3]float64{{1, 0, 0}, {0, cx, -sx}, {0, sx, cx}}
		y := [3][3]float64{{cy, 0, sy}, {0, 1, 0}, {-sy, 0, cy}}
		z := [3][3]float64{{cz, -sz, 0}, {sz, cz, 0}, {0, 0, 1}}
		c.rotation, c.rotationIsMade = product(z, product(x, y)), true
	}
	return c.rotation
}

func product(a, b [3][3]float64) (out [3][3]float64) {
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return out
}

// Point is where a point of the ground is in a picture w by h.
func (c *Camera) Point(q orb.Point, w, h int) orb.Point {
	r := c.turn()
	v := [3]float64{q[0] - c.Over[0], q[1] - c.Over[1], c.HeightMM}
	var p [3]float64
	for i := range p {
		for j := range v {
			p[i] += r[i][j] * v[j]
		}
	}
	x, y := c.Focal*p[0]/p[2], c.Focal*p[1]/p[2]
	r2 := x*x + y*y
	k := 1 + c.Bend[0]*r2 + c.Bend[1]*r2*r2
	half := math.Hypot(float64(w), float64(h)) / 2
	return orb.Point{float64(w)/2 + half*(x*k+c.OffX), float64(h)/2 + half*(y*k+c.OffY)}
}

// Ground is the point of the ground that is seen at a point of the picture.
func (c *Camera) Ground(p orb.Point, w, h int) orb.Point {
	half := math.Hypot(float64(w), float64(h)) / 2
	x, y := (p[0]-float64(w)/2)/half-c.OffX, (p[1]-float64(h)/2)/half-c.OffY
	d := math.Hypot(x, y)
	r := d
	for range 12 {
		r2 := r * r
		r -= (r*(1+c.Bend[0]*r2+c.Bend[1]*r2*r2) - d) / (1 + 3*c.Bend[0]*r2 + 5*c.Bend[1]*r2*r2)
	}
	if d > 0 {
		x, y = x*r/d, y*r/d
	}
	ray := [3]float64{x / c.Focal, y / c.Focal, 1}
	m := c.turn()
	var v [3]float64
	for i := range v {
		for j := range ray {
			v[i] += m[j][i] * ray[j]
		}
	}
	return orb.Point{c.Over[0] + v[0]/v[2]*c.HeightMM, c.Over[1] + v[1]/v[2]*c.HeightMM}
}

// MMPerPoint is how much of the ground a point of the picture shows at its
// middle.
func (c *Camera) MMPerPoint(w, h int) float64 {
	mid := orb.Point{float64(w) / 2, float64(h) / 2}
	a, b := c.Ground(mid, w, h), c.Ground(orb.Point{mid[0] + 1, mid[1]}, w, h)
	return math.Hypot(b[0]-a[0], b[1]-a[1])
}

// cover is how far rings cover each point of the picture; what lies in two of
// them that run against each other, as a hole does, is not covered.
func (s *Scene) cover(rings []orb.Ring) []float32 {
	w, h := s.Width, s.Height
	v := vector.NewRasterizer(w, h)
	for i, r := range rings {
		var dense []orb.Point
		for k, a := range r {
			b := r[(k+1)%len(r)]
			n := max(1, int(math.Hypot(b[0]-a[0], b[1]-a[1])/4))
			for j := range n {
				t := float64(j) / float64(n)
				dense = append(dense, s.Camera.Point(orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}, w, h))
			}
		}
		if i > 0 && clockwise(dense) == clockwise(rings[0]) && inside(rings[0], r[0]) {
			for a, b := 0, len(dense)-1; a < b; a, b = a+1, b-1 {
				dense[a], dense[b] = dense[b], dense[a]
			}
		}
		for k, p := range dense {
			x, y := float32(p[0]), float32(p[1])
			if k == 0 {
				v.MoveTo(x, y)
			} else {
				v.LineTo(x, y)
			}
		}
		v.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, w, h))
	v.Draw(mask, mask.Rect, image.Opaque, image.Point{})
	out := make([]float32, w*h)
	for k, a := range mask.Pix {
		out[k] = float32(a) / 255
	}
	return out
}

func clockwise(r []orb.Point) bool {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum > 0
}

func inside(r orb.Ring, q orb.Point) bool {
	in := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// blurred is values w by h after three box filters, which are near a Gaussian
// of that standard deviation (P. Kovesi, Fast almost-Gaussian filtering, 2010).
func blurred(v []float32, w, h int, sigma float64) []float32 {
	if sigma < 0.3 {
		return v
	}
	a, b := v, make([]float32, len(v))
	out := make([]float32, len(v))
	// A box that reaches r + f points each way, its ends counted by f.
	r := (math.Sqrt(1+4*sigma*sigma) - 1) / 2
	for range 3 {
		box(a, b, w, h, 1, w, r)
		box(b, out, h, w, w, 1, r)
		a = out
	}
	return out
}

// box filters n lines of m values each, at distances step and line.
func box(from, to []float32, m, n, step, line int, r float64) {
	whole := int(r)
	f := float32(r - float64(whole))
	norm := 1 / float32(2*r+1)
	each(n, func(i int) {
		at := func(k int) float32 { return from[i*line+min(max(k, 0), m-1)*step] }
		var sum float32
		for k := -whole; k <= whole; k++ {
			sum += at(k)
		}
		for k := range m {
			to[i*line+k*step] = norm * (sum + f*(at(k-whole-1)+at(k+whole+1)))
			sum += at(k+whole+1) - at(k-whole)
		}
	})
}

// each does something for each of n rows, on all cores.
func each(n int, do func(i int)) {
	var wg sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for c := range cores {
		wg.Go(func() {
			for i := c; i < n; i += cores {
				do(i)
			}
		})
	}
	wg.Wait()
}
