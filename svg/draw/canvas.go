package draw

import (
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	svg "github.com/ajstarks/svgo/float"
	"github.com/paulmach/orb"

	"eke/piece/curve"
	"eke/piece/plane"
)

// canvas writes shapes as SVG and remembers the first error of the writer.
type canvas struct {
	svg *svg.SVG
	out *sticky
}

// sticky is a writer that stops at its first error.
type sticky struct {
	w   io.Writer
	err error
}

func (s *sticky) Write(p []byte) (int, error) {
	if s.err != nil {
		return 0, s.err
	}
	var n int
	n, s.err = s.w.Write(p)
	return n, s.err
}

// ink is the stroke of each line: dark enough for a grey printer, told apart
// by weight and dash rather than by colour.
var ink = map[Stroke]string{
	Unseen:   "fill:none;stroke:none",
	Cutting:  "fill:none;stroke:#1d2b2f;stroke-width:0.7;stroke-linejoin:round",
	Seam:     "fill:none;stroke:#1d2b2f;stroke-width:0.35;stroke-dasharray:1.2 1.8;stroke-linecap:round",
	Piecing:  "fill:none;stroke:#8a2f5e;stroke-width:0.8;stroke-dasharray:10 2 2 2 2 2",
	Grain:    "fill:none;stroke:#1d2b2f;stroke-width:0.4",
	GrainTip: "fill:#1d2b2f;stroke:none",
	Notch:    "fill:none;stroke:#1d2b2f;stroke-width:0.6",
	Dart:     "fill:none;stroke:#1d2b2f;stroke-width:0.4;stroke-dasharray:5 1.5",
	Leader:   "fill:none;stroke:#5d6d70;stroke-width:0.3",
	Cloth:    "fill:#eef2ee;stroke:#1d2b2f;stroke-width:1",
	Hatch:    "fill:none;stroke:#aab4ae;stroke-width:0.5",
	Hole:     "fill:#ffffff;stroke:#1d2b2f;stroke-width:0.6;stroke-dasharray:2 1.2",
	Stripe:   "fill:none;stroke:#5d6d70;stroke-width:0.25",
}

const (
	textInk  = "#1d2b2f"
	typeface = "font-family:Verdana,'DejaVu Sans',sans-serif"
)

// opening is the head of a picture: who made it, its size and what it shows.
const opening = `<?xml version="1.0"?>
<!-- made by eke -->
<svg
     %s
     %s
     %s
     xmlns="http://www.w3.org/2000/svg"
     xmlns:xlink="http://www.w3.org/1999/xlink">
`

// begin opens a picture of the given box, grown to whole millimetres, at true
// size.
func begin(w io.Writer, title string, box orb.Bound) *canvas {
	box = wholeMM(box)
	out := &sticky{w: w}
	c := &canvas{svg.New(out), out}
	width, height := size(box)
	fmt.Fprintf(out, opening,
		attribute("width", mm(width)), attribute("height", mm(height)),
		attribute("viewBox", strings.Join([]string{number(box.Min[0]), number(box.Min[1]), number(width), number(height)}, " ")),
	)
	c.svg.Title(title)
	return c
}

func wholeMM(b orb.Bound) orb.Bound {
	return orb.Bound{
		Min: orb.Point{math.Floor(b.Min[0]), math.Floor(b.Min[1])},
		Max: orb.Point{math.Ceil(b.Max[0]), math.Ceil(b.Max[1])},
	}
}

func (c *canvas) end() error {
	c.svg.End()
	return c.out.err
}

// part writes a part as a pattern piece: a group with the part's name as its
// title. It names the joins to the parts that are in the picture.
func (c *canvas) part(s Shape, dx, dy float64, inPicture []Shape) {
	c.open("part", s, dx, dy)
	for _, l := range s.Lines {
		if joins := known(l.Joins, inPicture); len(joins) > 0 {
			l.Facts = append(slices.Clone(l.Facts), Fact{"joins", strings.Join(joins, ", ")})
		}
		c.line(l, l.Word)
	}
	c.labels(s.Labels)
	c.svg.Gend()
}

// known is those joins that name one of the shapes.
func known(joins []string, shapes []Shape) []string {
	return slices.DeleteFunc(slices.Clone(joins), func(j string) bool {
		name := j[:strings.LastIndexByte(j, '/')]
		return !slices.ContainsFunc(shapes, func(s Shape) bool { return s.Name == name })
	})
}

// scrap writes a scrap with the parts on it. The lines of the parts carry no
// pattern words here, since the picture is one of scraps.
func (c *canvas) scrap(s Shape, dx, dy float64) {
	c.open("scrap", s, dx, dy)
	for _, l := range s.Lines {
		c.line(l, l.Word)
	}
	c.labels(s.Labels)
	for _, in := range s.Inner {
		c.svg.Group(attribute("class", "laid"))
		c.svg.Title(in.Name)
		for _, l := range in.Lines {
			if l.Stroke != Unseen {
				l.Facts = nil
				c.line(l, "laid-"+strings.Fields(l.Word)[0])
			}
		}
		c.labels(in.Labels)
		c.svg.Gend()
	}
	c.svg.Gend()
}

func (c *canvas) open(class string, s Shape, dx, dy float64) {
	attributes := []string{attribute("class", class)}
	for _, f := range s.Facts {
		attributes = append(attributes, attribute("data-"+f.Key, f.Value))
	}
	if dx != 0 || dy != 0 {
		attributes = append(attributes, attribute("transform", "translate("+number(dx)+" "+number(dy)+")"))
	}
	c.svg.Group(attributes...)
	c.svg.Title(s.Name)
}

func (c *canvas) line(l Line, class string) {
	attributes := []string{attribute("class", class), attribute("style", ink[l.Stroke])}
	for _, f := range l.Facts {
		attributes = append(attributes, attribute("data-"+f.Key, f.Value))
	}
	c.svg.Path(pathData(l), attributes...)
}

func pathData(l Line) string {
	p := l.Path
	if l.Closed && len(p) > 1 && !p[len(p)-1].Curved && p[len(p)-1].P1 == p[0].P0 {
		p = p[:len(p)-1] // Z draws it
	}
	if l.Closed {
		return p.D() + " Z"
	}
	return p.D()
}

func (c *canvas) labels(labels []Label) {
	for _, l := range labels {
		if l.Ringed {
			c.svg.Path(circle(l.At, l.RingMM()).D()+" Z", attribute("class", "ring"), attribute("style", "fill:#ffffff;stroke:#8a2f5e;stroke-width:0.4"))
		}
		c.text(l)
	}
}

// text writes a label with its box's centre at l.At.
func (c *canvas) text(l Label) {
	style := fmt.Sprintf("%s;font-size:%spx;fill:%s;text-anchor:middle", typeface, number(l.SizeMM), textInk)
	if l.Strong {
		style += ";font-weight:bold"
	}
	attributes := []string{attribute("class", "words"), attribute("style", style)}
	sin, cos := math.Sincos(l.TurnDeg * math.Pi / 180)
	base := plane.Along(l.At, orb.Point{-sin, cos}, 0.36*l.SizeMM)
	if l.TurnDeg != 0 {
		attributes = append(attributes, attribute("transform", fmt.Sprintf("rotate(%s %s %s)", number(l.TurnDeg), number(base[0]), number(base[1]))))
	}
	c.svg.Text(base[0], base[1], l.Text, attributes...)
}

// circle is a circle as four cubic Béziers, within 0.03 % of its radius.
func circle(at orb.Point, r float64) curve.Path {
	const k = 0.5522847498307936 // 4/3 (√2 - 1)
	q := func(x, y float64) orb.Point { return orb.Point{at[0] + x*r, at[1] + y*r} }
	return curve.Path{
		curve.Cubic(q(1, 0), q(1, k), q(k, 1), q(0, 1)),
		curve.Cubic(q(0, 1), q(-k, 1), q(-1, k), q(-1, 0)),
		curve.Cubic(q(-1, 0), q(-1, -k), q(-k, -1), q(0, -1)),
		curve.Cubic(q(0, -1), q(k, -1), q(1, -k), q(1, 0)),
	}
}

// attribute is key="value" with the value escaped.
func attribute(key, value string) string { return key + `="` + html.EscapeString(value) + `"` }

// number is x to a ten-thousandth, without a negative zero.
func number(x float64) string {
	x = math.Round(x*1e4)/1e4 + 0
	return strconv.FormatFloat(x, 'f', -1, 64)
}
