package draw

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"eke/piece"
	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// DrawnPile writes scraps as a file of scraps that keeps their lines as they were
// drawn, with the photographs under them. What lies on the page stays where it is to
// a picometre, so that what is read and written over and over does not wander; where
// something lies off the page, all is moved by whole millimetres.
func DrawnPile(w io.Writer, title, note string, pile []piece.DrawnScrap, grounds []piece.Ground) error {
	var all orb.MultiPoint
	for i := range pile {
		b := pile[i].Rim.Bound()
		all = append(all, b.Min, b.Max)
		for _, c := range pile[i].Cutouts {
			b := c.Line.Bound()
			all = append(all, b.Min, b.Max)
		}
	}
	for _, g := range grounds {
		all = append(all, g.Box.Min, g.Box.Max)
	}
	box := wholeMM(all.Bound())
	const borderMM = 10
	var by orb.Point
	for k := range by {
		if box.Min[k] < 0 {
			by[k] = borderMM - box.Min[k]
		}
	}
	page := orb.Bound{Max: orb.Point{box.Max[0] + by[0] + borderMM, box.Max[1] + by[1] + borderMM}}
	c := begin(w, title, page)
	c.svg.Desc(note)
	for _, g := range grounds {
		width, height := size(g.Box)
		fmt.Fprintf(c.out, "<image class=\"ground\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" preserveAspectRatio=\"none\" %s/>\n",
			exact(g.Box.Min[0]+by[0]), exact(g.Box.Min[1]+by[1]), exact(width), exact(height), attribute("xlink:href", g.File))
	}
	for i := range pile {
		s := pile[i]
		if by != (orb.Point{}) {
			s = s.Moved(by)
		}
		c.drawn(&s)
	}
	return c.end()
}

// drawn draws a scrap with nothing laid on it.
func (c *canvas) drawn(s *piece.DrawnScrap) {
	c.openLoose(&s.Scrap)
	c.svg.Path(exactD(s.Rim), attribute("class", "outline"), looseStyle(&s.Scrap))
	for _, cut := range s.Cutouts {
		word := "hole"
		if cut.Flaw {
			word = "flaw"
		}
		c.svg.Path(exactD(cut.Line), attribute("class", word), attribute("style", ink[Hole]))
	}
	a, b := s.GrainLine()
	c.svg.Path(exactD(curve.Path{curve.Line(a, b)}), attribute("class", "grain"), attribute("style", ink[Grain]))
	c.svg.Gend()
}

// exactD is a path as path data, to a picometre. One that is closed ends with Z, which
// draws its last line where that is straight.
func exactD(p curve.Path) string {
	var b strings.Builder
	point := func(q orb.Point) { b.WriteString(" " + exact(q[0]) + "," + exact(q[1])) }
	b.WriteString("M")
	point(p.Start())
	closed := p.End() == p.Start()
	for i, s := range p {
		switch {
		case s.Curved:
			b.WriteString(" C")
			point(s.C0)
			point(s.C1)
			point(s.P1)
		case !closed || i < len(p)-1:
			b.WriteString(" L")
			point(s.P1)
		}
	}
	if closed {
		b.WriteString(" Z")
	}
	return b.String()
}

// exact is x to a picometre, without a negative zero.
func exact(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e9)/1e9+0, 'f', -1, 64)
}
