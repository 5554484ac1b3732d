package svg

import (
	"errors"
	"math"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

var shapes = map[string]bool{
	"path": true, "rect": true, "circle": true, "ellipse": true,
	"line": true, "polyline": true, "polygon": true,
}

// outlineOf is what a shape element draws, in its own user units.
func (d *drawing) outlineOf(n *node, limit int) ([]subpath, error) {
	if n.el.drawn != nil {
		return n.el.drawn, nil
	}
	var err error
	switch n.el.name {
	case "path":
		n.el.drawn, err = parsePath(n.el.get("d"), limit)
		return n.el.drawn, err
	case "polyline", "polygon":
		n.el.drawn, err = pointList(n.el.get("points"), n.el.name == "polygon", limit)
		return n.el.drawn, err
	}
	get := lengths{d: d, n: n}
	var out subpath
	switch n.el.name {
	case "line":
		a := orb.Point{get.x("x1"), get.y("y1")}
		out = subpath{at: a, line: curve.Polyline(a, orb.Point{get.x("x2"), get.y("y2")})}
	case "rect":
		out = get.rect()
	case "circle":
		r := get.of("r", math.Hypot(n.viewport[0], n.viewport[1])/math.Sqrt2)
		out = round(get.x("cx"), get.y("cy"), r, r)
	case "ellipse":
		rx, ry := get.radii(math.Inf(1), math.Inf(1))
		out = round(get.x("cx"), get.y("cy"), rx, ry)
	}
	if get.err != nil {
		return nil, get.err
	}
	if out.closed && len(out.line) == 0 {
		return nil, nil // a shape of no size draws nothing
	}
	return []subpath{out}, nil
}

// pointList reads a polyline's points.
func pointList(s string, closed bool, limit int) ([]subpath, error) {
	if len(s)/4 > 2*limit+8 { // a point and what follows it take 4 bytes at least
		return nil, errTooManySegments
	}
	xs, err := numbers(s)
	if err != nil {
		return nil, errors.New("its points: " + err.Error())
	}
	if len(xs)%2 != 0 {
		return nil, errors.New("its points: the last has no y")
	}
	if len(xs) == 0 {
		return nil, nil
	}
	out := subpath{at: orb.Point{xs[0], xs[1]}}
	for i, last := 2, out.at; i < len(xs); i += 2 {
		q := orb.Point{xs[i], xs[i+1]}
		out.line = append(out.line, curve.Line(last, q))
		last = q
	}
	if len(out.line) > limit {
		return nil, errTooManySegments
	}
	if closed {
		out.close()
	}
	return []subpath{out}, nil
}

// lengths reads the geometry attributes of a shape, keeping the first error.
type lengths struct {
	d   *drawing
	n   *node
	err error
}

func (l *lengths) of(name string, whole float64) float64 {
	s := l.d.property(l.n.el, name)
	if s == "" || s == "auto" {
		return 0
	}
	x, err := length(s, whole)
	if err != nil && l.err == nil {
		l.err = errors.New(name + ": " + err.Error())
	}
	return x
}

func (l *lengths) x(name string) float64 { return l.of(name, l.n.viewport[0]) }
func (l *lengths) y(name string) float64 { return l.of(name, l.n.viewport[1]) }

// radii are rx and ry; one that is not given, or auto, is the other. They are
// held to the given most.
func (l *lengths) radii(mostX, mostY float64) (rx, ry float64) {
	given := func(name string) bool {
		s := l.d.property(l.n.el, name)
		return s != "" && s != "auto"
	}
	rx, ry = l.x("rx"), l.y("ry")
	if !given("rx") {
		rx = ry
	} else if !given("ry") {
		ry = rx
	}
	return math.Min(rx, mostX), math.Min(ry, mostY)
}

func (l *lengths) rect() subpath {
	x, y, w, h := l.x("x"), l.y("y"), l.x("width"), l.y("height")
	if !(w > 0 && h > 0) {
		return subpath{closed: true}
	}
	rx, ry := l.radii(w/2, h/2)
	if !(rx > 0 && ry > 0) {
		out := subpath{at: orb.Point{x, y}}
		out.line = curve.Polyline(out.at, orb.Point{x + w, y}, orb.Point{x + w, y + h}, orb.Point{x, y + h})
		out.close()
		return out
	}
	// Clockwise from the top edge's left end, as SVG 1.1, 9.2 draws it.
	out := subpath{at: orb.Point{x + rx, y}}
	at := out.at
	side := func(q orb.Point) {
		if q != at {
			out.line = append(out.line, curve.Line(at, q))
			at = q
		}
	}
	corner := func(q orb.Point) {
		out.line = append(out.line, arc(at, rx, ry, 0, false, true, q)...)
		at = q
	}
	side(orb.Point{x + w - rx, y})
	corner(orb.Point{x + w, y + ry})
	side(orb.Point{x + w, y + h - ry})
	corner(orb.Point{x + w - rx, y + h})
	side(orb.Point{x + rx, y + h})
	corner(orb.Point{x, y + h - ry})
	side(orb.Point{x, y + ry})
	corner(out.at)
	out.close()
	return out
}

// round is a whole ellipse, clockwise from its right-hand end.
func round(cx, cy, rx, ry float64) subpath {
	if !(rx > 0 && ry > 0) {
		return subpath{closed: true}
	}
	line := curve.Path(ellipse(curve.Matrix{rx, 0, 0, ry, cx, cy}, 0, 2*math.Pi))
	line[len(line)-1].P1 = line[0].P0
	return subpath{at: line[0].P0, line: line, closed: true}
}
