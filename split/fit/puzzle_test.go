package fit

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"
)

// Shapes and scraps for the tests. Growing and judging is done by
// simplefeatures, which shares nothing with the code under test.

func toPolygon(t testing.TB, r orb.Ring) geom.Polygon {
	t.Helper()
	var cs []float64
	for _, p := range r {
		cs = append(cs, p[0], p[1])
	}
	if r[0] != r[len(r)-1] {
		cs = append(cs, r[0][0], r[0][1])
	}
	p := geom.NewPolygon([]geom.LineString{geom.NewLineString(geom.NewSequence(cs, geom.DimXY))})
	if err := p.Validate(); err != nil {
		t.Fatalf("ring is not a simple polygon: %v", err)
	}
	return p
}

func toRing(ls geom.LineString) orb.Ring {
	seq := ls.Coordinates()
	var r orb.Ring
	for i := 0; i < seq.Length(); i++ {
		xy := seq.GetXY(i)
		r = append(r, orb.Point{xy.X, xy.Y})
	}
	return r
}

// grown is the outline of everything within mm of the rings, seen as one
// region (they must be close enough to join up).
func grown(t testing.TB, mm float64, rs ...orb.Ring) orb.Ring {
	t.Helper()
	u := geom.Geometry{}
	for i, r := range rs {
		g := toPolygon(t, r).AsGeometry()
		if i == 0 {
			u = g
			continue
		}
		v, err := geom.Union(u, g)
		if err != nil {
			t.Fatal(err)
		}
		u = v
	}
	b, err := geom.Buffer(u, mm)
	if err != nil {
		t.Fatal(err)
	}
	if b.Type() != geom.TypePolygon {
		t.Fatalf("grown shape is %s", b.Type())
	}
	return toRing(b.MustAsPolygon().ExteriorRing())
}

// cloudy is an irregular star-shaped polygon about the origin, of n vertices,
// w by h millimetres, its radius varying by a share rough.
func cloudy(rng *rand.Rand, n int, w, h, rough float64) orb.Ring {
	var r orb.Ring
	a := rng.Float64()
	b, c := rng.Float64()*6, rng.Float64()*6
	for i := range n {
		th := 2 * math.Pi * (float64(i) + 0.4*a) / float64(n)
		k := 1 + rough*(math.Sin(2*th+b)*0.5+math.Sin(5*th+c)*0.3) + rough*0.2*(rng.Float64()-0.5)
		// between a circle and a rectangle
		m := math.Pow(math.Pow(math.Abs(math.Cos(th)), 4)+math.Pow(math.Abs(math.Sin(th)), 4), -0.25)
		r = append(r, orb.Point{w / 2 * k * m * math.Cos(th), h / 2 * k * m * math.Sin(th)})
	}
	return r
}

// front is half a bodice front unfolded: neck and armholes are curves.
func front(w, h float64) orb.Ring {
	half := []orb.Point{}
	add := func(x, y float64) { half = append(half, orb.Point{x, y}) }
	for i := 0; i <= 12; i++ { // neck
		a := math.Pi / 2 * float64(i) / 12
		add(w*0.16*math.Sin(a), h*0.12*math.Cos(a))
	}
	add(w*0.40, h*0.05)
	for i := 1; i <= 14; i++ { // armhole
		a := math.Pi / 2 * float64(i) / 14
		add(w*(0.40+0.10*(1-math.Cos(a))), h*(0.05+0.28*math.Sin(a)))
	}
	add(w*0.47, h*0.6)
	add(w*0.49, h)
	r := orb.Ring{}
	for _, p := range half {
		r = append(r, p)
	}
	for i := len(half) - 1; i > 0; i-- {
		r = append(r, orb.Point{-half[i][0], half[i][1]})
	}
	return r
}

// ragged pushes the vertices of a convex-ish outline outward here and there, so
// that it still holds all it held: a union with triangles standing on its edges.
func ragged(t testing.TB, rng *rand.Rand, r orb.Ring, mm float64) orb.Ring {
	t.Helper()
	u := toPolygon(t, r).AsGeometry()
	for range 8 {
		i := rng.IntN(len(r) - 1)
		j := (i + 3) % (len(r) - 1)
		a, b := r[i], r[j]
		out := orb.Point{(a[0]+b[0])/2 + (rng.Float64()-0.5)*2*mm, (a[1]+b[1])/2 + (rng.Float64()-0.5)*2*mm}
		if math.Abs((b[0]-a[0])*(out[1]-a[1])-(b[1]-a[1])*(out[0]-a[0])) < 1 {
			continue
		}
		v, err := geom.Union(u, toPolygon(t, orb.Ring{a, out, b}).AsGeometry())
		if err != nil || v.Type() != geom.TypePolygon {
			continue
		}
		u = v
	}
	return toRing(u.MustAsPolygon().ExteriorRing())
}

// within proves a placement: the placed part lies in the scrap grown by slack.
func within(t testing.TB, part orb.Ring, p Placement, outline orb.Ring, holes []orb.Ring, slack float64) bool {
	t.Helper()
	g := toPolygon(t, p.Apply(part)).AsGeometry()
	c := toPolygon(t, outline).AsGeometry()
	for _, h := range holes {
		d, err := geom.Difference(c, toPolygon(t, h).AsGeometry())
		if err != nil {
			t.Fatal(err)
		}
		c = d
	}
	c, err := geom.Buffer(c, slack)
	if err != nil {
		t.Fatal(err)
	}
	d, err := geom.Difference(g, c)
	if err != nil {
		t.Fatal(err)
	}
	return d.IsEmpty() || d.Area() < 1e-6
}

func scaled(r orb.Ring, k float64) orb.Ring {
	o := make(orb.Ring, len(r))
	for i, p := range r {
		o[i] = orb.Point{p[0] * k, p[1] * k}
	}
	return o
}

func union(t testing.TB, a, b orb.Ring) orb.Ring {
	t.Helper()
	u, err := geom.Union(toPolygon(t, a).AsGeometry(), toPolygon(t, b).AsGeometry())
	if err != nil {
		t.Fatal(err)
	}
	return toRing(u.MustAsPolygon().ExteriorRing())
}

func covers(t testing.TB, a, b geom.Geometry) bool {
	t.Helper()
	ok, err := geom.Covers(a, b)
	if err != nil {
		t.Fatal(err)
	}
	return ok
}

func apart(t testing.TB, a, b geom.Geometry) float64 {
	t.Helper()
	d, ok := geom.Distance(a, b)
	if !ok {
		t.Fatal("no distance")
	}
	return d
}

// sleeve is half as wide again at the cap as at the wrist, with a curved cap.
func sleeve(w, h float64) orb.Ring {
	var r orb.Ring
	for i := 0; i <= 20; i++ {
		x := -1 + float64(i)/10
		r = append(r, orb.Point{x * w / 2, h * 0.25 * (1 - math.Pow(math.Cos(x*math.Pi/2), 1.3))})
	}
	return append(r, orb.Point{w * 0.35, h}, orb.Point{-w * 0.35, h})
}

// puzzle is a scrap grown around several parts that lie gap apart.
type puzzle struct {
	parts  []orb.Ring
	hidden []Placement
	scrap  orb.Ring
	holes  []orb.Ring
}

// plantMany slides k parts against each other from random sides and grows a
// scrap with slack mm around them.
func plantMany(t testing.TB, rng *rand.Rand, k int, slack, gap float64) puzzle {
	t.Helper()
	var z puzzle
	var laid []orb.Ring
	for i := range k {
		var part orb.Ring
		switch rng.IntN(4) {
		case 0:
			part = front(300+rng.Float64()*200, 200+400*rng.Float64())
		case 1:
			part = sleeve(300+rng.Float64()*150, 200+300*rng.Float64())
		case 2:
			part = cloudy(rng, 40+rng.IntN(60), 150+rng.Float64()*200, 150+200*rng.Float64(), 0.5*rng.Float64())
		default:
			part = rect(0, 0, 80+300*rng.Float64(), 60+100*rng.Float64())
		}
		h := Placement{Deg: 180*float64(rng.IntN(2)) + 4*(rng.Float64()-0.5)}
		if i > 0 {
			g := toPolygon(t, laid[rng.IntN(len(laid))]).AsGeometry()
			env := g.Envelope()
			lo, _ := env.Min().XY()
			hi, _ := env.Max().XY()
			th := rng.Float64() * 2 * math.Pi
			dist := func(s float64) (Placement, float64) {
				p := h
				p.DX = (lo.X+hi.X)/2 + s*math.Cos(th)
				p.DY = (lo.Y+hi.Y)/2 + s*math.Sin(th)
				d := math.Inf(1)
				me := toPolygon(t, p.Apply(part)).AsGeometry()
				for _, o := range laid {
					d = min(d, apart(t, me, toPolygon(t, o).AsGeometry()))
				}
				return p, d
			}
			// Inwards from far away, until it would come too near.
			s := 2000.0
			for step := 64.0; step > 0.05; {
				if _, d := dist(s - step); d > gap {
					s -= step
				} else {
					step /= 2
				}
			}
			h, _ = dist(s)
		}
		z.parts = append(z.parts, part)
		z.hidden = append(z.hidden, h)
		laid = append(laid, h.Apply(part))
	}
	u := toPolygon(t, laid[0]).AsGeometry()
	for _, r := range laid[1:] {
		var err error
		if u, err = geom.Union(u, toPolygon(t, r).AsGeometry()); err != nil {
			t.Fatal(err)
		}
	}
	// Close the joints, then grow.
	b, err := geom.Buffer(u, gap+slack)
	if err != nil {
		t.Fatal(err)
	}
	b, err = geom.Buffer(b, -gap)
	if err != nil {
		t.Fatal(err)
	}
	if b.Type() != geom.TypePolygon {
		return plantMany(t, rng, k, slack, gap)
	}
	z.scrap = toRing(b.MustAsPolygon().ExteriorRing())
	p := b.MustAsPolygon()
	for i := range p.NumInteriorRings() {
		z.holes = append(z.holes, toRing(p.InteriorRingN(i)))
	}
	s, err := b.Simplify(0.1)
	if err == nil && covers(t, s, u) {
		p = s.MustAsPolygon()
		z.scrap = toRing(p.ExteriorRing())
		z.holes = nil
		for i := range p.NumInteriorRings() {
			z.holes = append(z.holes, toRing(p.InteriorRingN(i)))
		}
	}
	return z
}
