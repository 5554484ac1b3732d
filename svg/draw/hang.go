package draw

import (
	"math"
	"slices"

	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// flat is one view of the garment laid flat.
type flat struct {
	name    string
	body    []placed
	sleeves []placed
	inside  []patch // the other side of the body, seen through the neck
	bands   []ribbon

	behind     *curve.Matrix // from the back view to where the back shows behind this one
	innerBands []ribbon      // on the back, seen through the neck
}

// placed is a piece in a view. Where keep is set only that half of it shows,
// the other being folded to the back.
type placed struct {
	piece *whole
	m     curve.Matrix
	keep  *halfPlane  // in the piece's own coordinates
	under []orb.Point // what shows between a sleeve and its armhole
	cap   orb.Point   // in the piece's own coordinates, where under takes its cloth from
	over  []placed    // what laps over it
}

// patch is a bit of a piece in a view's coordinates, in the cloth found at
// the point at of the piece.
type patch struct {
	ring  []orb.Point
	piece *whole
	at    orb.Point
}

// ribbon is a band along an edge, from and to in parts of the band's length.
type ribbon struct {
	piece    *whole
	line     []orb.Point // the edge it is sewn to, the garment on the right of it
	width    float64
	from, to float64
	unsure   bool // nothing tells which bit of the band lies there
	neck     bool
}

// lay puts the garment together: a front and a back view, and the pieces
// whose joins do not say where they go.
func (o *outfit) lay() (views []*flat, rest []*whole) {
	shown := map[*whole]bool{}
	for _, f := range o.bodies() {
		if len(f.body) == 0 {
			continue
		}
		o.hangSleeves(f)
		views = append(views, f)
	}
	if len(views) > 1 {
		lookInside(views[0], views[1])
	}
	o.sewBands(views)
	for _, f := range views {
		for _, p := range slices.Concat(f.body, f.sleeves) {
			shown[p.piece] = true
		}
		for _, b := range f.bands {
			shown[b.piece] = true
		}
	}
	for _, p := range o.pieces {
		if !shown[p] {
			rest = append(rest, p)
		}
	}
	return views, rest
}

// bandWidth is the finished width of a band that is sewn to an upright edge of
// a piece, 0 where there is none.
func (o *outfit) bandWidth(p *whole) float64 {
	for i, e := range p.edges {
		if across, down := size(e.path.Bound()); across > down/4 {
			continue
		}
		for _, b := range o.partners(ref{p, i}) {
			if b.piece.role == band {
				_, short := b.piece.sides()
				return short / 2
			}
		}
	}
	return 0
}

// overlap is how far two boxes overlap, 0 when they do not.
func overlap(a, b orb.Bound) float64 {
	w := math.Min(a.Max[0], b.Max[0]) - math.Max(a.Min[0], b.Min[0])
	h := math.Min(a.Max[1], b.Max[1]) - math.Max(a.Min[1], b.Min[1])
	return math.Sqrt(math.Max(0, w) * math.Max(0, h))
}

// hangSleeves hangs a sleeve, folded lengthwise, at each armhole or raglan
// seam of a view: the top of the seam at the top, the underarm at the
// underarm.
func (o *outfit) hangSleeves(f *flat) {
	used := map[*whole]bool{}
	var box orb.MultiPoint
	for _, b := range f.body {
		box = append(box, apply(b.m, b.piece.ring())...)
	}
	for _, h := range o.armholes(f.body) {
		for _, mirrored := range []bool{false, true} {
			if p, ok := o.hangAt(h, box.Bound().Center()[0], used, mirrored); ok {
				used[p.piece] = true
				f.sleeves = append(f.sleeves, p)
				break
			}
		}
	}
}

// hangAt hangs a sleeve at an armhole, on the side of the body where it lies.
func (o *outfit) hangAt(h armhole, middleX float64, used map[*whole]bool, mirrored bool) (placed, bool) {
	top, foot := h.line.Start(), h.line.End()
	toRight := h.line.Bound().Center()[0] > middleX
	for _, s := range o.sleevesAt(h) {
		if used[s.piece] {
			continue
		}
		up := s.piece.upright()
		if mirrored {
			mid := s.piece.ring().Bound().Center()
			up = up.Then(curve.Mirror(mid, orb.Point{mid[0], mid[1] + 1}))
		}
		for _, seam := range capHalves(s.line.Transform(up)) {
			// The underarm must come out on the body's side.
			if (seam.End()[0] < seam.Start()[0]) != toRight {
				continue
			}
			k := math.Max(0.6, math.Min(1.6, plane.Distance(top, foot)/plane.Distance(seam.Start(), seam.End())))
			m := up.Then(curve.Align(seam.Start(), seam.End(), top, foot))
			m = m.Then(curve.Shift(-top[0], -top[1])).Then(curve.Matrix{k, 0, 0, k, 0, 0}).Then(curve.Shift(top[0], top[1]))
			back := inverse(up)
			p := placed{piece: s.piece, m: m, keep: foldOf(s.piece, up, seam)}
			hung := seam.Transform(back.Then(m))
			p.under = append(h.line.Flatten(flattenMM), hung.Reverse().Flatten(flattenMM)...)
			at, _ := seam.Transform(back).At(seam.Length() / 2)
			p.cap = at
			return p, true
		}
	}
	return placed{}, false
}

// capHalves is the stretches of a sleeve's seam, in its upright coordinates,
// that may go to one side of the body, top first. A cap drawn as one edge is
// two halves, met at its highest point.
func capHalves(path curve.Path) []curve.Path {
	length := path.Length()
	highest, at := math.Inf(1), 0.0
	const steps = 200
	for k := 0; k <= steps; k++ {
		if q, _ := path.At(length * float64(k) / steps); q[1] < highest {
			highest, at = q[1], length*float64(k)/steps
		}
	}
	if at < 0.2*length || at > 0.8*length {
		return []curve.Path{downward(path)}
	}
	return []curve.Path{downward(path.Between(0, at)), downward(path.Between(at, length))}
}

// foldOf is the half of a sleeve that shows with a seam: what lies on the
// seam's side of the line from the middle of the top to the middle of the hem.
func foldOf(p *whole, up curve.Matrix, seam curve.Path) *halfPlane {
	box := orb.MultiPoint(apply(up, p.ring())).Bound()
	top := seam.Start()
	hem := orb.Point{box.Center()[0], box.Max[1]}
	for _, e := range p.edges {
		line := e.path.Transform(up)
		switch {
		case says(e.Name, "neck"):
			top, _ = line.At(line.Length() / 2)
		case says(e.Name, "hem", "wrist", "cuff"):
			hem, _ = line.At(line.Length() / 2)
		}
	}
	h := halfPlane{top, hem}
	if h.depth(seam.End()) < 0 {
		h = halfPlane{hem, top}
	}
	back := inverse(up)
	h.a, h.b = back.Apply(h.a), back.Apply(h.b)
	if back[0]*back[3]-back[1]*back[2] < 0 {
		h.a, h.b = h.b, h.a
	}
	return &h
}

// inverse undoes m, which must not collapse the page.
func inverse(m curve.Matrix) curve.Matrix {
	det := m[0]*m[3] - m[1]*m[2]
	a, b, c, d := m[3]/det, -m[1]/det, -m[2]/det, m[0]/det
	return curve.Matrix{a, b, c, d, -(a*m[4] + c*m[5]), -(b*m[4] + d*m[5])}
}

func apply(m curve.Matrix, points []orb.Point) []orb.Point {
	out := make([]orb.Point, len(points))
	for i, q := range points {
		out[i] = m.Apply(q)
	}
	return out
}
