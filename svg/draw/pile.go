package draw

import (
	"fmt"
	"io"
	"math"

	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// Pile draws scraps as a file of scraps, in eke's own words: each a group
// with its outline, holes and grain, where it lies.
func Pile(w io.Writer, title, note string, pile []piece.Scrap) error {
	var all orb.MultiPoint
	for _, s := range pile {
		all = append(all, s.Outline...)
	}
	c := begin(w, title, all.Bound().Pad(10))
	c.svg.Desc(note)
	for i := range pile {
		c.loose(&pile[i])
	}
	return c.end()
}

// loose draws a scrap with nothing laid on it.
func (c *canvas) loose(s *piece.Scrap) {
	attributes := []string{attribute("class", "scrap")}
	for _, f := range pileFacts(s) {
		attributes = append(attributes, attribute("data-"+f.Key, f.Value))
	}
	c.svg.Group(attributes...)
	c.svg.Title(s.Name)
	fill := "#eef2ee"
	if s.Colour != "" {
		fill = s.Colour
	}
	d := func(r orb.Ring) string { return curve.Polyline(r...).D() + " Z" }
	c.svg.Path(d(s.Outline), attribute("class", "outline"), attribute("style", "fill:"+fill+";fill-opacity:0.6;stroke:#1d2b2f;stroke-width:0.6"))
	for _, h := range s.Holes {
		c.svg.Path(d(h), attribute("class", "hole"), attribute("style", ink[Hole]))
	}
	a, b := grainIn(s)
	c.svg.Path(curve.Polyline(a, b).D(), attribute("class", "grain"), attribute("style", ink[Grain]))
	c.svg.Gend()
}

func pileFacts(s *piece.Scrap) []Fact {
	var out []Fact
	add := func(key, value string) {
		if value != "" {
			out = append(out, Fact{key, value})
		}
	}
	add("fabric", s.Fabric)
	add("look", s.Look)
	add("kind", s.Kind)
	add("use", s.Use)
	if s.Striped() {
		runs := "across"
		if s.Stripe.Along {
			runs = "along"
		}
		add("stripe_mm", number(s.Stripe.RepeatMM))
		add("first_mm", number(s.Stripe.FirstMM))
		add("stripe_runs", runs)
	}
	add("colour", s.Colour)
	if s.Nap {
		add("nap", "yes")
	}
	if s.BothFaces {
		add("face", "both")
	}
	if s.Count > 1 {
		add("count", fmt.Sprint(s.Count))
	}
	add("note", s.Note)
	return out
}

// grainIn is a line along the grain, well inside a scrap's outline.
func grainIn(s *piece.Scrap) (a, b orb.Point) {
	box := s.Outline.Bound()
	mid, room := box.Center(), 0.0
	const n = 16
	for i := range n * n {
		q := orb.Point{box.Min[0] + (float64(i%n)+0.5)/n*(box.Max[0]-box.Min[0]), box.Min[1] + (float64(i/n)+0.5)/n*(box.Max[1]-box.Min[1])}
		if d := plane.ToRing(s.Outline, q); d > room && plane.Holds(s.Outline, q) {
			mid, room = q, d
		}
	}
	long := math.Max(3, 0.9*room)
	sin, cos := math.Sincos(s.GrainDeg * math.Pi / 180)
	return orb.Point{mid[0] - long*cos, mid[1] - long*sin}, orb.Point{mid[0] + long*cos, mid[1] + long*sin}
}
