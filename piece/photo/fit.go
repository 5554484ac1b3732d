package photo

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/mat"
)

// match is a point of the ground, in mm, and where it is in the picture.
type match struct{ ground, at orb.Point }

// homography sets the view to the homography that fits four points or more
// best (the direct linear transform: R. Hartley, A. Zisserman, Multiple View
// Geometry in Computer Vision, 2nd edition 2004, 4.1), or with three points to
// the affine map through them.
func (v *view) homography(all []match) error {
	if len(all) < 3 {
		return errors.New("too few points of the sheet are seen")
	}
	cols := 8
	if len(all) == 3 {
		cols = 6
	}
	a, b := mat.NewDense(2*len(all), cols, nil), mat.NewVecDense(2*len(all), nil)
	for i, m := range all {
		x, y := m.ground[0]/groundMM, m.ground[1]/groundMM
		p := v.straight(m.at)
		rows := [2][]float64{{x, y, 1, 0, 0, 0, -p[0] * x, -p[0] * y}, {0, 0, 0, x, y, 1, -p[1] * x, -p[1] * y}}
		for k := range rows {
			a.SetRow(2*i+k, rows[k][:cols])
			b.SetVec(2*i+k, p[k])
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return errors.New("the points of the sheet lie in one line")
	}
	v.h = [8]float64{}
	for i := range cols {
		v.h[i] = x.AtVec(i)
	}
	return nil
}

// laid is where a sheet lies on the ground: turned by an angle and moved.
type laid struct{ turn, x, y float64 }

func (l laid) on(q orb.Point) orb.Point {
	s, c := math.Sincos(l.turn)
	return orb.Point{c*q[0] - s*q[1] + l.x, s*q[0] + c*q[1] + l.y}
}

// usualBend is how far the lenses of phones bend lines after the camera has
// straightened them, as a standard deviation at the picture's corner: makers of lenses allow 1 to
// 2 % (from memory), and not every camera straightens lines. Where sheets and straight edges say
// little, outlines are as unsure as it makes them.
const usualBend = 0.02

// fitted is a view with what is known of its errors.
type fitted struct {
	view
	sheets []laid
	rmsPx  float64    // how far sightings are off
	sigma  *mat.Dense // each column: one standard deviation of one of the independent ways in which the parameters err
	paper  *mat.Dense // the same of the sides of plain sheets, on top of it; nil without such
	seen   []sighting // what it is fitted to
	told   float64    // the bend, by all but the sheets
	unsure float64    // how far that may be off, as a standard deviation
	sides  []cutSide  // of plain sheets
	joints []joint    // of the floor that run the same way
	ways   []family
}

// adjust fits the homography, the bend and how each sheet after the first lies
// to all sightings at once, by damped least squares (Gauss-Newton with the
// damping of K. Levenberg, 1944; the whole is a bundle adjustment, B. Triggs et
// al., 2000). Sightings that are far off are left out, and it is done again.
func adjust(start view, sheets []laid, all []sighting) (*fitted, error) {
	f := &fitted{view: start, sheets: slices.Clone(sheets), unsure: usualBend, sides: cutSides(all)}
	for round := range 3 {
		if len(all) < 8 {
			return nil, errors.New("too little of the sheet is clearly seen")
		}
		if err := f.solve(all); err != nil {
			return nil, err
		}
		if round == 2 {
			break
		}
		var off []float64
		for _, s := range all {
			off = append(off, math.Abs(f.miss(s)))
		}
		sorted := slices.Sorted(slices.Values(off))
		most := max(0.15, 3.5*1.4826*sorted[len(sorted)/2]) // of the median, as of a normal spread
		kept := all[:0:0]
		for i, s := range all {
			if off[i] <= most {
				kept = append(kept, s)
			}
		}
		all = kept
	}
	f.seen = all
	return f, nil
}

// miss is how far, in points of the picture, a sighting is from where the view
// has it, across the edge.
func (f *fitted) miss(s sighting) float64 {
	p := f.point(f.sheets[s.sheet].on(f.cut(s)))
	return plane.Dot(s.normal, plane.Sub(s.at, p))
}

// bendParam is which of the parameters is the bend.
const bendParam = 8

func (f *fitted) params() []float64 {
	out := append(slices.Clone(f.h[:]), f.bend)
	for _, l := range f.sheets[1:] {
		out = append(out, l.turn, l.x/groundMM, l.y/groundMM)
	}
	for _, w := range f.ways {
		out = append(out, w.bearing, w.fan)
	}
	for _, c := range f.sides {
		out = append(out, c.move, c.turn)
	}
	return out
}

func (f *fitted) set(p []float64) {
	copy(f.h[:], p)
	f.bend = min(max(p[bendParam], -0.15), 0.15)
	for i := range f.sheets[1:] {
		k := bendParam + 1 + 3*i
		f.sheets[i+1] = laid{p[k], p[k+1] * groundMM, p[k+2] * groundMM}
	}
	rest := p[bendParam+1+3*len(f.sheets[1:]):]
	for i := range f.ways {
		f.ways[i].bearing, f.ways[i].fan = rest[2*i], rest[2*i+1]
	}
	for i := range f.sides {
		k := 2*len(f.ways) + 2*i
		f.sides[i].move, f.sides[i].turn = rest[k], rest[k+1]
	}
}

// noisePx is how far a sighting of an edge is off by itself at least: what staged
// pictures show at their best.
const noisePx = 0.03

func (f *fitted) solve(all []sighting) error {
	p := f.params()
	// What is minimised: each miss over the noise, and how far the bend is from what is told of it, the sides of paper are
	// from where they should be, joints from running the same way, and how far they fan out.
	residuals := func(noise float64) []float64 {
		out := make([]float64, 0, len(all)+1+2*len(f.sides)+len(f.ways)+len(f.joints))
		for _, s := range all {
			out = append(out, f.miss(s)/noise)
		}
		out = append(out, (f.bend-f.told)/f.unsure)
		for _, c := range f.sides {
			out = append(out, c.move, c.turn)
		}
		for _, w := range f.ways {
			out = append(out, w.fan)
		}
		for _, l := range f.joints {
			out = append(out, f.askew(l)/l.noise)
		}
		return out
	}
	n, m := len(p), len(residuals(1))
	sum := func(r []float64) (s float64) {
		for _, x := range r {
			s += x * x
		}
		return s
	}
	noise := 0.15
	if f.rmsPx > 0 {
		noise = shared(len(all)) * max(noisePx, f.rmsPx)
	}
	jacobian := func(r []float64) *mat.Dense {
		const h = 1e-6
		j := mat.NewDense(m, n, nil)
		for k := range n {
			q := slices.Clone(p)
			q[k] += h
			f.set(q)
			for i, x := range residuals(noise) {
				j.Set(i, k, (x-r[i])/h)
			}
		}
		f.set(p)
		return j
	}
	r := residuals(noise)
	damping := 1e-6
	for range 40 {
		j := jacobian(r)
		// The damped step is the least-squares solution of J over a diagonal.
		a, b := mat.NewDense(m+n, n, nil), mat.NewVecDense(m+n, nil)
		a.Slice(0, m, 0, n).(*mat.Dense).Copy(j)
		for i := range m {
			b.SetVec(i, -r[i])
		}
		for k := range n {
			a.Set(m+k, k, math.Sqrt(damping)*mat.Norm(j.ColView(k), 2))
		}
		var step mat.VecDense
		if err := step.SolveVec(a, b); err != nil {
			return fmt.Errorf("the sheet does not say the picture's scale: %w", err)
		}
		q := slices.Clone(p)
		for k := range q {
			q[k] += step.AtVec(k)
		}
		f.set(q)
		next := residuals(noise)
		was := sum(r)
		if now := sum(next); now < was {
			p, r, damping = q, next, max(damping/10, 1e-12)
			if was-now < 1e-9*was {
				break
			}
			continue
		}
		f.set(p)
		if damping *= 10; damping > 1e3 {
			break
		}
	}
	f.rmsPx = 0
	for _, s := range all {
		d := f.miss(s)
		f.rmsPx += d * d
	}
	f.rmsPx = math.Sqrt(f.rmsPx / float64(max(1, len(all)-n)))
	noise = max(noisePx, f.rmsPx)
	return f.spread(jacobian(residuals(noise)), len(all))
}

// shared is by how much more the misses of many edges side by side err together
// than by themselves: they share pixels, the paper's own waves, and what blur
// does to squares next to each other. No more than so many of them are worth one
// each.
func shared(sightings int) float64 {
	const noise, most = 2, 200
	return noise * math.Sqrt(max(1, float64(sightings)/most))
}

// spread works out how the parameters err. It makes each row of a sighting as light as it is among so many.
func (f *fitted) spread(j *mat.Dense, sightings int) error {
	m, n := j.Dims()
	for i := range sightings {
		for k := range n {
			j.Set(i, k, j.At(i, k)/shared(sightings))
		}
	}
	own := n - 2*len(f.sides)
	var err error
	if f.sigma, err = errs(j.Slice(0, m, 0, own).(*mat.Dense)); err != nil || own == n {
		f.paper = nil
		return err
	}
	all, err := errs(j)
	f.paper = beyond(all, f.sigma)
	return err
}

// errs is the independent ways in which parameters err, one standard deviation each, by the Jacobian of what is
// minimised: the columns of V/S of its singular values.
func errs(j *mat.Dense) (*mat.Dense, error) {
	_, n := j.Dims()
	var svd mat.SVD
	if !svd.Factorize(j, mat.SVDThin) {
		return nil, errors.New("the sheet does not say the picture's scale")
	}
	var v mat.Dense
	svd.VTo(&v)
	for k, s := range svd.Values(nil) {
		for i := range n {
			v.Set(i, k, v.At(i, k)/max(s, 1e-9))
		}
	}
	return &v, nil
}

// bendErr is how the parameters err together where the bend does, and by how much that
// is, as a standard deviation.
func (f *fitted) bendErr() (way []float64, bend float64) {
	n, cols := f.sigma.Dims()
	for k := range cols {
		bend = math.Hypot(bend, f.sigma.At(bendParam, k))
	}
	way = make([]float64, n)
	for i := range way {
		for k := range cols {
			way[i] += f.sigma.At(i, k) * f.sigma.At(bendParam, k) / bend
		}
	}
	return way, bend
}

// strayMM is how far an outline's shape may be off because the view is: the
// standard deviation of its points, after it is laid on itself as well as it
// can be, what of that is the bend's, and what comes on top of it because the sides of plain
// sheets are. Where it lies does not matter to who cuts it.
func (f *fitted) strayMM(outline []orb.Point) (mm, byBend, byPaper float64) {
	at := make([]orb.Point, 0, 64)
	was := make([]orb.Point, 0, 64)
	for i := 0; i < len(outline); i += max(1, len(outline)/48) {
		was = append(was, outline[i])
		at = append(at, f.point(outline[i]))
	}
	p := f.params()
	square := func(way []float64) float64 {
		g := *f
		g.sheets, g.sides, g.ways = slices.Clone(f.sheets), slices.Clone(f.sides), slices.Clone(f.ways)
		q := slices.Clone(p)
		for i, d := range way {
			q[i] += d
		}
		g.set(q)
		now := make([]orb.Point, len(at))
		for i, a := range at {
			now[i] = g.ground(a)
		}
		return misfit(was, now)
	}
	squares := func(ways *mat.Dense) (sum float64) {
		_, n := ways.Dims()
		for k := range n {
			sum += square(mat.Col(nil, k, ways))
		}
		return sum
	}
	sum, paper := squares(f.sigma), 0.0
	if f.paper != nil {
		paper = squares(f.paper)
	}
	way, _ := f.bendErr()
	return math.Sqrt(sum), math.Sqrt(min(sum, square(way))), math.Sqrt(paper)
}

// misfit is the mean square distance of points from others after the best turn
// and shift, for small turns.
func misfit(was, now []orb.Point) float64 {
	var a, b orb.Point
	for i := range was {
		a, b = plane.Add(a, was[i]), plane.Add(b, now[i])
	}
	k := 1 / float64(len(was))
	a, b = plane.Scale(a, k), plane.Scale(b, k)
	var dot, cross float64
	for i := range was {
		p, q := plane.Sub(was[i], a), plane.Sub(now[i], b)
		dot += plane.Dot(p, q)
		cross += plane.Cross(p, q)
	}
	s, c := math.Sincos(math.Atan2(cross, dot))
	sum := 0.0
	for i := range was {
		p, q := plane.Sub(was[i], a), plane.Sub(now[i], b)
		d := plane.Sub(q, orb.Point{c*p[0] - s*p[1], s*p[0] + c*p[1]})
		sum += plane.Dot(d, d)
	}
	return sum * k
}
