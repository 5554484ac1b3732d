// Package staged renders photographs of scraps whose true shapes are known,
// to hold the reader of photographs against: a camera that tilts and bends
// lines, uneven light, shadows, cloth with stripes and prints, noise and blur.
// It shares no code with the reader but the printed sheet's description.
package staged

import (
	"image"
	"math"
	"math/rand/v2"

	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
)

// Scene is all that is in a picture. Measures are in mm on the ground, x to
// the right and y down; colours are light from 0 to 1.
type Scene struct {
	Seed          uint64
	Width, Height int // points
	Camera        Camera
	Ground        Ground
	Light         Light
	Sheets        []Sheet
	Scraps        []Scrap
	BlurPx        float64 // standard deviation
	ShakenPx      int     // along the picture's longer side, while it was taken
	Noise         float64 // standard deviation, in steps of 255
	Quality       int     // of the JPEG
}

// Sheet is a page on the ground.
type Sheet struct {
	Paper scalesheet.Paper
	Plain bool    // with nothing printed on it
	Scale float64 // that it was printed at, about its middle; 0 is 1
	Pose
}

// print is where a point of what is printed is on the ground.
func (s *Sheet) print(x, y float64) orb.Point {
	k := s.Scale
	if k == 0 {
		k = 1
	}
	midX, midY := s.Paper.WidthMM/2, s.Paper.HeightMM/2
	return s.On(orb.Point{midX + k*(x-midX), midY + k*(y-midY)})
}

// Pose is where a thing's own origin lies, and how it is turned.
type Pose struct {
	At      orb.Point
	TurnDeg float64
}

// On takes a point of the thing to the ground.
func (p Pose) On(q orb.Point) orb.Point {
	s, c := math.Sincos(p.TurnDeg * math.Pi / 180)
	return orb.Point{p.At[0] + c*q[0] - s*q[1], p.At[1] + s*q[0] + c*q[1]}
}

// Fate is what should become of a scrap.
type Fate string

// The fates.
const (
	Whole    Fate = "whole"
	CutOff   Fate = "cut off by the picture's edge"
	Touching Fate = "touching another"
)

// Scrap is a cloth on the ground; its outline and holes are on the ground too.
type Scrap struct {
	Outline orb.Ring
	Holes   []orb.Ring
	Stains  []orb.Ring
	Cloth   Cloth
	Fate    Fate
}

// Light is how the ground is lit.
type Light struct {
	Level   float64      // of the whole
	Across  [5]float64   // x, y, xx, xy, yy over the picture from -1 to 1
	Shadows [][4]float64 // soft ones: middle x and y, reach, depth
	Contact float64      // depth of the shadows that scraps throw beside them
	Toward  orb.Point    // where those fall, mm
	SoftMM  float64
	Warm    float64    // red over blue
	Cast    [2]float64 // by which that grows to the right and down, from the middle to the edge
	Corners float64    // part of the light that the lens loses in the corners
}

// Picture renders the scene.
func (s *Scene) Picture() *image.RGBA {
	w, h := s.Width, s.Height
	light := make([][3]float32, w*h)
	ground := make([]orb.Point, w*h)
	each(h, func(y int) {
		for x := range w {
			ground[y*w+x] = s.Camera.Ground(orb.Point{float64(x) + 0.5, float64(y) + 0.5}, w, h)
		}
	})
	mm := s.Camera.MMPerPoint(w, h)
	masks := make([][]float32, len(s.Scraps))
	all := make([]float32, w*h)
	for i, c := range s.Scraps {
		masks[i] = s.cover(append([]orb.Ring{c.Outline}, c.Holes...))
		for k, v := range masks[i] {
			all[k] = max(all[k], v)
		}
	}
	shadow := blurred(all, w, h, s.Light.SoftMM/mm)
	dx, dy := int(math.Round(s.Light.Toward[0]/mm)), int(math.Round(s.Light.Toward[1]/mm))
	each(h, func(y int) {
		for x := range w {
			k := y*w + x
			c := s.Ground.at(ground[k])
			if sx, sy := x-dx, y-dy; sx >= 0 && sy >= 0 && sx < w && sy < h {
				c = times(c, float32(1-s.Light.Contact*float64(shadow[sy*w+sx])))
			}
			light[k] = c
		}
	})
	for _, sheet := range s.Sheets {
		p := sheet.Paper
		s.paint(light, s.cover([]orb.Ring{sheet.rim()}), func(int) [3]float32 { return [3]float32{0.86, 0.86, 0.87} })
		if sheet.Plain {
			continue
		}
		var squares []orb.Ring
		for _, c := range scalesheet.Codes(p) {
			grid, err := c.Grid()
			if err != nil {
				panic(err)
			}
			side := c.SideMM / scalesheet.Modules
			for gy, row := range grid {
				for gx := 0; gx < len(row); gx++ {
					from := gx
					for gx < len(row) && row[gx] {
						gx++
					}
					if gx == from {
						continue
					}
					x0, y0 := c.At[0]+float64(from)*side, c.At[1]+float64(gy)*side
					x1, y1 := c.At[0]+float64(gx)*side, y0+side
					squares = append(squares, orb.Ring{sheet.print(x0, y0), sheet.print(x1, y0), sheet.print(x1, y1), sheet.print(x0, y1)})
				}
			}
		}
		s.paint(light, s.cover(squares), func(int) [3]float32 { return [3]float32{0.04, 0.04, 0.045} })
	}
	for i, c := range s.Scraps {
		s.paint(light, masks[i], func(k int) [3]float32 { return c.Cloth.at(ground[k]) })
		for _, stain := range c.Stains {
			s.paint(light, s.cover([]orb.Ring{stain}), func(k int) [3]float32 {
				c := c.Cloth.at(ground[k])
				return [3]float32{0.8 * c[0], 0.55 * c[1], 0.3 * c[2]} // as tea leaves it
			})
		}
	}
	return s.develop(light, ground)
}

// paint lays colour over the picture as far as a mask covers it.
func (s *Scene) paint(light [][3]float32, mask []float32, colour func(k int) [3]float32) {
	each(s.Height, func(y int) {
		for k := y * s.Width; k < (y+1)*s.Width; k++ {
			if a := mask[k]; a > 0 {
				c := colour(k)
				for i := range c {
					light[k][i] += a * (c[i] - light[k][i])
				}
			}
		}
	})
}

// develop is the picture that the camera makes of the light.
func (s *Scene) develop(light [][3]float32, ground []orb.Point) *image.RGBA {
	w, h := s.Width, s.Height
	channels := [3][]float32{}
	for i := range channels {
		channels[i] = make([]float32, w*h)
	}
	each(h, func(y int) {
		for x := range w {
			k := y*w + x
			u, v := 2*float64(x)/float64(w)-1, 2*float64(y)/float64(h)-1
			c := times(light[k], float32(s.Light.at(ground[k], u, v)))
			warm := float32(s.Light.Warm * (1 + s.Light.Cast[0]*u + s.Light.Cast[1]*v))
			channels[0][k], channels[1][k], channels[2][k] = c[0]*warm, c[1], c[2]/warm
		}
	})
	for i := range channels {
		channels[i] = blurred(channels[i], w, h, s.BlurPx)
		if s.ShakenPx > 0 {
			shaken := make([]float32, w*h)
			if w >= h {
				box(channels[i], shaken, w, h, 1, w, float64(s.ShakenPx)/2)
			} else {
				box(channels[i], shaken, h, w, w, 1, float64(s.ShakenPx)/2)
			}
			channels[i] = shaken
		}
	}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	each(h, func(y int) {
		r := rand.New(rand.NewPCG(s.Seed, uint64(y)))
		for x := range w {
			k := y*w + x
			for i := range channels {
				v := 255 * encoded(float64(channels[i][k]))
				img.Pix[4*k+i] = uint8(math.Round(min(max(v+s.Noise*r.NormFloat64(), 0), 255)))
			}
			img.Pix[4*k+3] = 255
		}
	})
	return img
}

func (l *Light) at(q orb.Point, x, y float64) float64 {
	a := l.Across
	v := l.Level * (1 + a[0]*x + a[1]*y + a[2]*x*x + a[3]*x*y + a[4]*y*y)
	for _, sh := range l.Shadows {
		d := math.Hypot(q[0]-sh[0], q[1]-sh[1]) / sh[2]
		v *= 1 - sh[3]/(1+math.Exp(6*(d-1)))
	}
	r2 := (x*x + y*y) / 2 // 1 in the corners
	return max(v*(1-l.Corners*r2*r2), 0.02)
}

// encoded is the sRGB value of light (IEC 61966-2-1).
func encoded(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * max(v, 0)
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

func times(c [3]float32, k float32) [3]float32 { return [3]float32{c[0] * k, c[1] * k, c[2] * k} }
