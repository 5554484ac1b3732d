package staged

import (
	"math"
	"math/rand/v2"

	"eke/piece/scalesheet"

	"github.com/paulmach/orb"
)

// Crowd is a scene of thirty scraps of 10 to 30 cm about one scale sheet, on
// 1.6 m of floor.
func Crowd(seed uint64, side int) *Scene {
	r := rand.New(rand.NewPCG(seed, 29))
	s := &Scene{Seed: seed, Width: side, Height: side * 3 / 4, Quality: 90, Noise: 1.5, BlurPx: 0.8}
	s.Camera = Camera{Focal: 1.17, HeightMM: 1170, TiltX: 2, TiltY: -3}
	mid := s.Camera.Ground(orb.Point{float64(s.Width) / 2, float64(s.Height) / 2}, s.Width, s.Height)
	s.Camera.Over = orb.Point{-mid[0], -mid[1]}
	s.Ground = Ground{[3]float64{0.42, 0.30, 0.18}, "wood", 0.16}
	s.Light = Light{Level: 0.95, Contact: 0.3, Toward: orb.Point{1, 1}, SoftMM: 1.2, Warm: 1}
	b := builder{r: r, s: s, field: 1600}
	b.sheets(0)
	for i := range 30 {
		shape := b.shape(300 - float64(i)*200/30)
		if ring, ok := b.place(shape, 4000); ok {
			b.taken = append(b.taken, ring)
			s.Scraps = append(s.Scraps, Scrap{Outline: ring, Cloth: b.cloth(), Fate: Whole})
		}
	}
	return s
}

// Random is a scene by a seed, its picture's longer side so many points. What
// is in it goes round with the seed: the size of the field and of the scraps,
// one or two scale sheets or a plain one, scraps that touch or are cut off.
func Random(seed uint64, side int) *Scene {
	r := rand.New(rand.NewPCG(seed, 17))
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	field := []float64{620, 900, 1300, 1800}[seed%4] * u(0.95, 1.1)
	s := &Scene{Seed: seed, Width: side, Height: side * 3 / 4, Quality: 80 + r.IntN(16), Noise: u(0.8, 3), BlurPx: u(0.5, 1.1)}
	if r.IntN(4) == 0 {
		s.Width, s.Height = s.Height, s.Width
	}
	// Focal lengths of phones' main cameras, 23 to 28 mm for a diagonal of 43
	// mm: from memory.
	focal := u(1.06, 1.3)
	wide := float64(s.Width) / (math.Hypot(float64(s.Width), float64(s.Height)) / 2) / focal
	long := field
	if s.Height > s.Width {
		long = field * 3 / 4
	}
	s.Camera = Camera{Focal: focal, HeightMM: long / wide, TiltX: u(-7, 7), TiltY: u(-7, 7), RollDeg: u(-4, 4), OffX: u(-0.008, 0.008), OffY: u(-0.008, 0.008)}
	s.Camera.Bend = [2]float64{u(-0.012, 0.008), u(-0.003, 0.003)}
	mid := s.Camera.Ground(orb.Point{float64(s.Width) / 2, float64(s.Height) / 2}, s.Width, s.Height)
	s.Camera.Over = orb.Point{-mid[0], -mid[1]}
	grounds := []Ground{
		{[3]float64{0.42, 0.30, 0.18}, "wood", 0.16}, {[3]float64{0.55, 0.53, 0.50}, "plain", 0.1}, {[3]float64{0.72, 0.72, 0.70}, "linen", 0.06},
		{[3]float64{0.10, 0.16, 0.14}, "linen", 0.12}, {[3]float64{0.05, 0.05, 0.055}, "plain", 0.2}, {[3]float64{0.22, 0.12, 0.07}, "wood", 0.2},
	}
	s.Ground = grounds[r.IntN(len(grounds))]
	s.Light = Light{Level: u(0.75, 1.05), Contact: u(0.1, 0.4), Toward: orb.Point{u(-1.5, 1.5), u(-1.5, 1.5)}, SoftMM: u(0.7, 2), Warm: u(0.93, 1.08)}
	for i := range s.Light.Across {
		s.Light.Across[i] = u(-0.14, 0.1)
	}
	for range r.IntN(3) {
		s.Light.Shadows = append(s.Light.Shadows, [4]float64{u(-0.5, 0.5) * field, u(-0.4, 0.4) * field, u(0.15, 0.4) * field, u(0.1, 0.35)})
	}
	b := builder{r: r, s: s, field: field}
	b.sheets(seed)
	b.scraps()
	if seed%5 == 3 {
		b.cutOff()
	}
	if seed%5 == 4 {
		b.touching()
	}
	return s
}

// ByHand is a scene by a seed as Random's, in what a phone held over a floor of
// someone's home may add to it: light of two colours, a lens that darkens its
// corners, a hand that shakes, a carpet.
func ByHand(seed uint64, side int) *Scene {
	s := Random(seed, side)
	r := rand.New(rand.NewPCG(seed, 43))
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	s.Light.Cast = [2]float64{u(-0.09, 0.09), u(-0.09, 0.09)}
	s.Light.Corners = u(0, 0.4)
	s.ShakenPx = r.IntN(3)
	if r.IntN(3) == 0 {
		s.Ground.Kind, s.Ground.Depth = "carpet", u(0.06, 0.16)
	}
	return s
}

// builder lays out a random scene.
type builder struct {
	r     *rand.Rand
	s     *Scene
	field float64
	taken []orb.Ring
}

func (b *builder) u(lo, hi float64) float64 { return lo + (hi-lo)*b.r.Float64() }

func (b *builder) sheets(seed uint64) {
	paper := scalesheet.Papers[seed/2%2]
	add := func(x, y, turn float64, plain bool) {
		sheet := Sheet{Paper: paper, Plain: plain, Pose: Pose{At: orb.Point{x, y}, TurnDeg: turn}}
		mid := sheet.On(orb.Point{paper.WidthMM / 2, paper.HeightMM / 2})
		sheet.At = orb.Point{2*x - mid[0], 2*y - mid[1]}
		b.s.Sheets = append(b.s.Sheets, sheet)
		b.taken = append(b.taken, sheet.rim())
	}
	dark := b.s.Ground.Colour[1] < 0.4
	kind := seed % 3
	if kind == 2 && !dark {
		kind = 0 // a plain white sheet wants a darker ground
	}
	switch {
	case kind == 1 && b.field > 800:
		x, y := 0.27*b.field, 0.0
		if b.s.Height > b.s.Width {
			x, y = y, x
		}
		add(-x+b.u(-20, 20), -y+b.u(-20, 20), b.u(-20, 20), false)
		add(x+b.u(-20, 20), y+b.u(-20, 20), b.u(70, 110), false)
	case kind == 2:
		add(b.u(-0.06, 0.06)*b.field, b.u(-0.05, 0.05)*b.field, b.u(-25, 115), true)
	default:
		add(b.u(-0.06, 0.06)*b.field, b.u(-0.05, 0.05)*b.field, b.u(-180, 180), false)
	}
}

// seen is whether a ring is wholly in the picture, with room to spare.
func (b *builder) seen(ring orb.Ring, room float64) bool {
	for _, q := range ring {
		p := b.s.Camera.Point(q, b.s.Width, b.s.Height)
		if p[0] < room || p[1] < room || p[0] > float64(b.s.Width)-room || p[1] > float64(b.s.Height)-room {
			return false
		}
	}
	return true
}

func (b *builder) clear(ring orb.Ring, gap float64) bool {
	for _, o := range b.taken {
		if ringsWithin(ring, o, gap) {
			return false
		}
	}
	return true
}

// place finds room for a shape round the origin.
func (b *builder) place(shape orb.Ring, tries int) (orb.Ring, bool) {
	for range tries {
		p := Pose{At: orb.Point{b.u(-0.5, 0.5) * b.field, b.u(-0.5, 0.5) * b.field}, TurnDeg: b.u(0, 360)}
		ring := on(shape, p)
		if b.seen(ring, 14) && b.clear(ring, 7) {
			return ring, true
		}
	}
	return nil, false
}

func on(shape orb.Ring, p Pose) orb.Ring {
	out := make(orb.Ring, len(shape))
	for i, q := range shape {
		out[i] = p.On(q)
	}
	return out
}

func (b *builder) scraps() {
	// From 3 cm to as much as the field holds, the large ones first.
	sizes := []float64{min(1200, 0.62*b.field), 0.4 * b.field, 0.3 * b.field, 0.25 * b.field, 0.2 * b.field, 0.2 * b.field, 120, 100, 80, 60, 45, 30}
	if b.r.IntN(2) == 0 {
		sizes = sizes[1:]
	}
	for _, size := range sizes {
		shape := b.shape(size)
		ring, ok := b.place(shape, 60)
		if !ok {
			continue
		}
		c := Scrap{Outline: ring, Cloth: b.cloth(), Fate: Whole}
		if size > 90 && b.r.IntN(3) == 0 {
			c.Holes = b.holes(ring)
		}
		b.taken = append(b.taken, ring)
		b.s.Scraps = append(b.s.Scraps, c)
	}
}

// shape is an outline of about a size, round the origin.
func (b *builder) shape(size float64) orb.Ring {
	h := size / 2
	switch b.r.IntN(6) {
	case 0: // a rectangle, a little off
		w := h * b.u(0.35, 1)
		j := func() float64 { return b.u(-0.05, 0.05) * size }
		return orb.Ring{{-h + j(), -w + j()}, {h + j(), -w + j()}, {h + j(), w + j()}, {-h + j(), w + j()}}
	case 1: // a blob
		var out orb.Ring
		a2, a3, p2, p3 := b.u(0, 0.2), b.u(0, 0.15), b.u(0, 6), b.u(0, 6)
		for i := range 180 {
			t := 2 * math.Pi * float64(i) / 180
			k := h * (0.8 + a2*math.Cos(2*t+p2) + a3*math.Cos(3*t+p3))
			out = append(out, orb.Point{k * math.Cos(t), k * math.Sin(t)})
		}
		return out
	case 2: // a sleeve, with a curved cap
		var out orb.Ring
		for i := range 41 {
			t := float64(i) / 40
			out = append(out, orb.Point{-h*0.8 + 1.6*h*t, -h*0.4 - h*0.5*math.Sin(math.Pi*t)*math.Sin(math.Pi*t)})
		}
		return append(out, orb.Point{h * 0.55, h * 0.9}, orb.Point{-h * 0.55, h * 0.9})
	case 3: // a triangle
		return orb.Ring{{-h, h * b.u(0.3, 0.7)}, {h * b.u(-0.5, 0.5), -h * b.u(0.5, 0.9)}, {h, h * b.u(0.3, 0.7)}}
	case 4: // an L
		a := h * b.u(0.3, 0.6)
		return orb.Ring{{-h, -h}, {h, -h}, {h, -h + a}, {-h + a, -h + a}, {-h + a, h}, {-h, h}}
	}
	// A strip with a wavy side.
	w := h * b.u(0.25, 0.5)
	out := orb.Ring{{h, w}, {-h, w}}
	for i := range 61 {
		t := float64(i) / 60
		out = append(out, orb.Point{-h + 2*h*t, -w + 0.15*w*math.Sin(12*t)})
	}
	return out
}

// holes are one or two round holes of 4 to 30 mm, well inside.
func (b *builder) holes(ring orb.Ring) []orb.Ring {
	var out []orb.Ring
	for range 1 + b.r.IntN(2) {
		radius := b.u(2, 15)
		for range 40 {
			i := b.r.IntN(len(ring))
			k := b.r.IntN(len(ring))
			t := b.u(0.3, 0.7)
			mid := orb.Point{ring[i][0] + t*(ring[k][0]-ring[i][0]), ring[i][1] + t*(ring[k][1]-ring[i][1])}
			var hole orb.Ring
			for a := range 40 {
				s, c := math.Sincos(2 * math.Pi * float64(a) / 40)
				hole = append(hole, orb.Point{mid[0] + radius*c, mid[1] + 0.8*radius*s})
			}
			if !inside(ring, mid) || ringsNear(hole, ring, 8) || len(out) > 0 && ringsWithin(hole, out[0], 8) {
				continue
			}
			out = append(out, hole)
			break
		}
	}
	return out
}

// palette is colours of cloth, as light.
var palette = [][3]float64{
	{0.02, 0.035, 0.12}, {0.35, 0.03, 0.04}, {0.75, 0.72, 0.62}, {0.06, 0.18, 0.08}, {0.60, 0.35, 0.05}, {0.30, 0.08, 0.25},
	{0.08, 0.30, 0.50}, {0.8, 0.8, 0.8}, {0.02, 0.02, 0.02}, {0.65, 0.25, 0.25}, {0.25, 0.26, 0.28}, {0.15, 0.42, 0.38},
}

// cloth is one whose every colour is told from the ground by eye.
func (b *builder) cloth() Cloth {
	var ok [][3]float64
	for _, c := range palette {
		if contrast(c, b.s.Ground.Colour) > 0.2 {
			ok = append(ok, c)
		}
	}
	b.r.Shuffle(len(ok), func(i, j int) { ok[i], ok[j] = ok[j], ok[i] })
	weaves := []Weave{PlainWeave, PlainWeave, Stripes, Checks, Dots, Flowers, Rib, Twill}
	return Cloth{Weave: weaves[b.r.IntN(len(weaves))], Colours: [3][3]float64{ok[0], ok[1], ok[2%len(ok)]}, RepeatMM: b.repeat(), TurnDeg: b.u(0, 180), Grain: b.u(0.02, 0.12), Folds: b.u(0, 0.12), Seed: b.u(0, 1000)}
}

func (b *builder) repeat() float64 { return b.u(8, 34) }

// contrast is how far two colours are apart, of light as the eye weighs it.
func contrast(a, c [3]float64) float64 {
	sum := 0.0
	for i := range a {
		d := encoded(a[i]) - encoded(c[i])
		sum += d * d
	}
	return math.Sqrt(sum)
}

// cutOff lays a scrap across the picture's edge.
func (b *builder) cutOff() {
	for range 300 {
		shape := b.shape(b.u(0.15, 0.3) * b.field)
		p := Pose{At: orb.Point{b.u(-0.6, 0.6) * b.field, b.u(-0.6, 0.6) * b.field}, TurnDeg: b.u(0, 360)}
		ring := on(shape, p)
		in := 0
		for _, q := range ring {
			if b.seen(orb.Ring{q}, 30) {
				in++
			}
		}
		if in == 0 || in > len(ring)*2/3 || !b.clear(ring, 10) {
			continue
		}
		b.taken = append(b.taken, ring)
		b.s.Scraps = append(b.s.Scraps, Scrap{Outline: ring, Cloth: b.cloth(), Fate: CutOff})
		return
	}
}

// touching lays one scrap over the side of another.
func (b *builder) touching() {
	for i := range b.s.Scraps {
		c := &b.s.Scraps[i]
		for range 80 {
			shape := b.shape(b.u(80, 0.2*b.field))
			k := b.r.IntN(len(c.Outline))
			p := Pose{At: orb.Point{c.Outline[k][0] + b.u(-60, 60), c.Outline[k][1] + b.u(-60, 60)}, TurnDeg: b.u(0, 360)}
			ring := on(shape, p)
			rest := b.taken
			b.taken = nil
			for j := range rest {
				if &rest[j][0] != &c.Outline[0] {
					b.taken = append(b.taken, rest[j])
				}
			}
			free := b.clear(ring, 8) && b.seen(ring, 14)
			b.taken = rest
			over := 0
			for _, q := range ring {
				if inside(c.Outline, q) {
					over++
				}
			}
			if !free || !ringsNear(ring, c.Outline, 0.01) || over == len(ring) || float64(over) > 0.5*float64(len(ring)) {
				continue
			}
			cloth := b.cloth()
			if contrast(cloth.Colours[0], c.Cloth.Colours[0]) < 0.2 {
				continue
			}
			c.Fate = Touching
			b.taken = append(b.taken, ring)
			b.s.Scraps = append(b.s.Scraps, Scrap{Outline: ring, Cloth: cloth, Fate: Touching})
			return
		}
	}
}

// ringsWithin is whether two shapes overlap or come nearer than gap.
func ringsWithin(a, b orb.Ring, gap float64) bool {
	ba, bb := a.Bound().Pad(gap), b.Bound()
	if !ba.Intersects(bb) {
		return false
	}
	return inside(a, b[0]) || inside(b, a[0]) || ringsNear(a, b, gap)
}

// ringsNear is whether two outlines cross or come nearer than gap.
func ringsNear(a, b orb.Ring, gap float64) bool {
	bound := b.Bound().Pad(gap)
	for i, p := range a {
		q := a[(i+1)%len(a)]
		if !(orb.MultiPoint{p, q}).Bound().Intersects(bound) {
			continue
		}
		for j, r := range b {
			s := b[(j+1)%len(b)]
			if segmentsNear(p, q, r, s, gap) {
				return true
			}
		}
	}
	return false
}

func segmentsNear(p, q, r, s orb.Point, gap float64) bool {
	side := func(a, b, c orb.Point) float64 { return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0]) }
	if side(p, q, r)*side(p, q, s) < 0 && side(r, s, p)*side(r, s, q) < 0 {
		return true
	}
	return toSegment(p, r, s) < gap || toSegment(q, r, s) < gap || toSegment(r, p, q) < gap || toSegment(s, p, q) < gap
}

func toSegment(q, a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	t := ((q[0]-a[0])*dx + (q[1]-a[1])*dy) / (dx*dx + dy*dy)
	t = min(max(t, 0), 1)
	return math.Hypot(q[0]-a[0]-t*dx, q[1]-a[1]-t*dy)
}
