package allowance

import (
	"fmt"
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// polygon is an outline of one unnamed straight edge a side.
func polygon(allowance float64, points ...orb.Point) piece.Outline {
	var o piece.Outline
	for i, p := range points {
		o = append(o, piece.Edge{Line: curve.Polyline(p, points[(i+1)%len(points)]), AllowanceMM: allowance})
	}
	return o
}

// bodice is the front of a t-shirt, unfolded, with a hem of 20 mm and a neck
// of 6 mm: about 200 points when flattened.
func bodice() piece.Outline {
	pt := func(x, y float64) orb.Point { return orb.Point{x, y} }
	edge := func(name string, allowance float64, line ...curve.Segment) piece.Edge {
		return piece.Edge{Name: name, AllowanceMM: allowance, Line: line}
	}
	return piece.Outline{
		edge("shoulder", 10, curve.Line(pt(80, 0), pt(210, 40))),
		edge("armhole", 10, curve.Cubic(pt(210, 40), pt(180, 120), pt(190, 200), pt(250, 240))),
		edge("side", 10, curve.Cubic(pt(250, 240), pt(235, 380), pt(235, 420), pt(255, 640))),
		edge("hem", 20, curve.Cubic(pt(255, 640), pt(180, 660), pt(100, 662), pt(0, 662)), curve.Cubic(pt(0, 662), pt(-100, 662), pt(-180, 660), pt(-255, 640))),
		edge("side", 10, curve.Cubic(pt(-255, 640), pt(-235, 420), pt(-235, 380), pt(-250, 240))),
		edge("armhole", 10, curve.Cubic(pt(-250, 240), pt(-190, 200), pt(-180, 120), pt(-210, 40))),
		edge("shoulder", 10, curve.Line(pt(-210, 40), pt(-80, 0))),
		edge("neck", 6, curve.Cubic(pt(-80, 0), pt(-75, 90), pt(-30, 110), pt(0, 110)), curve.Cubic(pt(0, 110), pt(30, 110), pt(75, 90), pt(80, 0))),
	}
}

// randomOutline is a star-shaped outline of straight and curved edges, with
// slots and spikes in it, that does not cross itself.
func randomOutline(t *rapid.T) piece.Outline {
	n := rapid.IntRange(3, 12).Draw(t, "corners")
	widths := []float64{10}
	if rapid.Bool().Draw(t, "mixed") {
		widths = []float64{0, 6, 10, 10, 15, 25}
	}
	for range 100 {
		points := make([]orb.Point, n)
		phase := rapid.Float64Range(0, 1).Draw(t, "phase")
		for i := range points {
			a := 2 * math.Pi * (float64(i) + phase + rapid.Float64Range(-0.4, 0.4).Draw(t, "a")) / float64(n)
			r := rapid.Float64Range(20, 400).Draw(t, "r")
			points[i] = orb.Point{r * math.Cos(a), r * math.Sin(a)}
		}
		o := make(piece.Outline, n)
		for i, p := range points {
			q := points[(i+1)%n]
			o[i].AllowanceMM = rapid.SampledFrom(widths).Draw(t, "w")
			o[i].Name = fmt.Sprint("edge", i)
			if rapid.Bool().Draw(t, "curved") {
				bend := func(a, b orb.Point, at float64) orb.Point {
					u := rapid.Float64Range(-0.4, 0.4).Draw(t, "bend")
					return orb.Point{a[0] + (b[0]-a[0])*at - u*(b[1]-a[1]), a[1] + (b[1]-a[1])*at + u*(b[0]-a[0])}
				}
				o[i].Line = curve.Path{curve.Cubic(p, bend(p, q, 1.0/3), bend(p, q, 2.0/3), q)}
			} else {
				o[i].Line = curve.Polyline(p, q)
			}
		}
		ring, fine := o.Ring(), orb.Ring(o.Path().Flatten(fineMM))
		_, crossed := piece.SelfCrossing(ring)
		_, crossedTruly := piece.SelfCrossing(fine[:len(fine)-1])
		if !crossed && !crossedTruly && plane.SignedArea(ring) > 100 {
			return o
		}
	}
	t.Skip("no simple outline found")
	return nil
}

// combOutline is a comb on a grid of 5 mm: teeth of random length and width,
// with allowances of 10 mm, so that many cutting lines touch exactly.
func combOutline(t *rapid.T) piece.Outline {
	var points []orb.Point
	x := 0.0
	cells := rapid.IntRange(1, 6)
	for range cells.Draw(t, "teeth") {
		y := -5 * float64(rapid.IntRange(1, 12).Draw(t, "tooth"))
		points = append(points, orb.Point{x, y})
		x += 5 * float64(cells.Draw(t, "width"))
		points = append(points, orb.Point{x, y})
		gap := -5*float64(rapid.IntRange(0, 4).Draw(t, "gap")) + 100
		points = append(points, orb.Point{x, gap})
		x += 5 * float64(rapid.IntRange(0, 6).Draw(t, "slot"))
		points = append(points, orb.Point{x, gap})
	}
	points = append(points, orb.Point{x + 10, -30}, orb.Point{x + 20, -30}, orb.Point{x + 20, 130}, orb.Point{0, 130})
	kept := points[:0]
	for _, p := range points {
		if len(kept) == 0 || p != kept[len(kept)-1] {
			kept = append(kept, p)
		}
	}
	o := polygon(10, kept...)
	if _, crossed := piece.SelfCrossing(o.Ring()); crossed {
		t.Skip("a slot of no width")
	}
	return o
}

// gentleOutline is the outline of a piece that can be drawn by its cutting
// line: no curve tighter than its allowance, no slot or spike, and no two
// allowances that differ at so shallow a corner that one steps in.
func gentleOutline(t *rapid.T) piece.Outline {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	points := make([]orb.Point, n)
	for i := range points {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(-0.3, 0.3).Draw(t, "a")) / float64(n)
		r := rapid.Float64Range(150, 300).Draw(t, "r")
		points[i] = orb.Point{r * math.Cos(a), r * math.Sin(a)}
	}
	o := make(piece.Outline, n)
	for i, p := range points {
		q := points[(i+1)%n]
		o[i].Name = fmt.Sprint("edge", i)
		o[i].AllowanceMM = rapid.SampledFrom([]float64{6, 10, 15}).Draw(t, "w")
		d := plane.Sub(q, p)
		side := orb.Point{d[1], -d[0]}
		bend := rapid.Float64Range(-0.12, 0.12)
		if rapid.Bool().Draw(t, "curved") {
			o[i].Line = curve.Path{curve.Cubic(p,
				plane.Add(plane.Add(p, plane.Scale(d, 0.35)), plane.Scale(side, bend.Draw(t, "bend"))),
				plane.Add(plane.Add(p, plane.Scale(d, 0.65)), plane.Scale(side, bend.Draw(t, "bend"))), q)}
		} else {
			o[i].Line = curve.Polyline(p, q)
		}
	}
	for i, e := range o {
		before := o[(i+n-1)%n]
		turn := plane.Dot(before.Line[0].Tangent(1), e.Line[0].Tangent(0))
		if turn < -0.9 {
			t.Skip("a spike or a slot")
		}
		if turn*math.Max(e.AllowanceMM, before.AllowanceMM) > 0.95*math.Min(e.AllowanceMM, before.AllowanceMM) {
			for k := range o {
				o[k].AllowanceMM = 10
			}
		}
	}
	return o
}
