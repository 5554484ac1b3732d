package photo

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"
	"strconv"

	"eke/piece/plane"

	"github.com/paulmach/orb"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// previewSide is how many points the longer side of a preview has at most.
const previewSide = 1600

var (
	white     = color.NRGBA{255, 255, 255, 255}
	found     = color.NRGBA{214, 0, 120, 255} // no cloth and no floor is often of this colour
	doubt     = color.NRGBA{255, 140, 0, 255}
	doubtWord = color.NRGBA{176, 84, 0, 255} // the same, to be read on white
	wrong     = color.NRGBA{220, 20, 20, 255}
	sheet     = color.NRGBA{0, 150, 200, 255}
)

// sketch is a preview while it is drawn.
type sketch struct {
	img   *image.NRGBA
	scale float64
	faces map[float64]font.Face
	bold  *opentype.Font
}

// Preview is the picture with the outlines of all scraps, their numbers, and
// what is wrong with it.
func (r *Result) Preview() (image.Image, error) {
	bold, err := opentype.Parse(gobold.TTF)
	if err != nil {
		return nil, fmt.Errorf("the typeface cannot be read: %w", err)
	}
	p := r.picture
	s := &sketch{scale: min(1, previewSide/float64(max(p.Width, p.Height))), bold: bold, faces: map[float64]font.Face{}}
	w, h := int(s.scale*float64(p.Width)), int(s.scale*float64(p.Height))
	s.img = image.NewNRGBA(image.Rect(0, 0, w, h))
	rows(h, func(y int) {
		for x := range w {
			c := p.mean(float64(x)/s.scale, float64(y)/s.scale, float64(x+1)/s.scale, float64(y+1)/s.scale)
			s.img.SetNRGBA(x, y, color.NRGBA{c[0], c[1], c[2], 255})
		}
	})
	for _, ring := range r.sheets {
		s.ring(ring, sheet)
		if r.Plain != "" { // nothing on it says that it is one
			s.words("taken for the sheet: "+r.Plain, s.at(orb.Ring(ring).Bound().Center()), 16, sheet)
		}
	}
	for _, c := range r.Scraps {
		for _, ring := range c.seen {
			s.ring(ring, found)
		}
	}
	for _, c := range r.Problems {
		s.mark(c)
	}
	for _, c := range r.Scraps {
		if c.Stripes {
			s.arrow(c.seen, c.GrainDeg)
		}
		s.number(c.Number, c.seen, found)
	}
	s.foot(r)
	return s.img, nil
}

// mean is the mean sRGB value of a rectangle of the picture.
func (p *Picture) mean(x0, y0, x1, y1 float64) [3]uint8 {
	var sum [3]int
	n := 0
	for y := int(y0); y < max(int(y1), int(y0)+1) && y < p.Height; y++ {
		for x := int(x0); x < max(int(x1), int(x0)+1) && x < p.Width; x++ {
			o := 3 * (y*p.Width + x)
			for i := range sum {
				sum[i] += int(p.pix[o+i])
			}
			n++
		}
	}
	if n == 0 {
		return [3]uint8{}
	}
	return [3]uint8{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n)}
}

// mark draws what a problem is about.
func (s *sketch) mark(p Problem) {
	ink := doubt
	if p.LeftOut {
		ink = wrong
	}
	for i, ring := range p.seen {
		switch {
		case i == 0 && p.LeftOut:
			s.fill(ring, color.NRGBA{ink.R, ink.G, ink.B, 70})
			s.ring(ring, ink)
		case i == 0:
		case len(ring) == 2: // where two scraps meet
			s.line(s.at(ring[0]), s.at(ring[1]), 4, ink)
		default:
			for _, q := range ring {
				s.disc(s.at(q), 2.5, ink)
			}
		}
	}
	if len(p.seen) > 0 && p.LeftOut {
		at := s.number(p.Number, p.seen[:1], ink)
		s.words(p.What, orb.Point{at[0], at[1] + 30}, 15, ink)
	}
}

func (s *sketch) at(q orb.Point) orb.Point { return orb.Point{q[0] * s.scale, q[1] * s.scale} }

// foot says below everything what is wrong with the picture as a whole, and what its marks
// mean.
func (s *sketch) foot(r *Result) {
	y := float64(s.img.Rect.Max.Y) - 14
	middle := float64(s.img.Rect.Max.X) / 2
	if slices.ContainsFunc(r.Problems, func(p Problem) bool { return !p.LeftOut && len(p.seen) > 1 }) {
		s.words("orange: check there by hand", orb.Point{middle, y}, 16, doubtWord)
		y -= 26
	}
	for _, p := range r.Problems {
		if p.Number == 0 {
			s.words(p.What, orb.Point{middle, y}, 16, wrong)
			y -= 26
		}
	}
}

// number draws a scrap's number on a disc: in it where there is room, else
// beside it; and gives where.
func (s *sketch) number(n int, rings [][]orb.Point, ink color.NRGBA) orb.Point {
	const radius = 16
	at, room := within(rings)
	c := s.at(at)
	if room*s.scale < radius {
		corner := rings[0][0] // the one that is farthest up and to the right
		for _, q := range rings[0] {
			if q[0]-q[1] > corner[0]-corner[1] {
				corner = q
			}
		}
		c = s.at(corner)
		c = orb.Point{min(c[0]+radius, float64(s.img.Rect.Max.X)-radius), max(c[1]-radius, radius)}
	}
	s.disc(c, radius, white)
	s.disc(c, radius-2, ink)
	s.text(strconv.Itoa(n), c, 17, white)
	return c
}

// arrow draws the way of a scrap's stripes on both sides of its number.
func (s *sketch) arrow(rings [][]orb.Point, deg float64) {
	at, room := within(rings)
	mid, half := s.at(at), min(40, room*s.scale)
	sin, cos := math.Sincos(deg * math.Pi / 180)
	for _, side := range []float64{-1, 1} {
		s.line(orb.Point{mid[0] + side*18*cos, mid[1] + side*18*sin}, orb.Point{mid[0] + side*half*cos, mid[1] + side*half*sin}, 3, found)
	}
}

// words draws text in the middle of a light strip, wholly in the picture.
func (s *sketch) words(text string, at orb.Point, size float64, ink color.NRGBA) {
	half := float64(font.MeasureString(s.face(size), text))/64/2 + 5
	at[0] = min(max(at[0], half), float64(s.img.Rect.Max.X)-half)
	at[1] = min(max(at[1], size), float64(s.img.Rect.Max.Y)-size)
	s.fillAt([]orb.Point{{at[0] - half, at[1] - 0.7*size}, {at[0] + half, at[1] - 0.7*size}, {at[0] + half, at[1] + 0.7*size}, {at[0] - half, at[1] + 0.7*size}}, color.NRGBA{255, 255, 255, 225})
	s.text(text, at, size, ink)
}

func (s *sketch) face(size float64) font.Face {
	if f, ok := s.faces[size]; ok {
		return f
	}
	f, err := opentype.NewFace(s.bold, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		panic(err) // only a size of 0 can fail
	}
	s.faces[size] = f
	return f
}

// text draws text with its middle at a point of the sketch.
func (s *sketch) text(text string, at orb.Point, size float64, ink color.NRGBA) {
	f := s.face(size)
	w := font.MeasureString(f, text)
	d := font.Drawer{Dst: s.img, Src: image.NewUniform(ink), Face: f, Dot: fixed.Point26_6{X: fixed.Int26_6(64*at[0]) - w/2, Y: fixed.Int26_6(64 * (at[1] + 0.36*size))}}
	d.DrawString(text)
}

// ring draws a ring of the picture, on a light line that sets it off.
func (s *sketch) ring(ring []orb.Point, ink color.NRGBA) {
	thin := s.thinned(ring)
	for _, pass := range []struct {
		wide float64
		ink  color.NRGBA
	}{{4, color.NRGBA{255, 255, 255, 150}}, {2, ink}} {
		for i, a := range thin {
			s.line(a, thin[(i+1)%len(thin)], pass.wide, pass.ink)
		}
	}
}

// thinned is a ring in the sketch without points closer than two of its own.
func (s *sketch) thinned(ring []orb.Point) []orb.Point {
	var out []orb.Point
	for _, q := range ring {
		if p := s.at(q); len(out) == 0 || plane.Distance(p, out[len(out)-1]) > 2 {
			out = append(out, p)
		}
	}
	return out
}

func (s *sketch) line(a, b orb.Point, wide float64, ink color.NRGBA) {
	d := plane.Sub(b, a)
	l := plane.Length(d)
	if l == 0 {
		return
	}
	n := orb.Point{-d[1] / l * wide / 2, d[0] / l * wide / 2}
	e := plane.Scale(d, 0.3*wide/l)
	a, b = plane.Sub(a, e), plane.Add(b, e)
	s.fillAt([]orb.Point{plane.Add(a, n), plane.Add(b, n), plane.Sub(b, n), plane.Sub(a, n)}, ink)
}

func (s *sketch) disc(c orb.Point, radius float64, ink color.NRGBA) {
	ring := make([]orb.Point, 32)
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 32)
		ring[i] = orb.Point{c[0] + radius*cos, c[1] + radius*sin}
	}
	s.fillAt(ring, ink)
}

func (s *sketch) fill(ring []orb.Point, ink color.NRGBA) { s.fillAt(s.thinned(ring), ink) }

// fillAt fills a ring of the sketch.
func (s *sketch) fillAt(ring []orb.Point, ink color.NRGBA) {
	if len(ring) < 3 {
		return
	}
	b := orb.Ring(ring).Bound()
	box := image.Rect(int(math.Floor(b.Min[0]))-1, int(math.Floor(b.Min[1]))-1, int(b.Max[0])+2, int(b.Max[1])+2).Intersect(s.img.Rect)
	if box.Empty() {
		return
	}
	v := vector.NewRasterizer(box.Dx(), box.Dy())
	for i, q := range ring {
		x, y := float32(q[0]-float64(box.Min.X)), float32(q[1]-float64(box.Min.Y))
		if i == 0 {
			v.MoveTo(x, y)
		} else {
			v.LineTo(x, y)
		}
	}
	v.ClosePath()
	v.DrawOp = draw.Over
	v.Draw(s.img, box, image.NewUniform(ink), image.Point{})
}

// within is the point inside a ring, and outside the others in it, that is
// farthest from all of them, as a grid of points finds it; and how far.
func within(rings [][]orb.Point) (best orb.Point, most float64) {
	var sparse [][]orb.Point
	for _, r := range rings {
		var thin []orb.Point
		for i := 0; i < len(r); i += max(1, len(r)/160) {
			thin = append(thin, r[i])
		}
		sparse = append(sparse, thin)
	}
	b := orb.Ring(sparse[0]).Bound()
	best = b.Center()
	const n = 20
	for j := range n {
		for i := range n {
			q := orb.Point{b.Min[0] + (float64(i)+0.5)/n*(b.Max[0]-b.Min[0]), b.Min[1] + (float64(j)+0.5)/n*(b.Max[1]-b.Min[1])}
			room := math.Inf(1)
			for k, r := range sparse {
				if plane.Holds(r, q) == (k > 0) {
					room = 0
					break
				}
				room = min(room, plane.ToRing(r, q))
			}
			if room > most {
				best, most = q, room
			}
		}
	}
	return best, most
}
