package photo

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// ground is what the scraps lie on: its colour everywhere, as uneven light and
// soft shadows make it, on a grid of cells, and how much its texture differs
// from that.
type ground struct {
	across, down int
	cell         int // side of a cell, in points of the field
	colour       []lab
	light        [][3]float32
	spread       lab     // standard deviation of its points
	tones        float32 // the same of the lightness of its boards or tiles
}

const cellSide = 16

// patch is what a cell of the field looks like.
type patch struct {
	mean   lab
	spread float64
	rim    bool
}

var errNoGround = errors.New("no plain ground is seen round the scraps")

// newGround finds the ground: the colour that most of the picture, and of its
// rim above all, is near to, with the light's unevenness fitted as a polynomial
// of the second degree.
func newGround(f *field) (*ground, error) {
	g := &ground{across: (f.w + cellSide - 1) / cellSide, down: (f.h + cellSide - 1) / cellSide, cell: cellSide}
	cells := make([]patch, g.across*g.down)
	rows(g.down, func(cy int) {
		for cx := range g.across {
			cells[cy*g.across+cx] = f.patch(cx, cy)
			cells[cy*g.across+cx].rim = cx < 2 || cy < 2 || cx >= g.across-2 || cy >= g.down-2
		}
	})
	common := commonest(cells)
	var in []int
	for i, c := range cells {
		if evenly(c.mean, common) < 12 {
			in = append(in, i)
		}
	}
	var model [3][]float64
	for round := range 8 {
		if len(in) < 24 {
			return nil, errNoGround
		}
		for ch := range model {
			var err error
			if model[ch], err = g.polynomial(cells, in, ch); err != nil {
				return nil, errNoGround
			}
		}
		var off []float64
		all := make([]float64, len(cells))
		for i, c := range cells {
			if v := g.value(model, i); round < 4 {
				all[i] = evenly(c.mean, v)
			} else {
				all[i] = c.mean.apart(v) // the light's unevenness is known by now
			}
		}
		for _, i := range in {
			off = append(off, all[i])
		}
		slices.Sort(off)
		most := min(max(3, 3*1.4826*off[len(off)/2]), 14)
		in = in[:0]
		for i := range cells {
			if all[i] < most {
				in = append(in, i)
			}
		}
	}
	g.colour = make([]lab, len(cells))
	for i := range cells {
		g.colour[i] = g.value(model, i)
	}
	g.lit()
	// How the ground's points differ from that, robustly.
	var off [3][]float64
	for _, i := range in {
		cx, cy := i%g.across, i/g.across
		for y := cy * cellSide; y < min(f.h, (cy+1)*cellSide); y += 3 {
			for x := cx * cellSide; x < min(f.w, (cx+1)*cellSide); x += 3 {
				for ch := range off {
					off[ch] = append(off[ch], math.Abs(float64(f.colour[y*f.w+x][ch]-cells[i].mean[ch])))
				}
			}
		}
	}
	for ch := range off {
		slices.Sort(off[ch])
		g.spread[ch] = max(float32(1.4826*off[ch][len(off[ch])/2]), [3]float32{1.2, 0.8, 0.8}[ch])
	}
	g.tones = g.boards(cells, in)
	return g, nil
}

// Boards of one floor differ in tone, and within a board there is one tone. So far
// apart, in cells, two places mostly lie on two boards.
const (
	boardCells = 6
	oneTone    = 1.2 // a standard deviation of lightness: floors of one tone have so much by their light and texture
)

// boards is by how much the ground's tone differs from board to board, as a standard
// deviation of lightness; 0 where it does not. It is the larger of that along the
// field and down it, for boards are long.
func (g *ground) boards(cells []patch, in []int) float32 {
	is := make([]bool, len(cells))
	for _, i := range in {
		is[i] = true
	}
	off := func(i int) float64 { return float64(cells[i].mean[0] - g.colour[i][0]) }
	var most float64
	for _, d := range [2][2]int{{boardCells, 0}, {0, boardCells}} {
		var apart []float64
		for _, i := range in {
			if x, y := i%g.across+d[0], i/g.across+d[1]; x < g.across && y < g.down && is[y*g.across+x] {
				apart = append(apart, math.Abs(off(i)-off(y*g.across+x)))
			}
		}
		if len(apart) > 0 {
			slices.Sort(apart)
			most = max(most, apart[3*len(apart)/4]/1.1503/math.Sqrt2) // upper quartile of normal deviates
		}
	}
	if most < oneTone {
		return 0
	}
	return float32(most)
}

// tone is by which part of its light a board of the ground differs from the ground's
// colour at most. Lightness is a cube root of light.
func (g *ground) tone(c lab) float32 { return mostTone * g.tones * 3 / (c[0] + 16) }

// mostTone is the standard deviations that the lightest board and the darkest are off.
const mostTone = 2

// evenly is how far two colours are apart when light is uneven: lightness
// counts for less than hue.
func evenly(a, b lab) float64 {
	a[0], b[0] = 0.4*a[0], 0.4*b[0]
	return a.apart(b)
}

func (f *field) patch(cx, cy int) patch {
	var sum, squares [3]float64
	n := 0.0
	for y := cy * cellSide; y < min(f.h, (cy+1)*cellSide); y++ {
		for x := cx * cellSide; x < min(f.w, (cx+1)*cellSide); x++ {
			for ch, v := range f.colour[y*f.w+x] {
				sum[ch] += float64(v)
				squares[ch] += float64(v) * float64(v)
			}
			n++
		}
	}
	var p patch
	for ch := range sum {
		m := sum[ch] / n
		p.mean[ch] = float32(m)
		p.spread += max(0, squares[ch]/n-m*m)
	}
	p.spread = math.Sqrt(p.spread)
	return p
}

// commonest is the colour that most cells are near to.
func commonest(cells []patch) lab {
	var best lab
	most := -1.0
	step := max(1, len(cells)/1500)
	tried := max(1, len(cells)/250)
	for i := 0; i < len(cells); i += tried {
		votes := 0.0
		for k := 0; k < len(cells); k += step {
			d := evenly(cells[k].mean, cells[i].mean) / 7
			if d > 3 {
				continue
			}
			w := 1.0
			if cells[k].rim {
				w = 4
			}
			votes += w * math.Exp(-d*d) / (1 + cells[k].spread/8)
		}
		if votes > most {
			best, most = cells[i].mean, votes
		}
	}
	return best
}

// terms of the polynomial at a cell.
func (g *ground) terms(i int) [6]float64 {
	x, y := 2*float64(i%g.across)/float64(g.across)-1, 2*float64(i/g.across)/float64(g.down)-1
	return [6]float64{1, x, y, x * x, x * y, y * y}
}

func (g *ground) polynomial(cells []patch, in []int, ch int) ([]float64, error) {
	a, b := mat.NewDense(len(in)+6, 6, nil), mat.NewVecDense(len(in)+6, nil)
	for k, i := range in {
		t := g.terms(i)
		a.SetRow(k, t[:])
		b.SetVec(k, float64(cells[i].mean[ch]))
	}
	// A little weight against slopes where few cells say anything.
	for j := 1; j < 6; j++ {
		a.Set(len(in)+j, j, 0.3)
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return nil, err
	}
	return x.RawVector().Data, nil
}

func (g *ground) value(model [3][]float64, i int) (out lab) {
	t := g.terms(i)
	for ch := range out {
		for j, c := range model[ch] {
			out[ch] += float32(c * t[j])
		}
	}
	return out
}

// lit works out the light of each cell from its colour.
func (g *ground) lit() {
	g.light = make([][3]float32, len(g.colour))
	for i, c := range g.colour {
		g.light[i] = c.light()
	}
}

// at is the ground's colour and light at a point of the field, between the
// middles of cells.
func (g *ground) at(x, y float64) (lab, [3]float32) {
	x, y = x/float64(g.cell)-0.5, y/float64(g.cell)-0.5
	x, y = min(max(x, 0), float64(g.across-1)), min(max(y, 0), float64(g.down-1))
	x0, y0 := int(x), int(y)
	x1, y1 := min(x0+1, g.across-1), min(y0+1, g.down-1)
	fx, fy := float32(x-float64(x0)), float32(y-float64(y0))
	w := [4]float32{(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy}
	var c lab
	var l [3]float32
	for k, i := range [4]int{y0*g.across + x0, y0*g.across + x1, y1*g.across + x0, y1*g.across + x1} {
		for ch := range c {
			c[ch] += w[k] * g.colour[i][ch]
			l[ch] += w[k] * g.light[i][ch]
		}
	}
	return c, l
}

// The shade that a soft shadow throws on the ground: no darker than this, and
// no lighter than as lit.
const (
	darkest  = 0.4
	lightest = 1.04
)

// off is how far the colour of a point of the field is from the ground's, in
// standard deviations: as it is lit, and in the shade that suits the colour best.
// Both allow for what its coding has lost; sure is as it is lit, without that. Paler
// is by how many CIELAB units it is lighter than the ground as it is lit.
func (g *ground) off(f *field, x, y int) (lit, shaded, sure, paler float32) {
	c, l := f.colour[y*f.w+x], f.light[y*f.w+x]
	gc, gl := g.at(float64(x), float64(y))
	var plain lab
	spread := f.lost(x, y)
	for ch, s := range g.spread {
		plain[ch] = s * s
		spread[ch] += s * s
	}
	measure := func(b, spread lab) (sum float32) {
		for ch := range c {
			sum += (c[ch] - b[ch]) * (c[ch] - b[ch]) / spread[ch]
		}
		return sqrt32(sum)
	}
	in := func(shade float32) lab { return toLab([3]float32{gl[0] * shade, gl[1] * shade, gl[2] * shade}) }
	shade := (l[0] + 2*l[1] + l[2]) / max(gl[0]+2*gl[1]+gl[2], 1e-4)
	if tone := g.tone(gc); tone > 0 {
		gc = in(min(max(shade, 1-tone), 1+tone))
	}
	shade = min(max(shade, darkest), lightest)
	return measure(gc, spread), measure(in(shade), spread), measure(gc, plain), c[0] - gc[0]
}

func sqrt32(x float32) float32 { return float32(math.Sqrt(float64(x))) }

// learn takes the ground's colour anew from the points that are ground, each
// cell from its own and, the fewer it has, the more from those about it.
func (g *ground) learn(f *field, is func(k int) bool) {
	n := len(g.colour)
	sum, count := make([][3]float64, n), make([]float64, n)
	rows(g.down, func(cy int) {
		for cx := range g.across {
			i := cy*g.across + cx
			for y := cy * cellSide; y < min(f.h, (cy+1)*cellSide); y++ {
				for x := cx * cellSide; x < min(f.w, (cx+1)*cellSide); x++ {
					if k := y*f.w + x; is(k) {
						for ch, v := range f.colour[k] {
							sum[i][ch] += float64(v - g.colour[i][ch])
						}
						count[i]++
					}
				}
			}
		}
	})
	// What differs from the polynomial is smoothed with a growing reach.
	out := make([]lab, n)
	left := make([]float64, n)
	for i := range left {
		left[i] = 1
	}
	for _, reach := range []int{1, 3, 8, 20} {
		s, c := boxed(sum, count, g.across, g.down, reach)
		for i := range out {
			trust := c[i] / (c[i] + float64(20*reach))
			if c[i] > 0 {
				for ch := range out[i] {
					out[i][ch] += float32(left[i] * trust * s[i][ch] / c[i])
				}
			}
			left[i] *= 1 - trust
		}
	}
	for i := range out {
		for ch := range out[i] {
			g.colour[i][ch] += out[i][ch]
		}
	}
	g.lit()
}

// forget takes the ground's colour in cells that have some points, of a field so wide, from those about
// them, by Laplace's equation.
func (g *ground) forget(points []bool, wide int) {
	const rounds = 400
	is := make([]bool, len(g.colour))
	for k, p := range points {
		if p {
			is[k/wide/g.cell*g.across+k%wide/g.cell] = true
		}
	}
	for range rounds {
		for i, is := range is {
			if !is {
				continue
			}
			x, y := i%g.across, i/g.across
			var sum lab
			n := float32(0)
			for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
				if u, v := x+d[0], y+d[1]; u >= 0 && v >= 0 && u < g.across && v < g.down {
					for ch, c := range g.colour[v*g.across+u] {
						sum[ch] += c
					}
					n++
				}
			}
			g.colour[i] = lab{sum[0] / n, sum[1] / n, sum[2] / n}
		}
	}
	g.lit()
}

// boxed sums values over the square of cells that reaches so far each way.
func boxed(sum [][3]float64, count []float64, across, down, reach int) ([][3]float64, []float64) {
	pass := func(s [][3]float64, c []float64, m, n, step, line int) ([][3]float64, []float64) {
		so, co := make([][3]float64, len(s)), make([]float64, len(c))
		for i := range n {
			for k := range m {
				o := i*line + k*step
				for j := max(0, k-reach); j <= min(m-1, k+reach); j++ {
					q := i*line + j*step
					for ch := range 3 {
						so[o][ch] += s[q][ch]
					}
					co[o] += c[q]
				}
			}
		}
		return so, co
	}
	s, c := pass(sum, count, across, down, 1, across)
	return pass(s, c, down, across, across, 1)
}
